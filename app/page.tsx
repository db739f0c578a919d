import { headers } from 'next/headers';
import { pageData } from '../lib/protocol';
import { BringBack } from './home/BringBack';
import { EnterDemo } from './home/EnterDemo';
import { ExampleLine } from './home/ExampleLine';
import { MakeBand } from './home/MakeBand';
import { ActionLink } from './ui/Button';
import { Foot } from './ui/Foot';
import { KeptPage } from './ui/KeptPage';
import { Passage } from './ui/Passage';
import { Title } from './ui/Title';

export default async function Home() {
  const cookie = (await headers()).get('cookie');
  const session = await pageData().session(cookie);
  const bands = session?.bands ?? [];
  return (
    <>
      <Title />
      <main id="text" className="page">
        <div className="indent pt-6 pb-8 md:pt-12">
          <h1 className="text-4xl md:text-5xl">Breathmark</h1>
          <p className="mt-4 max-w-[36rem] text-xl leading-snug">
            A shared page on which a string band works out who plays what, note by note, where the singer
            takes a breath.
          </p>
          <ExampleLine />
          <EnterDemo />
        </div>
        {bands.length > 0 && (
          <Passage heading="Your bands">
            <ul>
              {bands.map((band, i) => (
                <li key={band.bandId} className="flex flex-wrap items-baseline gap-x-4">
                  <ActionLink
                    href={`/band/${band.bandId}`}
                    label={band.name}
                    {...(i < 9 ? { shortcut: String(i + 1) } : {})}
                  >
                    <span className="font-words text-xl">{band.name}</span>
                  </ActionLink>
                  {band.kind === 'listener' && <span className="aside">you are here as a listener</span>}
                </li>
              ))}
            </ul>
            <p className="aside mt-2">The bands that this device has entered. A private link opens others.</p>
          </Passage>
        )}
        <Passage heading="Make a band">
          <MakeBand />
          <BringBack />
        </Passage>
        <Passage heading="You have a link">
          <p className="max-w-prose">
            Open the private link that your band gave you: it brings you in, and this page remembers the band
            on this device.
          </p>
        </Passage>
      </main>
      <Foot />
      <KeptPage />
    </>
  );
}

import { headers } from 'next/headers';
import { notFound } from 'next/navigation';
import { READ_ENDINGS } from '../../../../lib/exchange';
import { pageData, whyNot } from '../../../../lib/protocol';
import { Title } from '../../../ui/Title';
import { BringIn } from '../../BringIn';
import { NotYours } from '../../NotYours';

export default async function BringInRoute({
  params,
}: {
  readonly params: Promise<{ readonly bandId: string }>;
}) {
  const { bandId } = await params;
  const page = await pageData().band(bandId, (await headers()).get('cookie'));
  if (!page.ok) {
    if (page.error.code === 'not found') notFound();
    return <NotYours problem={page.error} />;
  }
  const { band, you } = page.value;
  if (you.kind !== 'player') return <NotYours problem={whyNot('players only', `the band ${band.name}`)} />;
  return (
    <>
      <Title of="Bring in a song" />
      <BringIn band={band} you={you} endings={READ_ENDINGS} />
    </>
  );
}

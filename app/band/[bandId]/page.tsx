import { headers } from 'next/headers';
import { notFound } from 'next/navigation';
import { type BandPage, pageData } from '../../../lib/protocol';
import { KeptPage } from '../../ui/KeptPage';
import { Title } from '../../ui/Title';
import { BandView } from '../BandView';
import { NotYours } from '../NotYours';
import type { SongFacts } from '../song-list';

interface Props {
  readonly params: Promise<{ readonly bandId: string }>;
  /** With `facts`, the songs' keys are told too. */
  readonly searchParams: Promise<{ readonly facts?: string | readonly string[] }>;
}

/** What a list of songs can be sorted by that only the songs themselves know. */
async function factsOf({ band }: BandPage): Promise<Readonly<Record<string, SongFacts>>> {
  const cookie = (await headers()).get('cookie');
  const known = await Promise.all(
    band.songs.map(async ({ id }) => {
      const page = await pageData().song(band.id, id, cookie);
      if (!page.ok) return [];
      const { key, settled, proposals, comments } = page.value.song;
      const times = [...settled, ...proposals, ...comments].map(({ at }) => at);
      return [[id, { key, lastAt: times.length > 0 ? Math.max(...times) : null }] as const];
    }),
  );
  return Object.fromEntries(known.flat());
}

export default async function BandRoute({ params, searchParams }: Props) {
  const { bandId } = await params;
  const page = await pageData().band(bandId, (await headers()).get('cookie'));
  const asksFacts = (await searchParams).facts !== undefined;
  if (page.ok) {
    return (
      <>
        <Title of={page.value.band.name} />
        <BandView first={page.value} facts={asksFacts ? await factsOf(page.value) : null} />
        <KeptPage version={page.value.you.playerId ?? ''} />
      </>
    );
  }
  if (page.error.code === 'not found') notFound();
  return <NotYours problem={page.error} />;
}

import type { Metadata } from 'next';
import { headers } from 'next/headers';
import { notFound } from 'next/navigation';
import { cache } from 'react';
import { pageData } from '@/lib/protocol';
import { setSongOf } from '@/lib/sets';
import { NotYours } from '../../../../band/NotYours';
import { SetView } from '../../../../set/SetView';

interface Props {
  readonly params: Promise<{ bandId: string; setId: string }>;
}

const load = cache(async (bandId: string) => {
  const cookie = (await headers()).get('cookie');
  return { cookie, page: await pageData().band(bandId, cookie) };
});

export async function generateMetadata({ params }: Props): Promise<Metadata> {
  const { bandId, setId } = await params;
  const { page } = await load(bandId);
  if (!page.ok) return { title: 'A private band' };
  return { title: page.value.band.sets.find(({ id }) => id === setId)?.name ?? 'A set' };
}

export default async function SetRoute({ params }: Props) {
  const { bandId, setId } = await params;
  const { cookie, page } = await load(bandId);
  if (!page.ok) {
    if (page.error.code === 'not found') notFound();
    return <NotYours problem={page.error} />;
  }
  const { band } = page.value;
  const songs = await Promise.all(
    band.songs.map(async ({ id }) => {
      const song = await pageData().song(bandId, id, cookie);
      return song.ok ? setSongOf(song.value.song, band.players) : null;
    }),
  );
  return <SetView setId={setId} first={page.value} songs={songs.filter((song) => song !== null)} />;
}

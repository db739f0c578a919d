import { headers } from 'next/headers';
import { notFound } from 'next/navigation';
import { pageData } from '@/lib/protocol';
import { setSongOf } from '@/lib/sets';
import { NotYours } from '../../../../band/NotYours';
import { SetView } from '../../../../set/SetView';
import { KeptPage } from '../../../../ui/KeptPage';
import { Title } from '../../../../ui/Title';

interface Props {
  readonly params: Promise<{ bandId: string; setId: string }>;
}

export default async function SetRoute({ params }: Props) {
  const { bandId, setId } = await params;
  const cookie = (await headers()).get('cookie');
  const page = await pageData().band(bandId, cookie);
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
  return (
    <>
      <Title of={band.sets.find(({ id }) => id === setId)?.name ?? 'A set'} />
      <SetView setId={setId} first={page.value} songs={songs.filter((song) => song !== null)} />
      <KeptPage />
    </>
  );
}

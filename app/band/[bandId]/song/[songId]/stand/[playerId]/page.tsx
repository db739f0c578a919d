import type { Metadata } from 'next';
import { headers } from 'next/headers';
import { pageData } from '@/lib/protocol';
import { NotYours } from '../../../../../../band/NotYours';
import { StandPage } from '../../../../../../stand/StandPage';
import { KeptPage } from '../../../../../../ui/KeptPage';

interface Props {
  readonly params: Promise<{ bandId: string; songId: string; playerId: string }>;
}

async function load({ params }: Props) {
  const { bandId, songId, playerId } = await params;
  const cookie = (await headers()).get('cookie');
  return { songId, playerId, result: await pageData().song(bandId, songId, cookie) };
}

export async function generateMetadata(props: Props): Promise<Metadata> {
  const { result, playerId } = await load(props);
  if (!result.ok) return { title: 'Not to be opened' };
  const player = result.value.band.players.find((one) => one.id === playerId);
  return { title: `${result.value.song.title}: ${player?.name ?? 'part'}, on the stand` };
}

export default async function Stand(props: Props) {
  const { songId, playerId, result } = await load(props);
  if (!result.ok) return <NotYours problem={result.error} />;
  const player = result.value.band.players.find((one) => one.id === playerId);
  if (!player) {
    return (
      <NotYours
        problem={{
          what: 'this band has no such player',
          where: 'in the address of this page',
          mend: 'open the song and choose a part from its head',
        }}
      />
    );
  }
  return (
    <>
      <StandPage songId={songId} playerId={playerId} initial={result.value} />
      <KeptPage />
    </>
  );
}

import type { Metadata } from 'next';
import { NotYours } from '../../../../../../band/NotYours';
import { loadPlayer, type PlayerPageProps, titleOf } from '../../../../../../part/load-player';
import { StandPage } from '../../../../../../stand/StandPage';
import { KeptPage } from '../../../../../../ui/KeptPage';

export async function generateMetadata(props: PlayerPageProps): Promise<Metadata> {
  return { title: titleOf(await loadPlayer(props), ', on the stand') };
}

export default async function Stand(props: PlayerPageProps) {
  const loaded = await loadPlayer(props);
  if (!loaded.ok) return <NotYours problem={loaded.error} />;
  const { songId, player, initial } = loaded.value;
  return (
    <>
      <StandPage songId={songId} playerId={player.id} initial={initial} />
      <KeptPage />
    </>
  );
}

import type { Metadata } from 'next';
import { NotYours } from '../../../../../../band/NotYours';
import { loadPlayer, type PlayerPageProps, titleOf } from '../../../../../../part/load-player';
import { PartPage } from '../../../../../../part/PartPage';
import { KeptPage } from '../../../../../../ui/KeptPage';

export async function generateMetadata(props: PlayerPageProps): Promise<Metadata> {
  return { title: titleOf(await loadPlayer(props)) };
}

export default async function Part(props: PlayerPageProps) {
  const loaded = await loadPlayer(props);
  if (!loaded.ok) return <NotYours problem={loaded.error} />;
  const { songId, player, initial } = loaded.value;
  return (
    <>
      <PartPage
        songId={songId}
        playerId={player.id}
        initial={initial}
        printedOn={new Date().toISOString().slice(0, 10)}
      />
      <KeptPage />
    </>
  );
}

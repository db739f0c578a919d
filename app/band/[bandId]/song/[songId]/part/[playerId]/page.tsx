import { NotYours } from '../../../../../../band/NotYours';
import { loadPlayer, type PlayerPageProps, titleOf } from '../../../../../../part/load-player';
import { PartPage } from '../../../../../../part/PartPage';
import { KeptPage } from '../../../../../../ui/KeptPage';
import { Title } from '../../../../../../ui/Title';

export default async function Part(props: PlayerPageProps) {
  const loaded = await loadPlayer(props);
  if (!loaded.ok) return <NotYours problem={loaded.error} />;
  const { songId, player, initial } = loaded.value;
  return (
    <>
      <Title of={titleOf(loaded.value)} />
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

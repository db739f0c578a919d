import { NotYours } from '../../../../../../band/NotYours';
import { loadPlayer, type PlayerPageProps, titleOf } from '../../../../../../part/load-player';
import { StandPage } from '../../../../../../stand/StandPage';
import { KeptPage } from '../../../../../../ui/KeptPage';
import { Title } from '../../../../../../ui/Title';

export default async function Stand(props: PlayerPageProps) {
  const loaded = await loadPlayer(props);
  if (!loaded.ok) return <NotYours problem={loaded.error} />;
  const { songId, player, initial } = loaded.value;
  return (
    <>
      <Title of={titleOf(loaded.value, ', on the stand')} />
      <StandPage songId={songId} playerId={player.id} initial={initial} />
      <KeptPage />
    </>
  );
}

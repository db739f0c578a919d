'use client';

import type { Freedom } from '../../lib/players';
import type { Player } from '../../lib/song';
import { inkOf } from '../ui/Initials';

/** Who can take a space and who cannot, each with the reasons; who can is chosen by a press. */
export function WhoCan({
  players,
  freedoms,
  chosenId,
  holderId,
  choose,
}: {
  readonly players: readonly Player[];
  readonly freedoms: readonly Freedom[];
  readonly chosenId: string | null;
  readonly holderId: string | null;
  readonly choose: (playerId: string) => void;
}) {
  return (
    <ul>
      {freeFirst(freedoms).map((freedom) => {
        const player = players.find((one) => one.id === freedom.playerId);
        if (!player) return null;
        return (
          <li key={player.id}>
            <WhoButton
              player={player}
              freedom={freedom}
              isChosen={player.id === chosenId}
              holds={player.id === holderId}
              choose={() => choose(player.id)}
            />
          </li>
        );
      })}
    </ul>
  );
}

const freeFirst = (freedoms: readonly Freedom[]): readonly Freedom[] => [
  ...freedoms.filter((one) => one.free),
  ...freedoms.filter((one) => !one.free),
];

function WhoButton({
  player,
  freedom,
  isChosen,
  holds,
  choose,
}: {
  readonly player: Player;
  readonly freedom: Freedom;
  readonly isChosen: boolean;
  readonly holds: boolean;
  readonly choose: () => void;
}) {
  const reasons = freedom.reasons.map((reason) => reason.detail).filter((detail) => detail !== '');
  const can = holds ? `${player.name} has it` : freedom.free ? `${player.name} can` : `${player.name} can’t`;
  const text = reasons.length > 0 ? `${can}: ${reasons.join('; ')}` : can;
  if (!freedom.free && !holds) return <p className="who who-not">{text}</p>;
  return (
    <button type="button" className="who" data-player={player.id} aria-pressed={isChosen} onClick={choose}>
      <span className="who-initials" style={{ color: inkOf(player.ink) }} aria-hidden="true">
        {player.initials}
      </span>
      <span>{text}</span>
    </button>
  );
}

'use client';

import { useEffect, useRef, useState } from 'react';
import type { Player } from '../../lib/song';
import { newId } from '../hooks/newId';
import { Button } from '../ui/Button';
import { Initials } from '../ui/Initials';
import { PlayerForm } from './PlayerForm';
import { blankPlayer, playsAndSings } from './words';

/** Asked once, on coming in: which of the band's players is at this page? */
export function WhoAreYou({
  players,
  mayAdd,
  busy,
  onPick,
  onAdd,
  onLater,
}: {
  readonly players: readonly Player[];
  /** False until the band's document is open for edits. */
  readonly mayAdd: boolean;
  readonly busy: boolean;
  readonly onPick: (player: Player) => void;
  readonly onAdd: (player: Player) => void;
  /** Where somebody has been picked before, the way back. */
  readonly onLater: (() => void) | null;
}) {
  const [adding, setAdding] = useState<Player | null>(null);
  const heading = useRef<HTMLHeadingElement>(null);
  const isAsked = useRef(onLater !== null);
  // Where somebody has asked for it, it takes the place of what they pressed.
  useEffect(() => {
    if (isAsked.current) heading.current?.focus();
  }, []);
  return (
    <section aria-labelledby="who" className="passage">
      <h2 id="who" ref={heading} tabIndex={-1} className="outline-none">
        Who are you?
      </h2>
      <div>
        <p className="max-w-prose">
          {players.length > 0
            ? 'Choose yourself, so that the others see who did what. You can change it later.'
            : 'Nobody is in this band yet. Add yourself, so that the others see who did what.'}
        </p>
        <ul className="my-2">
          {players.map((player, i) => (
            <li key={player.id} className="flex flex-wrap items-baseline gap-x-4">
              <Button
                disabled={busy}
                onPress={() => onPick(player)}
                label={`I am ${player.name}`}
                {...(i < 9 && adding === null ? { shortcut: String(i + 1) } : {})}
              >
                <span className="font-words text-xl">{player.name}</span>
              </Button>
              <Initials initials={player.initials} ink={player.ink} />
              <span className="aside">{playsAndSings(player)}</span>
            </li>
          ))}
        </ul>
        {adding ? (
          <PlayerForm
            key={adding.id}
            player={adding}
            others={players}
            keepText="That is me"
            busy={busy || !mayAdd}
            onKeep={onAdd}
            onCancel={() => setAdding(null)}
            isMe
          />
        ) : (
          <div className="flex flex-wrap gap-x-8">
            <Button
              look={players.length === 0 ? 'main' : 'words'}
              shortcut="n"
              disabled={busy}
              onPress={() => setAdding(blankPlayer(newId(), players))}
            >
              {players.length === 0 ? 'Add yourself' : 'None of them: add yourself'}
            </Button>
            {onLater && (
              <Button shortcut="Escape" onPress={onLater}>
                Stay who you are
              </Button>
            )}
          </div>
        )}
      </div>
    </section>
  );
}

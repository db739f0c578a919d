'use client';

import { useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { BandEdits } from '../../lib/document';
import type { Player } from '../../lib/song';
import { newId } from '../hooks/newId';
import { Button } from '../ui/Button';
import { Initials } from '../ui/Initials';
import { ProblemNotice } from '../ui/Notice';
import { PlayerForm } from './PlayerForm';
import { blankPlayer, playsAndSings } from './words';

/** The band's players, one to a line; a player's line opens to be changed. */
export function Players({
  players,
  edits,
  youId,
}: {
  readonly players: readonly Player[];
  readonly edits: BandEdits | null;
  readonly youId: string | null;
}) {
  const [open, setOpen] = useState<Player | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const opener = useRef<HTMLButtonElement | null>(null);
  const adder = useRef<HTMLButtonElement>(null);
  const isNew = open !== null && !players.some((player) => player.id === open.id);

  const close = () => {
    setOpen(null);
    setProblem(null);
    // The form goes away: who works by keyboard goes back to where they came from.
    requestAnimationFrame(() => (isNew ? adder : opener).current?.focus());
  };
  const keep = (before: Player, after: Player) => {
    const done = isNew ? edits?.addPlayer(after) : edits?.setPlayer(after.id, changed(before, after));
    if (done && !done.ok) return setProblem(done.error);
    close();
  };

  return (
    <>
      {players.length === 0 && <p>No players yet.</p>}
      <ul className="-mt-2">
        {players.map((player) => (
          <li key={player.id}>
            <div className="grid grid-cols-[3.25rem_1fr] items-baseline">
              <Initials initials={player.initials} ink={player.ink} />
              <div className="flex min-h-(--touch) flex-wrap items-baseline gap-x-3">
                <span className="text-xl">{player.name}</span>
                <span className="aside">
                  {playsAndSings(player)}
                  {player.id === youId && ' · you'}
                </span>
                {edits && (
                  <Button
                    label={`Change ${player.name}`}
                    expanded={open?.id === player.id}
                    onPress={() => {
                      const active = document.activeElement;
                      opener.current = active instanceof HTMLButtonElement ? active : null;
                      setOpen(open?.id === player.id ? null : player);
                    }}
                  >
                    change
                  </Button>
                )}
              </div>
            </div>
            {edits && open?.id === player.id && (
              <PlayerForm
                key={open.id}
                player={open}
                others={players.filter((other) => other.id !== player.id)}
                keepText="Keep it"
                onKeep={(after) => keep(open, after)}
                onCancel={close}
              />
            )}
          </li>
        ))}
      </ul>
      {edits && isNew && open && (
        <PlayerForm
          key={open.id}
          player={open}
          others={players}
          keepText="Add the player"
          onKeep={(after) => keep(open, after)}
          onCancel={close}
        />
      )}
      {problem && <ProblemNotice problem={problem} kept="what you filled in is still here" />}
      {edits && !isNew && (
        <Button ref={adder} shortcut="p" onPress={() => setOpen(blankPlayer(newId(), players))}>
          Add a player
        </Button>
      )}
    </>
  );
}

/** Only what was changed, so that two people who change two things of one player both win. */
function changed(before: Player, after: Player): Partial<Omit<Player, 'id'>> {
  return {
    ...(before.name !== after.name && { name: after.name }),
    ...(before.initials !== after.initials && { initials: after.initials }),
    ...(before.instruments.join() !== after.instruments.join() && { instruments: after.instruments }),
    ...(before.sings !== after.sings && { sings: after.sings }),
    ...(before.rule !== after.rule && { rule: after.rule }),
    ...(before.ink !== after.ink && { ink: after.ink }),
    ...(before.comfortEighthsPerMinute !== after.comfortEighthsPerMinute && {
      comfortEighthsPerMinute: after.comfortEighthsPerMinute,
    }),
  };
}

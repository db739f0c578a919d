'use client';

import { useId, useState } from 'react';
import { asksForCare } from '../../lib/fills';
import { type Arrangement, type BackupInPass, partOf, settingOf } from '../../lib/parts';
import type { Band, Pass, Player } from '../../lib/song';
import { ProblemNotice, sentence } from '../ui/Notice';
import { Care } from './Care';
import { NotesRows } from './NotesRows';
import { useBackup } from './useBackup';

interface BackupPanelProps {
  readonly arrangement: Arrangement;
  readonly band: Band;
  readonly pass: Pass;
  /** Whose is shown first; null: the first player's. */
  readonly you: string | null;
}

/** What a player plays behind the singer in a pass, bar by bar: theirs first, then whoever is asked for. */
export function BackupPanel({ arrangement, band, pass, you }: BackupPanelProps) {
  const players = band.players.filter(({ instruments }) => instruments.some((name) => name !== 'voice'));
  const [playerId, setPlayerId] = useState(players.find(({ id }) => id === you)?.id ?? players[0]?.id ?? '');
  const id = useId();
  const player = players.find((one) => one.id === playerId);
  if (!player) return <p>Nobody in the band plays an instrument yet.</p>;
  return (
    <div className="backup">
      <p>
        <label htmlFor={id}>Backup of </label>
        <select id={id} value={playerId} onChange={(event) => setPlayerId(event.target.value)}>
          {players.map((one) => (
            <option key={one.id} value={one.id}>
              {one.name}, {settingOf(arrangement.song, one).instrument}
            </option>
          ))}
        </select>
      </p>
      <Backup arrangement={arrangement} band={band} pass={pass} player={player} />
    </div>
  );
}

function Backup({
  arrangement,
  band,
  pass,
  player,
}: Omit<BackupPanelProps, 'you'> & { readonly player: Player }) {
  const { song } = arrangement;
  const answer = useBackup(song, band.players, player.id, pass.id);
  if (answer === undefined) return <p role="status">{'\u{A0}'}</p>;
  if (answer === null)
    return (
      <p role="status">{player.name} plays no backup in this pass: a break of theirs, or they lay out.</p>
    );
  if (!answer.ok) return <ProblemNotice problem={answer.error} />;
  const backup = answer.value;
  const part = partOf(arrangement, band, player);
  return (
    <>
      <p className="aside" role="status">
        {sentence([...backup.reasons.map(({ detail }) => detail), ...chopInWords(backup, band)].join('; '))}
      </p>
      <NotesRows
        arrangement={arrangement}
        notes={backup.notes}
        startTick={backup.startTick}
        endTick={backup.endTick}
        instrument={settingOf(song, player).instrument}
        chordName={part.chordName}
        label={barsInWords}
      />
      {asksForCare(backup.reasons) && <Care />}
    </>
  );
}

const barsInWords = (first: number, last: number): string =>
  first === last ? `Backup in bar ${first}` : `Backup in bars ${first} to ${last}`;

/** Who keeps the chop where the usual player does not. */
function chopInWords({ keepsChop, chopBy }: BackupInPass, band: Band): readonly string[] {
  const others = [...new Set(chopBy.map(({ playerId }) => playerId))];
  const said = others.map((id) => {
    const name = band.players.find((one) => one.id === id)?.name;
    return name === undefined ? 'nobody keeps the chop meanwhile' : `${name} keeps the chop meanwhile`;
  });
  return keepsChop.length > 0 ? ['keeps the chop where others have fills', ...said] : said;
}

'use client';

import { useId, useRef, useState } from 'react';
import type { Problem } from '../../lib/base';
import type { BandEdits } from '../../lib/document';
import { type Band, MOST_STEP_SECONDS, microphoneOf, type Player } from '../../lib/song';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { Initials } from '../ui/Initials';
import { ProblemNotice } from '../ui/Notice';

/** Whether the band plays around one microphone, how long the way to it and from it is, and who stands where. */
export function OneMicrophone({ band, edits }: { readonly band: Band; readonly edits: BandEdits }) {
  const [problem, setProblem] = useState<Problem | null>(null);
  const keep = (fields: Parameters<BandEdits['setSettings']>[0]) => {
    const done = edits.setSettings(fields);
    setProblem(done.ok ? null : done.error);
  };
  const microphone = microphoneOf(band);
  return (
    <>
      <label className="plain flex min-h-(--touch) items-center gap-3">
        <input
          type="checkbox"
          checked={band.oneMicrophone}
          onChange={(event) => keep({ oneMicrophone: event.target.checked })}
        />
        We play around one microphone
      </label>
      <p className="aside">
        Then whoever sings, or has a fill or a break, has to get to it in time, and make room again. Who plays
        backup stays where they are.
      </p>
      {microphone && (
        <>
          <div className="mt-4 flex flex-wrap gap-x-10">
            <Seconds
              label="Seconds to come in"
              hint="From one’s place up to it."
              value={microphone.inSeconds}
              onKeep={(seconds) => keep({ microphoneInSeconds: seconds })}
            />
            <Seconds
              label="Seconds to go out"
              hint="Far enough that the next has room."
              value={microphone.outSeconds}
              onKeep={(seconds) => keep({ microphoneOutSeconds: seconds })}
            />
          </div>
          <Places
            players={microphone.places.flatMap((id) => band.players.find((player) => player.id === id) ?? [])}
            onKeep={(places) => keep({ microphonePlaces: places })}
          />
        </>
      )}
      {problem && <ProblemNotice problem={problem} />}
    </>
  );
}

/** Seconds as people write them, a comma too; null where they cannot be read or are out of range. */
function secondsOf(text: string): number | null {
  const written = /^\d{1,2}(?:[.,]\d{0,2})?$/.exec(text.trim());
  const seconds = written ? Number(written[0].replace(',', '.')) : Number.NaN;
  return seconds >= 0 && seconds <= MOST_STEP_SECONDS ? seconds : null;
}

function Seconds({
  label,
  hint,
  value,
  onKeep,
}: {
  readonly label: string;
  readonly hint: string;
  readonly value: number;
  readonly onKeep: (seconds: number) => void;
}) {
  const [draft, setDraft] = useState<string | null>(null);
  const seconds = draft === null ? value : secondsOf(draft);
  const leave = () => {
    if (seconds === null) return;
    if (seconds !== value) onKeep(seconds);
    setDraft(null);
  };
  return (
    <form
      className="w-56"
      onBlur={leave}
      onSubmit={(event) => {
        event.preventDefault();
        leave();
      }}
    >
      <Field
        label={label}
        hint={hint}
        value={draft ?? String(value)}
        onChange={setDraft}
        most={5}
        problem={
          seconds === null
            ? `Not kept yet: write a number of seconds from 0 to ${MOST_STEP_SECONDS}, 1 or 0.8 for instance.`
            : null
        }
      />
    </form>
  );
}

/** The players as they stand, each with a step to the left and to the right. */
function Places({
  players,
  onKeep,
}: {
  readonly players: readonly Player[];
  readonly onKeep: (places: readonly string[]) => void;
}) {
  const headingId = useId();
  const list = useRef<HTMLOListElement>(null);
  const [said, setSaid] = useState('');
  const ids = players.map(({ id }) => id);
  const move = (player: Player, by: 1 | -1) => {
    const at = ids.indexOf(player.id);
    const places = ids.toSpliced(at, 1).toSpliced(at + by, 0, player.id);
    onKeep(places);
    setSaid(`${player.name} stands number ${at + by + 1} of ${ids.length} from the left.`);
    // The line moves, and at its end one of its buttons rests: the keys stay with the player.
    requestAnimationFrame(() => {
      const buttons = list.current?.querySelectorAll<HTMLButtonElement>(
        `[data-player="${CSS.escape(player.id)}"] button`,
      );
      const wanted = buttons?.[by < 0 ? 0 : 1];
      (wanted?.disabled ? buttons?.[by < 0 ? 1 : 0] : wanted)?.focus();
    });
  };
  return (
    <>
      <p id={headingId} className="plain font-semibold">
        Who stands where, from left to right as you face the crowd
      </p>
      <ol ref={list} aria-labelledby={headingId} className="flex flex-wrap gap-x-8">
        {players.map((player, i) => (
          <li key={player.id} data-player={player.id} className="flex items-center gap-x-3">
            <Initials initials={player.initials} ink={player.ink} name={player.name} />
            <span>{player.name}</span>
            <Button
              label={`${player.name} a place to the left`}
              disabled={i === 0}
              onPress={() => move(player, -1)}
            >
              left
            </Button>
            <Button
              label={`${player.name} a place to the right`}
              disabled={i === players.length - 1}
              onPress={() => move(player, 1)}
            >
              right
            </Button>
          </li>
        ))}
      </ol>
      <p className="aside">
        The microphone is before the middle. Two who come and go on the same side cross each other; a plan
        avoids it where it can.
      </p>
      <p role="status" className="sr-only">
        {said}
      </p>
    </>
  );
}

'use client';

import { useState } from 'react';
import type { SongEdits } from '../../lib/document';
import type { Player, Song, Voice } from '../../lib/song';
import { midiOf, pitchName } from '../../lib/theory';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { voicesWithoutTune } from './voices';

/** `D3`, `b flat 3` as `Bb3`: a note by its letter, with # or b, and its octave. */
function midiAsTyped(typed: string): number | null {
  const match = /^\s*([a-g])\s*(#|♯|sharp|b|♭|flat)?\s*(-?\d)\s*$/i.exec(typed);
  if (!match) return null;
  const [, letter = '', sign = '', octave = ''] = match;
  const accidental = sign === '' ? '' : /^(#|♯|sharp)$/i.test(sign) ? '#' : 'b';
  return midiOf(`${letter.toUpperCase()}${accidental}${octave}`);
}

/** Asks, by name, for the lowest and the highest note of a song whose tune is not written; then says them. */
export function SungRange({
  song,
  players,
  edits,
}: {
  readonly song: Song;
  readonly players: readonly Player[];
  readonly edits: SongEdits | null;
}) {
  return voicesWithoutTune(song).map((voice) => (
    <VoiceRange
      key={voice.id}
      song={song}
      voice={voice}
      singer={players.find(({ id }) => id === voice.playerId)?.name ?? null}
      edits={edits}
    />
  ));
}

function VoiceRange({
  song,
  voice,
  singer,
  edits,
}: {
  readonly song: Song;
  readonly voice: Voice;
  readonly singer: string | null;
  readonly edits: SongEdits | null;
}) {
  const prefer = /b/.test(song.key.tonic) || song.key.tonic === 'F' ? 'flats' : 'sharps';
  const { range } = voice;
  const [isOpen, setOpen] = useState(false);
  const [low, setLow] = useState<string | null>(null);
  const [high, setHigh] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const nameOf = (midi: number | undefined) => (midi === undefined ? '' : pitchName(midi, prefer));
  const isAlone = song.voices.length === 1;
  const who = singer ?? (isAlone ? 'the singer' : voice.part === 'other' ? voice.name : `the ${voice.part}`);
  if (range === null && !edits) return null;
  const keep = () => {
    const [from, to] = [low ?? nameOf(range?.low), high ?? nameOf(range?.high)].map(midiAsTyped);
    if (typeof from !== 'number' || typeof to !== 'number')
      return setProblem(
        'A note has a letter, # or b where it needs one, and its octave: D3, F#4, Bb3 (middle C is C4)',
      );
    if (from > to) return setProblem(`${nameOf(from)} stands above ${nameOf(to)}: give the lower one first`);
    const done = edits?.setVoice(voice.id, { range: { low: from, high: to } });
    if (done && !done.ok) return setProblem(`${done.error.what}: ${done.error.mend}`);
    setProblem(null);
    setOpen(false);
    setLow(null);
    setHigh(null);
  };
  return (
    <div className="no-print">
      <p className="aside">
        {range === null
          ? `The tune is not written, so nobody knows yet how low and how high ${who} sings it.`
          : `${who} sings it from ${nameOf(range.low)} to ${nameOf(range.high)}, by word of mouth: the tune is not written.`}
      </p>
      {edits && (
        <Button shortcut="r" expanded={isOpen} onPress={() => setOpen(!isOpen)}>
          {range === null ? 'Say the lowest and the highest note' : 'Change the lowest and the highest note'}
        </Button>
      )}
      {edits && isOpen && (
        <form
          className="flex flex-wrap items-start gap-x-8"
          aria-label={`How low and how high ${who} sings it`}
          onSubmit={(event) => {
            event.preventDefault();
            keep();
          }}
        >
          <p className="aside basis-full">As it sounds: D3, F#3, Bb2; middle C is C4.</p>
          <Field
            label="Lowest note"
            value={low ?? nameOf(range?.low)}
            onChange={setLow}
            most={8}
            problem={problem}
            autoFocus
          />
          <Field label="Highest note" value={high ?? nameOf(range?.high)} onChange={setHigh} most={8} />
          <div className="my-4 pt-2">
            <Button submit look="main">
              Keep
            </Button>
          </div>
          {range !== null && (
            <div className="my-4">
              <Button
                onPress={() => {
                  edits.setVoice(voice.id, { range: null });
                  setOpen(false);
                }}
              >
                Nobody knows
              </Button>
            </div>
          )}
        </form>
      )}
    </div>
  );
}

'use client';

import { useEffect, useMemo, useRef, useState } from 'react';
import type { Result } from '../../lib/base';
import type { Song } from '../../lib/song';
import type { LaidLine, Tap, TapReading, TapSheet } from '../../lib/taps';
import { Button } from '../ui/Button';
import { BeatRow } from './BeatRow';
import { wordsOf } from './ChooseTaps';
import { type Loudness, playClicks } from './clicks';
import { GuessLines } from './GuessLines';
import { areChordsGuessed, type TapBy } from './guess';
import { Pad } from './Pad';
import type { Run } from './run';
import { useTaps } from './useTaps';

/** After the last tap the run is over so many milliseconds later, if no other comes. */
const PATIENCE = 1200;

/** One run: the beat, what is sung now, the field to hold, and what the taps say so far. */
export function SingAlong({
  song,
  sheet,
  run,
  before,
  by,
  loudness,
  showsBeat,
  perBar,
  read,
  end,
}: {
  readonly song: Song;
  readonly sheet: TapSheet;
  readonly run: Run;
  readonly before: readonly LaidLine[];
  readonly by: TapBy;
  readonly loudness: Loudness;
  readonly showsBeat: boolean;
  readonly perBar: number;
  readonly read: (
    taps: readonly Tap[],
  ) => Result<{ readonly lines: readonly LaidLine[]; readonly reading: TapReading }>;
  readonly end: (taps: readonly Tap[]) => void;
}) {
  const [taps, setTaps] = useState<readonly Tap[]>([]);
  const pad = useRef<HTMLButtonElement>(null);
  const held = useTaps(
    true,
    () => {},
    (tap) => setTaps((all) => [...all, tap]),
  );
  const root = useRef<HTMLElement>(null);
  // The count and the words are in sight, and not the field alone.
  useEffect(() => {
    pad.current?.focus({ preventScroll: true });
    root.current?.scrollIntoView();
  }, []);
  useEffect(() => playClicks(run.beats, loudness), [run.beats, loudness]);

  const latest = useRef({ read, end, taps });
  useEffect(() => {
    latest.current = { read, end, taps };
  });
  const live = useMemo(() => (taps.length === 0 ? null : latest.current.read(taps)), [taps]);
  const lines = live?.ok ? live.value.lines : before;
  const isWhole =
    live?.ok === true && live.value.reading.snapped.some(({ event }) => event === lastEvent(sheet, by));
  useEffect(() => {
    if (!isWhole || held.isHeld) return;
    const timer = setTimeout(() => latest.current.end(taps), PATIENCE);
    return () => clearTimeout(timer);
  }, [isWhole, held.isHeld, taps]);
  useEffect(() => {
    const timer = setTimeout(() => latest.current.end(latest.current.taps), run.until - performance.now());
    return () => clearTimeout(timer);
  }, [run]);

  const next = nextOf(sheet, by, run.fromLine, live?.ok ? live.value.reading : null);
  return (
    <section ref={root} aria-label="Sing, and hold" className="tap-run">
      {showsBeat && <BeatRow beats={run.beats} perBar={perBar} />}
      <p className="tap-now" aria-hidden="true">
        {next.words}
      </p>
      <p className="aside" aria-hidden="true">
        {next.after === '' ? 'the last one' : `then: ${next.after}`}
      </p>
      <p role="status" className="sr-only">
        {showsBeat ? 'The count-in goes; then sing' : 'Sing'}, and hold Space for each{' '}
        {by === 'lines' ? 'line' : 'syllable'}. Escape ends it.
      </p>
      <Pad taps={held} ref={pad}>
        {by === 'lines' ? 'Hold for each line' : 'Hold for each syllable'}
      </Pad>
      <div className="flex flex-wrap gap-x-6">
        <Button shortcut="Escape" onPress={() => end(taps)}>
          {taps.length === 0 ? 'Stop' : 'That is all'}
        </Button>
      </div>
      <GuessLines
        song={song}
        sheet={sheet}
        lines={lines}
        withChords={areChordsGuessed(song, sheet)}
        selected={null}
        select={null}
      />
    </section>
  );
}

const lastEvent = (sheet: TapSheet, by: TapBy): number =>
  (by === 'lines'
    ? sheet.lines.length
    : sheet.lines.reduce((sum, { syllables }) => sum + syllables.length, 0)) - 1;

/** What is sung now, and what after it. */
function nextOf(
  sheet: TapSheet,
  by: TapBy,
  fromLine: number,
  reading: TapReading | null,
): { readonly words: string; readonly after: string } {
  const skipped =
    by === 'lines'
      ? fromLine
      : sheet.lines.slice(0, fromLine).reduce((sum, { syllables }) => sum + syllables.length, 0);
  const done = Math.max(skipped - 1, ...(reading?.snapped.map(({ event }) => event) ?? []));
  const at = done + 1;
  if (by === 'lines') {
    const words = (line: number) => wordsOf(sheet.lines[line]?.syllables ?? []);
    return { words: words(at), after: words(at + 1) };
  }
  let first = 0;
  for (const [n, { syllables }] of sheet.lines.entries()) {
    if (at < first + syllables.length) {
      const following = sheet.lines[n + 1];
      return { words: wordsOf(syllables.slice(at - first)), after: wordsOf(following?.syllables ?? []) };
    }
    first += syllables.length;
  }
  return { words: '', after: '' };
}

'use client';

import { useEffect, useRef, useState } from 'react';
import { passName } from '../../lib/parts';
import type { Pass, Song } from '../../lib/song';
import {
  beatAt,
  holdSyllable,
  type LaidLine,
  moveSyllable,
  outsideOf,
  type TapReading,
  type TapSheet,
} from '../../lib/taps';
import { isCompound, type Ticks } from '../../lib/time';
import { ARROWS, useKeys } from '../hooks/useKeys';
import { Button } from '../ui/Button';
import type { Spot } from './GuessLine';
import { GuessLines, spotInWords } from './GuessLines';

/** The guess after a run: taken whole, tapped again from a line, or mended syllable by syllable. */
export function MendGuess({
  song,
  sheet,
  name,
  lines,
  reading,
  change,
  again,
  followers,
  accept,
  discard,
}: {
  readonly song: Song;
  readonly sheet: TapSheet;
  readonly name: string;
  readonly lines: readonly LaidLine[];
  readonly reading: TapReading | null;
  readonly change: (lines: readonly LaidLine[]) => void;
  readonly again: (line: number) => void;
  readonly followers: readonly Pass[];
  readonly accept: (takeAlong: boolean) => void;
  readonly discard: () => void;
}) {
  const [spot, setSpot] = useState<Spot>(() => firstDoubt(lines));
  const [takesAlong, setTakesAlong] = useState(() =>
    followers.every(({ stanza }) => (stanza ?? 0) > sheet.stanza),
  );
  const root = useRef<HTMLElement>(null);
  const isFirst = useRef(true);
  useEffect(() => {
    root.current
      ?.querySelector<HTMLElement>(`[data-spot="${spot.line}.${spot.index}"]`)
      ?.focus({ preventScroll: isFirst.current });
    isFirst.current = false;
  }, [spot]);
  const own = lines[spot.line]?.syllables[spot.index];

  const step = (by: number) => setSpot(stepped(lines, spot, by));
  const goLine = (by: number) => {
    const line = Math.max(0, Math.min(lines.length - 1, spot.line + by));
    setSpot({ line, index: Math.min(spot.index, (lines[line]?.syllables.length ?? 1) - 1) });
  };
  const move = (direction: 1 | -1, withRest: boolean) => {
    if (!own) return;
    change(
      moveSyllable(lines, spot.line, spot.index, toSlot(sheet, own.tick, direction), withRest, sheet.endTick),
    );
  };
  const hold = (direction: 1 | -1) => {
    if (!own) return;
    change(
      holdSyllable(
        lines,
        spot.line,
        spot.index,
        toSlot(sheet, own.tick + own.ticks, direction),
        sheet.endTick,
      ),
    );
  };
  useKeys({
    [ARROWS.left]: () => step(-1),
    [ARROWS.right]: () => step(1),
    [ARROWS.up]: () => goLine(-1),
    [ARROWS.down]: () => goLine(1),
  });
  const outside = outsideOf(sheet, lines);
  const doubts = lines.reduce((sum, { unsure }) => sum + unsure.length, 0);
  return (
    <section aria-label="The guess" className="tap-mend" ref={root}>
      <h2 className="italic">{name}, as it was heard</h2>
      <p role="status" className="plain max-w-prose">
        {readingInWords(reading, doubts)}
        {outside.length > 0 &&
          ` ${outside.length === 1 ? 'One line reaches' : `${outside.length} lines reach`} outside this section’s bars and would stay as before: mend it here, or put in bars on the board first.`}
      </p>
      <GuessLines song={song} sheet={sheet} lines={lines} selected={spot} select={setSpot} />
      <p className="aside" aria-hidden="true">
        {spotInWords(sheet, lines, spot)}. ← → from syllable to syllable, ↑ ↓ from line to line.
      </p>
      <div className="flex flex-wrap gap-x-6">
        <Button shortcut="," onPress={() => move(-1, false)}>
          Earlier
        </Button>
        <Button shortcut="." onPress={() => move(1, false)}>
          Later
        </Button>
        <Button shortcut="<" onPress={() => move(-1, true)}>
          Earlier, with the rest of the line
        </Button>
        <Button shortcut=">" onPress={() => move(1, true)}>
          Later, with the rest of the line
        </Button>
        <Button shortcut="-" onPress={() => hold(-1)}>
          Held shorter
        </Button>
        <Button shortcut="+" onPress={() => hold(1)}>
          Held longer
        </Button>
        <Button shortcut="a" onPress={() => again(spot.line)}>
          Tap again from this line
        </Button>
      </div>
      {followers.length > 0 && (
        <label className="plain flex min-h-(--touch) items-center gap-2">
          <input
            type="checkbox"
            checked={takesAlong}
            onChange={(event) => setTakesAlong(event.target.checked)}
          />
          {followers.map((pass) => passName(song, pass)).join(', ')} {followers.length === 1 ? 'goes' : 'go'}{' '}
          along, line by line
        </label>
      )}
      <div className="my-3 flex flex-wrap gap-x-6">
        <Button look="main" shortcut="e" onPress={() => accept(takesAlong)}>
          Put it on the board
        </Button>
        <Button shortcut="Escape" onPress={discard}>
          Leave it
        </Button>
      </div>
    </section>
  );
}

function firstDoubt(lines: readonly LaidLine[]): Spot {
  const line = lines.findIndex(({ unsure }) => unsure.length > 0);
  return line < 0 ? { line: 0, index: 0 } : { line, index: lines[line]?.unsure[0] ?? 0 };
}

function stepped(lines: readonly LaidLine[], { line, index }: Spot, by: number): Spot {
  const all = lines.flatMap(({ syllables }, n) => syllables.map((_, i): Spot => ({ line: n, index: i })));
  const at = all.findIndex((one) => one.line === line && one.index === index);
  return all[Math.max(0, Math.min(all.length - 1, at + by))] ?? { line, index };
}

/** Ticks to the next half of a beat (third in compound meters) earlier or later. */
function toSlot(sheet: TapSheet, tick: Ticks, direction: 1 | -1): Ticks {
  const bar = sheet.bars.findLast(({ startTick }) => startTick <= tick) ?? sheet.bars[0];
  const slot = beatAt(sheet.bars, tick) / (bar && isCompound(bar.meter) ? 3 : 2);
  const within = (tick - (bar?.startTick ?? 0)) % slot;
  if (direction > 0) return slot - within;
  return within === 0 ? -slot : -within;
}

function readingInWords(reading: TapReading | null, doubts: number): string {
  if (!reading) return 'As the song has it now. Move what is sung elsewhere.';
  const parts: string[] = [];
  const { slips, missed, leanSeconds } = reading;
  const lean = Math.round(Math.abs(leanSeconds) * 1000);
  parts.push(
    lean >= 10
      ? `You tap ${lean} ms ${leanSeconds < 0 ? 'ahead of' : 'behind'} the beat; that is taken out.`
      : 'You tap on the beat.',
  );
  if (slips.length > 0)
    parts.push(
      slips.length === 1 ? 'One tap was taken as a slip.' : `${slips.length} taps were taken as slips.`,
    );
  if (missed.length > 0)
    parts.push(
      missed.length === 1
        ? 'One tap is missing; its place is guessed.'
        : `${missed.length} taps are missing; their places are guessed.`,
    );
  if (doubts > 0)
    parts.push(
      doubts === 1
        ? 'One place is in doubt, marked with a dotted line.'
        : `${doubts} places are in doubt, marked with a dotted line.`,
    );
  return parts.join(' ');
}

'use client';

import { useEffect, useMemo, useRef, useState } from 'react';
import { passName } from '../../lib/parts';
import type { Pass, Song } from '../../lib/song';
import {
  beatAt,
  chordsWith,
  holdSyllable,
  type LaidLine,
  moveSyllable,
  outsideOf,
  type TapReading,
  type TapSheet,
} from '../../lib/taps';
import { barTicks, isCompound, type Ticks } from '../../lib/time';
import { ARROWS, useKeys } from '../hooks/useKeys';
import { Button } from '../ui/Button';
import { KeyedTick } from '../ui/KeyedTick';
import type { Spot } from './GuessLine';
import { GuessLines, spotInWords } from './GuessLines';
import { areChordsGuessed, staysInTheWay } from './guess';
import { outsideInWords, readingInWords } from './guess-words';

const LINE_START = 'Home';
const LINE_END = 'End';

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
  double,
  lengthen,
  pickUp,
  pace,
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
  /** With the other stanzas, and with the chords, or without. */
  readonly accept: (takeAlong: boolean, withChords: boolean) => void;
  /** Every bar of the section once more after itself; as many at its end as the lines need; a pickup before it (null: none is missing). */
  readonly double: () => void;
  readonly lengthen: () => void;
  readonly pickUp: (() => void) | null;
  /** The whole guess over twice as many beats, or half as many; null: it is not from taps. */
  readonly pace: ((factor: 2 | 0.5) => void) | null;
  readonly discard: () => void;
}) {
  const [spot, setSpot] = useState<Spot>(() => firstDoubt(lines));
  const [takesAlong, setTakesAlong] = useState(() =>
    followers.every(({ stanza }) => (stanza ?? 0) > sheet.stanza),
  );
  const [withChords, setWithChords] = useState(() => areChordsGuessed(song, sheet));
  const chordsThatMove = useMemo(() => chordsWith(song, sheet, lines).length, [song, sheet, lines]);
  const root = useRef<HTMLElement>(null);
  const isFirst = useRef(true);
  // biome-ignore lint/correctness/useExhaustiveDependencies: a syllable that was moved stands elsewhere in the page, and the keys go with it
  useEffect(() => {
    root.current
      ?.querySelector<HTMLElement>(`[data-spot="${spot.line}.${spot.index}"]`)
      ?.focus({ preventScroll: isFirst.current });
    isFirst.current = false;
  }, [spot, lines]);
  const own = lines[spot.line]?.syllables[spot.index];

  const go = (by: number) => setSpot(stepped(lines, spot, by));
  const goLine = (by: number) => {
    const line = Math.max(0, Math.min(lines.length - 1, spot.line + by));
    setSpot({ line, index: Math.min(spot.index, lastIndex(lines, line)) });
  };
  const move = (by: Ticks, withRest: boolean) =>
    change(moveSyllable(lines, spot.line, spot.index, by, withRest, sheet.endTick, earliest(sheet)));
  const step = (direction: 1 | -1): Ticks => (own ? toSlot(sheet, own.tick, direction) : 0);
  const beat = own ? beatAt(sheet.bars, own.tick) : 0;
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
    [ARROWS.left]: () => go(-1),
    [ARROWS.right]: () => go(1),
    [ARROWS.up]: () => goLine(-1),
    [ARROWS.down]: () => goLine(1),
    [LINE_START]: () => setSpot({ ...spot, index: 0 }),
    [LINE_END]: () => setSpot({ ...spot, index: lastIndex(lines, spot.line) }),
    [`shift+${ARROWS.left}`]: () => move(-beat, false),
    [`shift+${ARROWS.right}`]: () => move(beat, false),
  });
  const outside = outsideOf(sheet, lines);
  const isInTheWay = staysInTheWay(sheet, lines);
  const doubts = lines.reduce((sum, { unsure }) => sum + unsure.length, 0);
  return (
    <section aria-label="The guess" className="tap-mend" ref={root}>
      <h2 className="italic">{name}, as it was heard</h2>
      <p role="status" className="plain max-w-prose">
        {readingInWords(reading, doubts)}
        {outside.length > 0 && ` ${outsideInWords(outside.length, isInTheWay, pickUp !== null)}`}
      </p>
      {outside.length > 0 && (
        <div className="flex flex-wrap gap-x-6">
          {pickUp && (
            <Button shortcut="p" onPress={pickUp}>
              A pickup before the first bar
            </Button>
          )}
          <Button shortcut="z" onPress={lengthen}>
            Bars at the end
          </Button>
          <Button shortcut="x" onPress={double}>
            Twice as many bars
          </Button>
        </div>
      )}
      {pace && (
        <p className="plain flex flex-wrap items-center gap-x-6">
          Counted too fast or too slow?
          <Button
            label="Half as many beats: the whole guess over half its beats"
            shortcut="h"
            onPress={() => pace(0.5)}
          >
            Half as many beats
          </Button>
          <Button
            label="Twice as many beats: the whole guess over twice its beats"
            shortcut="d"
            onPress={() => pace(2)}
          >
            Twice as many beats
          </Button>
        </p>
      )}
      <GuessLines
        song={song}
        sheet={sheet}
        lines={lines}
        withChords={withChords}
        selected={spot}
        select={setSpot}
      />
      <div className="tap-tools">
        <p className="aside" aria-hidden="true">
          {spotInWords(sheet, lines, spot)}.
          <span className="tap-hint">
            {' '}
            ← → from syllable to syllable, Home and End to a line’s first and last, ↑ ↓ from line to line;
            Shift ← → moves by a beat.
          </span>
        </p>
        <div className="flex flex-wrap gap-x-6">
          <Button shortcut="," onPress={() => move(step(-1), false)}>
            Earlier
          </Button>
          <Button shortcut="." onPress={() => move(step(1), false)}>
            Later
          </Button>
          <Button
            label="Rest earlier: this syllable and all after it in its line"
            shortcut="<"
            onPress={() => move(step(-1), true)}
          >
            Rest earlier
          </Button>
          <Button
            label="Rest later: this syllable and all after it in its line"
            shortcut=">"
            onPress={() => move(step(1), true)}
          >
            Rest later
          </Button>
          <Button label="Shorter: this syllable is let go earlier" shortcut="-" onPress={() => hold(-1)}>
            Shorter
          </Button>
          <Button label="Longer: this syllable is held on" shortcut="=" onPress={() => hold(1)}>
            Longer
          </Button>
          <Button shortcut="a" onPress={() => again(spot.line)}>
            Tap again from here
          </Button>
        </div>
      </div>
      {chordsThatMove > 0 && (
        <KeyedTick name="c" isOn={withChords} set={setWithChords}>
          {chordsThatMove === 1 ? 'One chord goes' : `${chordsThatMove} chords go`} along with the words;
          otherwise all chords stay where they are
        </KeyedTick>
      )}
      {followers.length > 0 && (
        <KeyedTick name="v" isOn={takesAlong} set={setTakesAlong}>
          {followers.map((pass) => passName(song, pass)).join(', ')} {followers.length === 1 ? 'goes' : 'go'}{' '}
          along, line by line
        </KeyedTick>
      )}
      <div className="my-3 flex flex-wrap gap-x-6">
        <Button look="main" shortcut="e" disabled={isInTheWay} onPress={() => accept(takesAlong, withChords)}>
          Put it on the board
        </Button>
        <Button shortcut="Escape" onPress={discard}>
          Leave it
        </Button>
      </div>
    </section>
  );
}

const lastIndex = (lines: readonly LaidLine[], line: number): number =>
  (lines[line]?.syllables.length ?? 1) - 1;

function firstDoubt(lines: readonly LaidLine[]): Spot {
  const line = lines.findIndex(({ unsure }) => unsure.length > 0);
  return line < 0 ? { line: 0, index: 0 } : { line, index: lines[line]?.unsure[0] ?? 0 };
}

function stepped(lines: readonly LaidLine[], { line, index }: Spot, by: number): Spot {
  const all = lines.flatMap(({ syllables }, n) => syllables.map((_, i): Spot => ({ line: n, index: i })));
  const at = all.findIndex((one) => one.line === line && one.index === index);
  return all[Math.max(0, Math.min(all.length - 1, at + by))] ?? { line, index };
}

/** Words may begin before the first bar by less than a bar: a pickup is put in for them. */
function earliest({ bars }: TapSheet): Ticks {
  const first = bars[0];
  return !first || first.pickup ? 0 : beatAt(bars, 0) - barTicks(first.meter);
}

/** Ticks to the next half of a beat (third in compound meters) earlier or later. */
function toSlot(sheet: TapSheet, tick: Ticks, direction: 1 | -1): Ticks {
  const bar = sheet.bars.findLast(({ startTick }) => startTick <= tick) ?? sheet.bars[0];
  const slot = beatAt(sheet.bars, tick) / (bar && isCompound(bar.meter) ? 3 : 2);
  const within = (((tick - (bar?.startTick ?? 0)) % slot) + slot) % slot;
  if (direction > 0) return slot - within;
  return within === 0 ? -slot : -within;
}

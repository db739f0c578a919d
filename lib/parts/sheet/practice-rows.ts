import { itemAt, lastOf } from '../../base';
import { INSTRUMENT_FACTS } from '../../instruments';
import { type FillNote, keyAt, type Player, settingOf, type Timeline } from '../../song';
import { beatTicks, isCompound, type Ticks } from '../../time';
import { type ChordNaming, chordNaming } from '../chords';
import type { Drawing, Instruction } from '../drawing';
import { readsNotation } from '../fill-drawing';
import { rulerDrawing } from '../ruler';
import { roomAtClef, staffDrawing } from '../staff';
import { NUMBER_INSET, tabDrawing } from '../tab';
import { POINT } from './paged';
import { textAt } from './row-look';
import { moved } from './text';
import { type Block, TURN_COSTS } from './types';

/** Sizes of a version's row, in CSS pixels from its top. */
const ROW = {
  chordBase: 20,
  chordSize: 20,
  stringsTop: 62,
  stringStep: 13,
  staffStep: 9,
  numberSize: 16,
} as const;
/** For the names of the rows, and for clef and key. */
const LABEL = 62;
const labelRoom = (timeline: Timeline): number =>
  Math.max(
    LABEL,
    ROW.staffStep * Math.max(...timeline.bars.map(({ startTick }) => roomAtClef(keyAt(timeline, startTick)))),
  );
const RIGHT = 8;
/** From note to note at least, so that every stroke, finger and count has its place. */
const NEAREST = 27;
/** A quarter note is drawn at least so wide, and at most. */
const QUARTER = { least: 54, most: 240 } as const;

/** Whose hands are shown. */
export interface Seat {
  readonly timeline: Timeline;
  readonly player: Player;
}

interface Beat {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly barTick: Ticks;
  /** Its number in the bar, from 1; 0 for what comes before the first whole beat of a pickup. */
  readonly count: number;
  /** What is counted within it, by ticks from its start. */
  readonly within: readonly { readonly after: Ticks; readonly sign: string }[];
}

/** How the rows of a student's sheet lie in time: alike for every version, so that one sees what came in. */
export interface Grid {
  readonly rows: readonly (readonly Beat[])[];
  /** Pixels to a tick. */
  readonly scale: number;
}

/** The beats from the first of some notes to the last in rows of a width: whole bars, as far as they go into one. */
export function gridOf(notes: readonly FillNote[], timeline: Timeline, width: number): Grid {
  const beats = beatsOf(notes, timeline);
  const room = width - labelRoom(timeline) - RIGHT;
  const scale = scaleOf(notes, beats, room);
  const rows: Beat[][] = [];
  const goesIn = (row: readonly Beat[], more: readonly Beat[]) =>
    row[0] === undefined || (lastOf(more).endTick - row[0].startTick) * scale <= room;
  for (const bar of byBar(beats)) {
    const row = rows.at(-1);
    if (row && goesIn(row, bar)) row.push(...bar);
    else if (goesIn(bar, bar)) rows.push([...bar]);
    else
      for (const [i, beat] of bar.entries()) {
        const last = rows.at(-1);
        if (i > 0 && last && goesIn(last, [beat])) last.push(beat);
        else rows.push([beat]);
      }
  }
  return { rows, scale };
}

/** Beats bar by bar. */
function byBar(beats: readonly Beat[]): readonly Beat[][] {
  const bars: Beat[][] = [];
  for (const beat of beats) {
    const bar = bars.at(-1);
    if (bar?.[0]?.barTick === beat.barTick) bar.push(beat);
    else bars.push([beat]);
  }
  return bars;
}

/** One version of a fill on a grid: chords, tablature or notation with every stroke, fingers, count. */
export function versionBlocks(
  notes: readonly FillNote[],
  { rows, scale }: Grid,
  seat: Seat,
): readonly Block[] {
  return rows.map((row, i) => ({
    ...rowOf(row, notes, scale, seat),
    turn: i < rows.length - 1 ? TURN_COSTS.line : TURN_COSTS.pass,
    mark: null,
  }));
}

/** Whole beats from the first note to the last. */
function beatsOf(notes: readonly FillNote[], timeline: Timeline): readonly Beat[] {
  const first = notes[0];
  if (first === undefined) return [];
  const end = Math.max(...notes.map(({ tick, ticks }) => tick + Math.min(ticks, 960)));
  const beats: Beat[] = [];
  for (const { bar, startTick, endTick } of timeline.bars) {
    const beat = beatTicks(bar.meter);
    const phase = bar.pickup ? bar.ticks % beat : 0;
    const before = bar.pickup ? Math.floor((beat * bar.meter.count - bar.ticks) / beat) : 0;
    let count = Math.max(0, before);
    const add = (from: Ticks, to: Ticks, within: Beat['within']) => {
      if (from < end && to > first.tick)
        beats.push({ startTick: from, endTick: to, barTick: startTick, count, within });
    };
    if (phase > 0) add(startTick, startTick + phase, []);
    for (let tick = startTick + phase; tick < endTick; tick += beat) {
      count += 1;
      const within = isCompound(bar.meter)
        ? [1, 2].map((third) => ({ after: (third * beat) / 3, sign: '·' }))
        : [{ after: beat / 2, sign: '&' }];
      add(tick, Math.min(endTick, tick + beat), within);
    }
  }
  return beats;
}

/** Pixels to a tick: as wide as the quickest notes ask for, as far as the longest beat still goes into a row. */
function scaleOf(notes: readonly FillNote[], beats: readonly Beat[], room: number): number {
  let nearest = Number.POSITIVE_INFINITY;
  notes.forEach(({ tick }, i) => {
    const next = notes[i + 1]?.tick ?? tick;
    if (next > tick) nearest = Math.min(nearest, next - tick);
  });
  const wanted = Math.min(QUARTER.most, Math.max(QUARTER.least, (NEAREST * 960) / nearest)) / 960;
  const longest = Math.max(1, ...beats.map(({ startTick, endTick }) => endTick - startTick));
  return Math.min(wanted, room / longest);
}

function rowOf(
  beats: readonly Beat[],
  notes: readonly FillNote[],
  scale: number,
  { timeline, player }: Seat,
): { readonly drawing: Drawing; readonly height: number } {
  const setting = settingOf(timeline.song, player);
  const startTick = itemAt(beats, 0).startTick;
  const { endTick } = lastOf(beats);
  const xOf = (tick: Ticks) => (tick - startTick) * scale;
  const onStaff = readsNotation(setting.instrument);
  const strings = INSTRUMENT_FACTS[setting.instrument].tunings[0]?.midi.length ?? 6;
  const bottom = ROW.stringsTop + (onStaff ? 4 * ROW.staffStep : (strings - 1) * ROW.stringStep);
  const fingerBase = bottom + (onStaff ? 40 : 26);
  const countBase = fingerBase + 19;
  const named: ChordNaming = chordNaming(timeline, setting.capo);
  const { bar, startTick: barTick } = timeline.barAt(startTick);
  const common = { startTick, endTick, xOf };
  const inset = onStaff ? ROW.staffStep * 0.9 : NUMBER_INSET;
  const shown = notes.filter(({ tick }) => tick >= startTick && tick < endTick);
  const played: Drawing = onStaff
    ? staffDrawing(notes, {
        ...common,
        clef: setting.instrument === 'bass' ? 'bass' : 'treble',
        barTick,
        beatTicks: beatTicks(bar.meter),
        key: keyAt(timeline, startTick),
        writtenAbove: INSTRUMENT_FACTS[setting.instrument].writtenAbove,
        top: ROW.stringsTop,
        lineStep: ROW.staffStep,
        showsClef: true,
        strokes: true,
      })
    : tabDrawing(notes, {
        ...common,
        strings,
        top: ROW.stringsTop,
        stringStep: ROW.stringStep,
        numberSize: ROW.numberSize,
        strokes: 'every',
      });
  const drawing = [
    ...rulerDrawing(timeline, {
      ...common,
      chordBase: ROW.chordBase,
      chordSize: ROW.chordSize,
      top: ROW.stringsTop,
      tickTop: bottom + 2,
      chordName: named,
    }),
    ...played,
    ...fingersOf(shown, (tick) => xOf(tick) + inset, fingerBase),
    ...countsOf(beats, (tick) => xOf(tick) + inset, countBase),
  ];
  const label = (text: string, y: number): Instruction =>
    textAt(0, y, text, 9 * POINT, { face: 'plain', tone: 'quiet' });
  const fingered = shown.some(({ finger }) => finger > 0);
  return {
    drawing: [
      ...(fingered ? [label('fingers', fingerBase)] : []),
      label('count', countBase),
      ...moved(drawing, labelRoom(timeline), 0),
    ],
    height: countBase + 16,
  };
}

/** Left-hand fingers, 1 the index, one under another where several strings are held at once; an open string has none. */
function fingersOf(notes: readonly FillNote[], xOf: (tick: Ticks) => number, y: number): Drawing {
  const byTick = new Map<Ticks, string[]>();
  for (const { tick, finger } of notes)
    if (finger > 0) byTick.set(tick, [...(byTick.get(tick) ?? []), String(finger)]);
  return [...byTick].map(([tick, fingers]) =>
    textAt(xOf(tick), y, [...new Set(fingers)].join(''), 10 * POINT, { face: 'strong', anchor: 'middle' }),
  );
}

function countsOf(beats: readonly Beat[], xOf: (tick: Ticks) => number, y: number): Drawing {
  const at = (tick: Ticks, text: string, tone: 'ink' | 'quiet') =>
    textAt(xOf(tick), y, text, 10 * POINT, { face: 'plain', anchor: 'middle', tone });
  return beats.flatMap(({ startTick, endTick, count, within }) => [
    at(startTick, count === 0 ? '' : String(count), 'ink'),
    ...within
      .filter(({ after }) => startTick + after < endTick)
      .map(({ after, sign }) => at(startTick + after, sign, 'quiet')),
  ]);
}

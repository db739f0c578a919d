import { itemAt } from '../base';
import { TICKS_PER_QUARTER, type Ticks } from '../time';
import type { MidiNote } from './midi-parse';

/** A played note on the grid. */
export interface GridNote {
  readonly tick: Ticks;
  readonly ticks: Ticks;
  readonly pitch: number;
  /** Where it began as played, in ticks of 960 to a quarter. */
  readonly played: number;
}

export interface Gridded {
  /** Rising, one after another: no two overlap. */
  readonly notes: readonly GridNote[];
  /** Notes that began more than a hundredth of a beat off the grid. */
  readonly moved: number;
  /** By how much they were moved on average, and at most. */
  readonly mean: number;
  readonly most: number;
  /** Lower notes of chords, left out. */
  readonly lower: number;
}

/**
 * The ways in which a quarter note is divided, in ticks, with what each costs: a finer one has to be worth it. In ticks of deviation,
 * as a sum over the notes that begin in the quarter. Common practice, no source.
 */
export const GRIDS: readonly { readonly step: Ticks; readonly cost: number }[] = [
  { step: 240, cost: 0 },
  { step: 320, cost: 40 },
  { step: 120, cost: 90 },
  { step: 160, cost: 130 },
];

/** Notes that begin within this are struck together: a chord, of which the highest is kept. */
const TOGETHER: Ticks = 50;
/** A rest shorter than this between two notes is how the first was let go, not a rest. */
const SHORTEST_REST: Ticks = 200;

/**
 * Lays played notes on beats. Model: each quarter note has one of `GRIDS`, the one for which the sum of the deviations of the notes beginning
 * in it and of its own cost is least (exact); a note begins on the nearest line of it. Its end is let go early more often than late: unless
 * nearly all ends of the voice lie on sixteenths, a note of half a beat and more ends on the nearest half beat, early ends favoured;
 * else on the nearest line. It ends at the next note at the latest, and there too where the rest between would be shorter than a sixteenth.
 */
export function layOnGrid(played: readonly MidiNote[], ticksPerQuarter: number): Gridded {
  const scale = TICKS_PER_QUARTER / ticksPerQuarter;
  const single = melodyOf(played, scale);
  const steps = stepsOf(single.notes.map(({ from }) => from));
  const onset = (from: number) => nearest(from, steps.get(Math.floor(from / TICKS_PER_QUARTER)) ?? 240);
  const strict = endsOnGrid(single.notes);
  const notes: GridNote[] = [];
  let moved = 0;
  let total = 0;
  let most = 0;
  for (const { from, to, pitch } of single.notes) {
    const tick = onset(from);
    const off = Math.abs(tick - from);
    total += off;
    most = Math.max(most, off);
    if (off >= 10) moved += 1;
    const step = steps.get(Math.floor(to / TICKS_PER_QUARTER)) ?? 240;
    const loose = !strict && to - tick >= HALF - EARLY && step % 160 !== 0;
    const end = loose ? Math.round((to + EARLY) / HALF) * HALF : nearest(to, step);
    const before = notes[notes.length - 1];
    if (before && before.tick === tick) {
      if (pitch > before.pitch) notes[notes.length - 1] = { ...before, pitch };
      continue;
    }
    notes.push({
      tick,
      ticks: Math.max(end - tick, steps.get(Math.floor(from / TICKS_PER_QUARTER)) ?? 120),
      pitch,
      played: from,
    });
  }
  const ended = notes.map((note, i) => {
    const next = notes[i + 1];
    if (!next) return note;
    const rest = next.tick - (note.tick + note.ticks);
    return rest < SHORTEST_REST ? { ...note, ticks: next.tick - note.tick } : note;
  });
  const mean = single.notes.length > 0 ? total / single.notes.length : 0;
  return { notes: ended, moved, mean, most, lower: single.lower };
}

interface Played {
  readonly from: number;
  readonly to: number;
  readonly pitch: number;
}

/** Half a quarter note, and by how much an early end is favoured. */
const HALF: Ticks = 480;
const EARLY: Ticks = 100;

/** Whether the ends of a voice were written rather than played: 19 of 20 on sixteenths or thirds of a beat, to a hundredth of a beat. */
function endsOnGrid(notes: readonly Played[]): boolean {
  const on = notes.filter(({ to }) =>
    [240, 320].some((step) => Math.abs(nearest(to, step) - to) <= 10),
  ).length;
  return on * 20 >= notes.length * 19;
}

/** One note at a time: of those struck together the highest; a lower note that begins while a higher one sounds is not the tune. */
function melodyOf(played: readonly MidiNote[], scale: number): { notes: Played[]; lower: number } {
  const notes: Played[] = [];
  let lower = 0;
  for (const note of played) {
    const own = { from: note.from * scale, to: note.to * scale, pitch: note.pitch };
    const before = notes[notes.length - 1];
    if (before && own.from - before.from < TOGETHER) {
      lower += 1;
      if (own.pitch > before.pitch) notes[notes.length - 1] = { ...own, from: before.from };
    } else notes.push(own);
  }
  return { notes, lower };
}

/** The grid of each quarter note in which notes begin. */
function stepsOf(onsets: readonly number[]): Map<number, Ticks> {
  const byQuarter = new Map<number, number[]>();
  for (const onset of onsets) {
    const quarter = Math.floor(onset / TICKS_PER_QUARTER);
    const there = byQuarter.get(quarter);
    if (there) there.push(onset);
    else byQuarter.set(quarter, [onset]);
  }
  const steps = new Map<number, Ticks>();
  for (const [quarter, within] of byQuarter) {
    let best = { step: 240, sum: Number.POSITIVE_INFINITY };
    for (const { step, cost } of GRIDS) {
      const places = within.map((onset) => nearest(onset, step));
      // Two notes on one line would be one: a grid that parts them is worth more.
      const doubled = places.filter((place, i) => i > 0 && place === itemAt(places, i - 1)).length;
      const sum =
        cost + 240 * doubled + within.reduce((all, onset, i) => all + Math.abs(itemAt(places, i) - onset), 0);
      if (sum < best.sum) best = { step, sum };
    }
    steps.set(quarter, best.step);
  }
  return steps;
}

const nearest = (tick: number, step: Ticks): Ticks => Math.max(0, Math.round(tick / step) * step);

import { itemAt, must, type Reason } from '../../base';
import type { Timeline } from '../../song';
import { type Chord, chordName, type Key, parseChord, pitchClassOf, scaleOf } from '../../theory';
import { beatTicks, type Ticks } from '../../time';
import type { Harmony } from '../scene';
import type { Heard } from './tune';

/** What a chord costs under what is sung, in points. Common practice, no source; sizes are ours. */
export const HARMONY_COSTS = {
  /** For each beat of a sung note that is no chord tone; of a note on the beat. */
  outside: 2,
  outsideOnBeat: 3,
  /** The lowest voice, where there are several, is not on the root. */
  bassNotRoot: 0.8,
  /** The chord is not of the key. */
  outOfKey: 2,
  /** By step of the scale above the key note, within the key: first, second, …; less common chords cost more. */
  degree: [0, 0.9, 1.4, 0.3, 0.2, 0.6, 1.6],
  /** A seventh that is not sung. */
  seventh: 0.5,
  /** Another chord than before: on a downbeat, elsewhere. */
  changes: 0.8,
  changesInside: 1.6,
  /** The tune does not end on the key note's chord. */
  endsElsewhere: 4,
} as const;

/** How an answer says that its chords come from `harmoniesFrom`. */
export const CHORDS_WORKED_OUT: Reason = {
  rule: 'no chords',
  weight: 0,
  detail: 'no chords are written: taken from what the voices sing',
};

interface Beat {
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly downbeat: boolean;
  readonly notes: readonly {
    readonly pitchClass: number;
    readonly beats: number;
    readonly onBeat: boolean;
  }[];
  /** The lowest of several voices; null: one voice alone. */
  readonly bass: number | null;
}

/**
 * Chords under a tune that has none written, beat by beat, from all the voices that are written. The model: of all ways to put
 * a chord of the key (or a seventh of a major chord, or a major chord out of it) under each beat, the one with the least sum of `HARMONY_COSTS`, exactly, by
 * dynamic programming over beats. With four voices it reads the hymn's own chords; under a tune alone it is a guess, and said to be one.
 */
export function harmoniesFrom(
  heard: readonly Heard[],
  timeline: Timeline,
  key: Key,
  startTick: Ticks,
  endTick: Ticks,
): readonly Harmony[] {
  const beats = beatsOf(heard, timeline, startTick, endTick);
  const chords = candidates(key);
  const home = itemAt(scaleOf(key), 0);
  let costs: readonly number[] = chords.map(() => 0);
  const cameFrom: (readonly number[])[] = [];
  beats.forEach((beat, k) => {
    const change = beat.downbeat ? HARMONY_COSTS.changes : HARMONY_COSTS.changesInside;
    const least = costs.reduce((best, cost, i) => (cost < itemAt(costs, best) ? i : best), 0);
    const from: number[] = [];
    const before = costs;
    costs = chords.map((each, i) => {
      const stays = itemAt(before, i);
      const changes = itemAt(before, least) + (k === 0 ? 0 : change);
      from.push(stays <= changes ? i : least);
      const ends = k === beats.length - 1 && each.chord.root !== home ? HARMONY_COSTS.endsElsewhere : 0;
      return Math.min(stays, changes) + underBeat(each.chord, beat) + each.cost * 0.5 + ends;
    });
    cameFrom.push(from);
  });
  let at = costs.reduce((best, cost, i) => (cost < itemAt(costs, best) ? i : best), 0);
  const found: Harmony[] = [];
  for (let k = beats.length - 1; k >= 0; k--) {
    const beat = itemAt(beats, k);
    const { chord } = itemAt(chords, at);
    const after = found[0];
    if (after && after.chord === chord) found[0] = { ...after, startTick: beat.startTick };
    else found.unshift({ startTick: beat.startTick, endTick: beat.endTick, chord, given: true });
    at = itemAt(itemAt(cameFrom, k), at);
  }
  return found;
}

function candidates(key: Key): readonly { readonly chord: Chord; readonly cost: number }[] {
  const scale = scaleOf(key);
  const has = (pitchClass: number) => scale.includes(pitchClassOf(pitchClass));
  const found: { chord: Chord; cost: number }[] = [];
  for (let root = 0; root < 12; root++) {
    for (const [suffix, above] of [
      ['', [0, 4, 7]],
      ['m', [0, 3, 7]],
      ['7', [0, 4, 7, 10]],
    ] as const) {
      const inKey = above.slice(0, 3).every((step) => has(root + step));
      // The major chord on the fifth belongs to minor keys too.
      const leads = suffix !== 'm' && root === pitchClassOf(itemAt(scale, 0) + 7);
      if (!inKey && suffix === 'm') continue;
      const degree = scale.indexOf(root);
      const usual = degree < 0 ? 2 : (HARMONY_COSTS.degree[degree] ?? 2);
      const cost =
        usual +
        (inKey || leads ? 0 : HARMONY_COSTS.outOfKey) +
        (suffix === '7' ? HARMONY_COSTS.seventh : 0) +
        (suffix === '7' && !leads ? HARMONY_COSTS.seventh : 0);
      found.push({ chord: must(parseChord(chordName(root, suffix, null, key)), 'a chord'), cost });
    }
  }
  return found;
}

function underBeat(chord: Chord, beat: Beat): number {
  let cost = 0;
  for (const { pitchClass, beats, onBeat } of beat.notes) {
    if (chord.tones.some((tone) => tone.pitchClass === pitchClass)) continue;
    cost += beats * (onBeat ? HARMONY_COSTS.outsideOnBeat : HARMONY_COSTS.outside);
  }
  return cost + (beat.bass === null || beat.bass === chord.root ? 0 : HARMONY_COSTS.bassNotRoot);
}

function beatsOf(
  heard: readonly Heard[],
  timeline: Timeline,
  startTick: Ticks,
  endTick: Ticks,
): readonly Beat[] {
  const found: Beat[] = [];
  for (const { bar, startTick: from, endTick: to } of timeline.bars) {
    if (to <= startTick || from >= endTick) continue;
    const step = beatTicks(bar.meter);
    for (let tick = from; tick < to; tick += step) {
      const end = Math.min(to, tick + step);
      const here = heard.filter((note) => note.tick < end && note.tick + note.ticks > tick);
      const lowest = here
        .filter((note) => note.tick <= tick)
        .reduce((least, { midi }) => Math.min(least, midi), 127);
      found.push({
        startTick: Math.max(tick, startTick),
        endTick: Math.min(end, endTick),
        downbeat: tick === from,
        notes: here.map((note) => ({
          pitchClass: pitchClassOf(note.midi),
          beats: (Math.min(note.tick + note.ticks, end) - Math.max(note.tick, tick)) / step,
          onBeat: note.tick <= tick,
        })),
        bass: new Set(here.map((note) => note.voiceId)).size >= 3 ? pitchClassOf(lowest) : null,
      });
    }
  }
  return found.filter((beat) => beat.endTick > beat.startTick);
}

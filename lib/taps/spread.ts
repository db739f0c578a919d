import { itemAt } from '../base';
import { beatStrength, beatTicks, isCompound, type Meter, type Ticks } from '../time';

/** How much weight a syllable has in its line: 2 stressed, 1 weakly, 0 not. */
export interface Stressed {
  readonly stress: 0 | 1 | 2;
}

/** What the words of one line are laid on. Ticks count from where the part's bars do. */
export interface SpreadInput {
  readonly syllables: readonly Stressed[];
  /** Where the first may begin, and where the last has to be over. */
  readonly from: Ticks;
  readonly to: Ticks;
  readonly meter: Meter;
  /** Of a tick, how far it is from its barline. */
  readonly inBar: (tick: Ticks) => Ticks;
  /** Syllables (by index, rising) that begin at a tick: a chord stands over them. */
  readonly anchors: ReadonlyMap<number, Ticks>;
  /** Onsets that other stanzas of the line have. */
  readonly others: ReadonlySet<Ticks>;
  /** Where the first syllable begins if nothing else speaks: the line's first barline, or before it by the pickup. */
  readonly start: Ticks;
}

/**
 * What it costs to lay syllables so; one unit is what a singer notices. Common practice, no source: stressed syllables stand on strong
 * beats, one beat goes to a syllable or a half where there are many, and a line leaves time to breathe.
 */
export const SPREAD_COSTS = {
  /** A syllable by its stress (none, weak, full) and its place's strength (0 to 4, as `beatStrength` has it). */
  place: [
    [0.5, 0, 0.1, 0.5, 0.8],
    [0.9, 0.3, 0, 0, 0.1],
    [2.2, 1.3, 0.3, 0.1, 0],
  ],
  /** For each doubling or halving of the usual step. */
  step: 0.8,
  /** For each beat that is lacking at the end of the two that a last syllable and a breath take. */
  breath: 1.1,
  /** For each beat that the first syllable is away from the start. */
  late: 0.6,
  /** For an onset that no other stanza has. */
  own: 0.9,
} as const;

/** Longer lines are laid evenly: they are no lines of a song. */
const MOST_SYLLABLES = 120;
/** A slot is a half, a quarter or an eighth of the beat. */
const FINEST = 8;

/**
 * The onsets of a line's syllables, rising. Model: each syllable begins on a slot (half a beat, a third in compound meters, finer only where
 * there are too many); a syllable under a chord begins with it; the sum of `SPREAD_COSTS` is least. Exact for this model, by
 * dynamic programming over syllables and slots. O(syllables × slots × slots in eight beats, or between two chords).
 *
 * @returns null where there are more syllables than the finest slots; they are to be laid evenly then
 */
export function spreadLine(input: SpreadInput): Ticks[] | null {
  const { syllables, from, to, meter } = input;
  if (syllables.length === 0) return [];
  if (syllables.length > MOST_SYLLABLES || to <= from) return null;
  const beat = beatTicks(meter);
  for (let parts = isCompound(meter) ? 3 : 2; parts <= FINEST * 1.5; parts *= 2) {
    const slot = beat / parts;
    if (!Number.isInteger(slot)) return null;
    const found = best(input, slot, beat);
    if (found) return found;
  }
  return null;
}

function best(input: SpreadInput, slot: Ticks, beat: Ticks): Ticks[] | null {
  const { syllables, from, to, anchors } = input;
  const count = Math.floor((to - from) / slot);
  const total = syllables.length;
  if (count < total) return null;
  const room = (to - Math.max(from, input.start)) / beat;
  const usual = Math.max(slot, Math.min(beat, (Math.max(1, room - 2) * beat) / total));
  const reach = Math.ceil(Math.max(8 * beat, widest(anchors, from)) / slot) + 1;
  const costs: Float64Array[] = [];
  const cameFrom: Int32Array[] = [];
  for (let i = 0; i < total; i++) {
    const own = new Float64Array(count).fill(Number.POSITIVE_INFINITY);
    const back = new Int32Array(count).fill(-1);
    costs.push(own);
    cameFrom.push(back);
    const fixed = anchors.get(i);
    for (let t = i; t <= count - (total - i); t++) {
      const tick = from + t * slot;
      if (fixed !== undefined && Math.abs(tick - fixed) >= slot / 2) continue;
      const place = placeCost(input, i, tick);
      if (i === 0) {
        own[t] = place + (SPREAD_COSTS.late * Math.abs(tick - input.start)) / beat;
        continue;
      }
      const before = itemAt(costs, i - 1);
      for (let s = Math.max(i - 1, t - reach); s < t; s++) {
        const sum =
          itemAt(before, s) + place + SPREAD_COSTS.step * Math.abs(Math.log2(((t - s) * slot) / usual));
        if (sum < itemAt(own, t)) {
          own[t] = sum;
          back[t] = s;
        }
      }
    }
  }
  const last = itemAt(costs, total - 1);
  let end = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let t = 0; t < count; t++) {
    const left = (to - (from + t * slot)) / beat;
    const sum = itemAt(last, t) + SPREAD_COSTS.breath * Math.max(0, 2 - left);
    if (sum < least) {
      least = sum;
      end = t;
    }
  }
  if (end < 0) return null;
  const onsets: Ticks[] = [];
  for (let i = total - 1, t = end; i >= 0; i--) {
    onsets.push(from + t * slot);
    t = itemAt(itemAt(cameFrom, i), t);
  }
  return onsets.reverse();
}

/** The widest stretch between two syllables whose onsets are given. */
function widest(anchors: ReadonlyMap<number, Ticks>, from: Ticks): Ticks {
  let last = from;
  let most = 0;
  for (const tick of anchors.values()) {
    most = Math.max(most, tick - last);
    last = tick;
  }
  return most;
}

function placeCost(input: SpreadInput, i: number, tick: Ticks): number {
  const strength = beatStrength(input.meter, input.inBar(tick));
  const { stress } = itemAt(input.syllables, i);
  const own = input.others.size > 0 && !input.others.has(tick) ? SPREAD_COSTS.own : 0;
  return SPREAD_COSTS.place[stress][strength] + own;
}

/** Onsets at equal distances, for a line that is too full for beats. */
export function spreadEvenly(count: number, from: Ticks, to: Ticks): Ticks[] {
  return Array.from({ length: count }, (_, i) => from + Math.floor(((to - from) * i) / count));
}

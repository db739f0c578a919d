import { fail, itemAt, lastOf, ok, type Result } from '../base';
import type { TempoRange } from '../song';
import { beatTicks, type Meter, TICKS_PER_QUARTER } from '../time';
import { TAP_COSTS as COSTS, FREE_MODEL, TAP_MODEL, type TapModel } from './costs';
import { snapTaps } from './snap';
import type { Clock, SnapInput, TapReading } from './types';

/** A tempo that was tapped, in quarter notes a minute. */
export interface TappedTempo {
  readonly tempo: number;
  /** How slow and how fast it ran on the way: over any four beats, without the slowest and quickest tenth. When, as it was given. */
  readonly range: TempoRange;
  readonly beats: number;
}

const FEWEST_TAPS = 4;
/** After a pause of so many seconds tapping has begun anew. Common practice, no source. */
const ANEW = 3;

/**
 * A tempo from taps on the beat. Model: intervals are whole numbers of beats of the median interval (a beat that was left out counts as
 * two; a tap less than half a beat after another is a slip); the tempo is the median slope of time over beats between all pairs of taps
 * (Theil and Sen's estimator), which up to three taps in ten that are wrong do not move.
 *
 * @param seconds when the taps came, rising; what comes before a pause of three seconds is left out
 * @param meter whose counted beats were tapped
 * @param at milliseconds since 1970, kept beside the tempo
 */
export function tempoOfTaps(seconds: readonly number[], meter: Meter, at: number): Result<TappedTempo> {
  const begin = seconds.findLastIndex((tap, i) => i > 0 && tap - itemAt(seconds, i - 1) > ANEW);
  const taps = seconds.slice(Math.max(0, begin));
  const gaps = taps.slice(1).map((tap, i) => tap - itemAt(taps, i));
  const median = middle(gaps);
  const kept = taps.filter((tap, i) => i === 0 || tap - itemAt(taps, i - 1) >= median / 2);
  if (kept.length < FEWEST_TAPS || !(median > 0))
    return fail(
      'too few taps for a tempo',
      'tapping the tempo',
      `tap at least ${FEWEST_TAPS} beats in a row`,
    );
  const beats: number[] = [0];
  for (let i = 1; i < kept.length; i++)
    beats.push(
      itemAt(beats, i - 1) + Math.max(1, Math.round((itemAt(kept, i) - itemAt(kept, i - 1)) / median)),
    );
  const period = slopeOf(beats, kept);
  const perBeat = (60 * beatTicks(meter)) / TICKS_PER_QUARTER;
  const tempo = perBeat / period;
  if (tempo < 20 || tempo > 400)
    return fail(
      'no song goes so fast or so slow',
      `${Math.round(60 / period)} beats a minute`,
      'tap one beat at a time',
    );
  const over = kept.flatMap((from, i) => {
    const last = itemAt(beats, i) + 4;
    const j = beats.indexOf(last);
    return j < 0 ? [] : [(4 * perBeat) / (itemAt(kept, j) - from)];
  });
  over.sort((a, b) => a - b);
  const trim = Math.floor(over.length / 10);
  return ok({
    tempo: round(tempo),
    range: {
      low: round(Math.min(tempo, over[trim] ?? tempo)),
      high: round(Math.max(tempo, over[over.length - 1 - trim] ?? tempo)),
      at,
    },
    beats: lastOf(beats) + 1,
  });
}

const round = (tempo: number): number => Math.round(tempo * 10) / 10;

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? 0;
}

/** The median slope between all pairs of points (Theil and Sen's estimator). */
function slopeOf(xs: readonly number[], ys: readonly number[]): number {
  const slopes: number[] = [];
  for (let i = 0; i < xs.length; i++)
    for (let j = i + 1; j < xs.length; j++)
      if (itemAt(xs, j) > itemAt(xs, i))
        slopes.push((itemAt(ys, j) - itemAt(ys, i)) / (itemAt(xs, j) - itemAt(xs, i)));
  return middle(slopes);
}

/** What the tempo may be beside the first guess from the song as written: its simple multiples, and tempos near each. */
const MULTIPLES = [1, 2, 1 / 2, 3 / 2, 2 / 3] as const;
const NEARBY = [-0.01, 0, 0.01] as const;
const NEARER = [-0.005, 0.005] as const;
/** In nats: a tempo far from a moderate one is less likely (a spread of a factor of 1.5 round 100). Common practice, no source. */
const tempoCost = (quarters: number): number => (Math.log(quarters / 100) / Math.log(1.5)) ** 2 / 2;
/** What it costs in nats to read the bars at another multiple than they are written in. Common practice, no source. */
const MULTIPLE_COST = 3;
/** So many taps tell the tempo; the rest follows it. */
const TAPS_FOR_TEMPO = 28;

interface Weighed {
  readonly clock: Clock;
  readonly cost: number;
}

/**
 * Taps read where no tempo is known and no beat was heard. Where lines are written gives a first tempo (the median slope of time over written
 * ticks between the taps for lines) and the start. The tempo, its simple multiples and tempos near each are each solved by `snapTaps`; the least sum
 * of the reading's cost, the tempo's and the multiple's wins. The best of what is weighed, not of all tempos.
 */
export function snapWithoutTempo(input: Omit<SnapInput, 'clock'>): Result<TapReading> {
  const all = input.events.flatMap(({ writtenTick, startsLine }, i) => {
    const tap = input.taps[i];
    return tap && writtenTick !== null ? [{ tick: writtenTick, seconds: tap.downSeconds, startsLine }] : [];
  });
  const lines = all.filter(({ startsLine }) => startsLine);
  const points = lines.length >= 3 ? lines : all;
  const slope = slopeOf(
    points.map(({ tick }) => tick),
    points.map(({ seconds }) => seconds),
  );
  if (points.length < 3 || !(slope > 0))
    return fail(
      'too few taps for a tempo',
      'the taps of this pass',
      'tap at least three lines, or tap the tempo first',
    );
  const few = { ...input, taps: input.taps.slice(0, TAPS_FOR_TEMPO), isOver: false };
  const weigh = (quartersPerMinute: number, cost: number): Weighed[] => {
    if (quartersPerMinute < 40 || quartersPerMinute > 260) return [];
    const second = (quartersPerMinute / 60) * TICKS_PER_QUARTER;
    const zeroSeconds = middle(points.map(({ tick, seconds }) => seconds - tick / second)) - COSTS.lean;
    const clock = { quartersPerMinute, zeroSeconds };
    return [
      { clock, cost: cost + tempoCost(quartersPerMinute) + snapTaps({ ...few, clock }, ONE_SPREAD).cost },
    ];
  };
  const first = 60 / (slope * TICKS_PER_QUARTER);
  const tempos = MULTIPLES.flatMap((multiple) =>
    NEARBY.flatMap((near) => weigh(first * multiple * (1 + near), multiple === 1 ? 0 : MULTIPLE_COST)),
  );
  const found = cheapest(tempos);
  if (!found) return fail('no tempo fits these taps', 'the taps of this pass', 'tap the tempo first');
  const nearer = NEARER.flatMap((near) => weigh(found.clock.quartersPerMinute * (1 + near), 0));
  return ok(snapTaps({ ...input, clock: (cheapest([found, ...nearer]) ?? found).clock }, FREE_MODEL));
}

const ONE_SPREAD: TapModel = { ...TAP_MODEL, spreads: [TAP_MODEL.spreads[0]] };

const cheapest = (weighed: readonly Weighed[]): Weighed | null =>
  weighed.reduce<Weighed | null>((best, one) => (best && best.cost <= one.cost ? best : one), null);

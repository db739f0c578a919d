import { itemAt } from '../base';
import { countAt, numberAt } from './column';
import { LengthScale, type Measure, pairPoints } from './lengths';
import { LONGEST_PHRASE } from './weights';

/** After every note: 1 a phrase ends by a person's word, -1 it goes on, 0 nobody said. */
export type DecidedEnds = Int8Array;

export interface Cut {
  /** The last note of each phrase, in order. */
  readonly ends: readonly number[];
  /** What the whole cut has, in points. */
  readonly points: number;
}

/**
 * Cuts a voice into phrases with the most points. State: a phrase, by its first note and by the note that the next one
 * begins with. Move: from a phrase to one that begins where it ends. Points: of the end, of the length, and of the pair.
 * Only a pair of which one phrase repeats the other's length or number of syllables has points, and for a given phrase
 * those are two phrases before it at most; of the others the best counts, found once for each place. A phrase which lags
 * behind the best one that ends at its place by more than a pair can bring leads nowhere, and is passed over. So the
 * search is O(notes × longest phrase), and exact as long as no pair has
 * points below 0, nor bars that fit. Ties go to the longer last phrase.
 */
export function cutVoice(measure: Measure, endPoints: Float64Array, decided: DecidedEnds): Cut {
  const { count } = measure.line;
  if (count === 0) return { ends: [], points: 0 };
  const places = placesOf(count, decided);
  const firstOf = firstPlaces(places, decided);
  const scale = new LengthScale(measure);
  const earlier = new Earlier(measure, places);
  const { mostForPair } = earlier;
  const last = places.length - 1;
  // Of the points only the latest rows are read again, so they share their room.
  const rows = LONGEST_PHRASE + 1;
  const points = new Float64Array(rows * LONGEST_PHRASE);
  const pointsAt = (from: number, to: number) => (to % rows) * LONGEST_PHRASE + (to - from - 1);
  const lengthBefore = new Uint8Array((last + 1) * LONGEST_PHRASE);
  const bestPoints = new Float64Array(last + 1).fill(Number.NEGATIVE_INFINITY);
  const bestFrom = new Int32Array(last + 1);
  bestPoints[0] = 0;

  for (let to = 1; to <= last; to++) {
    const next = countAt(places, to);
    const own = next < count ? numberAt(endPoints, next - 1) : 0;
    const lowest = countAt(firstOf, to);
    let bestHere = Number.NEGATIVE_INFINITY;
    points.fill(Number.NEGATIVE_INFINITY, pointsAt(to - 1, to), pointsAt(to - 1, to) + LONGEST_PHRASE);
    for (let from = to - 1; from >= lowest; from--) {
      const first = countAt(places, from);
      let best = numberAt(bestPoints, from);
      const room = bestHere - best - own - 2 * mostForPair;
      if (scale.mostPoints(first, next) < room) continue;
      const phrase = own + scale.points(first, next);
      let before = countAt(bestFrom, from);
      for (let k = 0; from > 0 && k < 2; k++) {
        const other = k === 0 ? earlier.asLong(first, next) : earlier.asSyllabic(first, next);
        if (other < countAt(firstOf, from) || other >= from) continue;
        const plain = numberAt(points, pointsAt(other, from));
        if (plain + mostForPair <= best) continue;
        const total = plain + pairPoints(measure, countAt(places, other), first, next);
        if (total <= best) continue;
        best = total;
        before = other;
      }
      const total = best + phrase;
      points[pointsAt(from, to)] = total;
      lengthBefore[to * LONGEST_PHRASE + (to - from - 1)] = from - before;
      if (total >= bestHere) {
        bestHere = total;
        bestFrom[to] = from;
      }
    }
    bestPoints[to] = bestHere;
  }

  const ends: number[] = [];
  let to = last;
  let from = countAt(bestFrom, last);
  while (to > 0) {
    ends.push(countAt(places, to) - 1);
    const before = from - itemAt(lengthBefore, to * LONGEST_PHRASE + (to - from - 1));
    to = from;
    from = before;
  }
  return { ends: ends.reverse(), points: numberAt(bestPoints, last) };
}

/** The notes at which a phrase may begin (the end of all too): all but those before which a person's word says that it goes on. */
function placesOf(count: number, decided: DecidedEnds): Int32Array {
  const places = [0];
  for (let i = 1; i < count; i++) if (decided[i - 1] !== -1) places.push(i);
  places.push(count);
  return Int32Array.from(places);
}

/** For each place the first one that a phrase which ends there may begin at: no phrase reaches over an end that a person set. */
function firstPlaces(places: Int32Array, decided: DecidedEnds): Int32Array {
  const first = new Int32Array(places.length);
  let lastSet = 0;
  for (let to = 1; to < places.length; to++) {
    first[to] = Math.max(lastSet, to - LONGEST_PHRASE);
    if (decided[countAt(places, to) - 1] === 1) lastSet = to;
  }
  return first;
}

/** Looks up the place at which the phrase before would begin if it were like another; -1 where there is none. */
class Earlier {
  /** No pair has more points than this. */
  readonly mostForPair: number;
  readonly #measure: Measure;
  readonly #placeAtTick = new Map<number, number>();
  readonly #placeOfSyllable: Int32Array;

  constructor(measure: Measure, places: Int32Array) {
    const { line, syllables, weights } = measure;
    this.mostForPair = weights.equalLength + weights.sameRhythm + weights.equalSyllables;
    this.#measure = measure;
    this.#placeOfSyllable = new Int32Array(line.count + 1).fill(-1);
    for (let place = 0; place + 1 < places.length; place++) {
      const note = countAt(places, place);
      this.#placeAtTick.set(numberAt(line.onsets, note), place);
      const sung = numberAt(syllables, note);
      if (numberAt(syllables, note + 1) > sung) this.#placeOfSyllable[sung] = place;
    }
  }

  asLong(from: number, to: number): number {
    const { onsets } = this.#measure.line;
    return this.#placeAtTick.get(2 * numberAt(onsets, from) - numberAt(onsets, to)) ?? -1;
  }

  asSyllabic(from: number, to: number): number {
    const { syllables, hasWords } = this.#measure;
    if (!hasWords) return -1;
    return this.#placeOfSyllable[2 * numberAt(syllables, from) - numberAt(syllables, to)] ?? -1;
  }
}

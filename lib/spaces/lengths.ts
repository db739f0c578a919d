import { itemAt, type Reason } from '../base';
import { numberAt } from './column';
import { plainNumber } from './ledger';
import type { VoiceLine } from './voice-line';
import type { Weights } from './weights';

/** What a phrase's length is weighed by: its notes, its syllables (without words: notes again), and its bars. */
export interface Measure {
  readonly line: VoiceLine;
  /** Syllables that begin before each note, and in all at the end. */
  readonly syllables: Float64Array;
  readonly hasWords: boolean;
  readonly weights: Weights;
}

export function measureOf(line: VoiceLine, hasWords: boolean, weights: Weights): Measure {
  const syllables = new Float64Array(line.count + 1);
  for (let i = 0; i < line.count; i++) {
    const begins = !hasWords || itemAt(line.notes, i).note.syllables.some((syllable) => syllable !== null);
    syllables[i + 1] = numberAt(syllables, i) + (begins ? 1 : 0);
  }
  return { line, syllables, hasWords, weights };
}

const LENGTH_ROWS = [
  'short',
  'long',
  'wholeBars',
  'evenBars',
  'twoBars',
  'fourBars',
] as const satisfies readonly (keyof Weights)[];
const LENGTH_NAMES: Record<(typeof LENGTH_ROWS)[number], string> = {
  short: 'short',
  long: 'long',
  wholeBars: 'place in the bar',
  evenBars: 'even bars',
  twoBars: 'two bars',
  fourBars: 'four bars',
};
const LENGTH_SAYS: Record<(typeof LENGTH_ROWS)[number], (amount: number) => string> = {
  short: (amount) => `${plainNumber(amount)} fewer to sing than is usual`,
  long: (amount) => `${plainNumber(amount)} more to sing than is usual`,
  wholeBars: () => 'the next begins where in the bar it began',
  evenBars: () => 'it fills an even number of bars',
  twoBars: () => 'two bars long',
  fourBars: () => 'four bars long',
};

/** Bars are counted to a thousandth, so that rounded ticks of triplets do no harm. */
const isNearly = (bars: number, wanted: number) => Math.abs(bars - wanted) < 0.001;

/** Fills in how much of each row of `LENGTH_ROWS` the phrase from one note up to (not with) another has. */
function lengthAmounts(
  { line, syllables, weights }: Measure,
  from: number,
  to: number,
  amounts: Float64Array,
) {
  const sung = numberAt(syllables, to) - numberAt(syllables, from);
  amounts[0] = Math.max(0, weights.few - sung);
  amounts[1] = Math.max(0, sung - weights.many);
  if (!line.isMetered) return;
  const bars = (numberAt(line.onsets, to) - numberAt(line.onsets, from)) / numberAt(line.barLengths, from);
  const isWhole = numberAt(line.offsets, from) === numberAt(line.offsets, to);
  const count = numberAt(line.barNumbers, to) - numberAt(line.barNumbers, from);
  amounts[2] = isWhole ? 1 : 0;
  amounts[3] = isWhole && count % 2 === 0 ? 1 : 0;
  amounts[4] = isNearly(bars, 2) ? 1 : 0;
  amounts[5] = isNearly(bars, 4) ? 1 : 0;
}

/** Weighs the lengths of phrases, one after another, with no value made for each. */
export class LengthScale {
  readonly #measure: Measure;
  readonly #weights: Float64Array;
  readonly #amounts = new Float64Array(LENGTH_ROWS.length);

  /** What bars can bring at most. */
  readonly #mostForBars: number;

  constructor(measure: Measure) {
    this.#measure = measure;
    this.#weights = Float64Array.from(LENGTH_ROWS, (row) => measure.weights[row]);
    const { wholeBars, evenBars, twoBars, fourBars } = measure.weights;
    this.#mostForBars = wholeBars + evenBars + Math.max(twoBars, fourBars);
  }

  /** No phrase from one note up to another has more points than this; quickly told. */
  mostPoints(from: number, to: number): number {
    const { syllables, weights } = this.#measure;
    const tooMany = numberAt(syllables, to) - numberAt(syllables, from) - weights.many;
    return this.#mostForBars + (tooMany > 0 ? tooMany * weights.long : 0);
  }

  points(from: number, to: number): number {
    const amounts = this.#amounts;
    const weights = this.#weights;
    lengthAmounts(this.#measure, from, to, amounts);
    let sum = 0;
    for (let k = 0; k < amounts.length; k++) sum += (amounts[k] ?? 0) * (weights[k] ?? 0);
    return sum;
  }

  reasons(from: number, to: number): Reason[] {
    lengthAmounts(this.#measure, from, to, this.#amounts);
    return LENGTH_ROWS.map((row, k) => ({
      rule: LENGTH_NAMES[row],
      weight: numberAt(this.#amounts, k) * this.#measure.weights[row],
      detail: LENGTH_SAYS[row](numberAt(this.#amounts, k)),
    })).filter((reason) => reason.weight !== 0);
  }
}

/** Points for the phrase `from`–`to` after the phrase `before`–`from`: as long, with the same rhythm, with as many syllables. */
export function pairPoints(measure: Measure, before: number, from: number, to: number): number {
  const { weights } = measure;
  let sum = 0;
  if (isEquallyLong(measure, before, from, to)) {
    sum += weights.equalLength + weights.sameRhythm * rhythmShare(measure.line, before, from, to);
  }
  return isEquallySyllabic(measure, before, from, to) ? sum + weights.equalSyllables : sum;
}

export function pairReasons(measure: Measure, before: number, from: number, to: number): Reason[] {
  const { weights } = measure;
  const reasons: Reason[] = [];
  if (isEquallyLong(measure, before, from, to)) {
    const share = rhythmShare(measure.line, before, from, to);
    const detail =
      share === 1 ? 'in its very rhythm' : `${Math.round(share * 100)} of 100 notes in its rhythm`;
    reasons.push(
      { rule: 'equal length', weight: weights.equalLength, detail: 'as long as the phrase before' },
      { rule: 'same rhythm', weight: weights.sameRhythm * share, detail },
    );
  }
  if (isEquallySyllabic(measure, before, from, to)) {
    const detail = 'as many syllables as the phrase before';
    reasons.push({ rule: 'equal syllables', weight: weights.equalSyllables, detail });
  }
  return reasons.filter((reason) => reason.weight !== 0);
}

function isEquallyLong({ line }: Measure, before: number, from: number, to: number): boolean {
  const { onsets } = line;
  return numberAt(onsets, from) - numberAt(onsets, before) === numberAt(onsets, to) - numberAt(onsets, from);
}

/** Only a phrase that begins with a syllable has a number of them. */
function isEquallySyllabic(
  { syllables, hasWords }: Measure,
  before: number,
  from: number,
  to: number,
): boolean {
  const at = (i: number) => numberAt(syllables, i);
  return hasWords && at(before + 1) > at(before) && at(from) - at(before) === at(to) - at(from);
}

/** Of two phrases that follow one another and are equally long, the share of notes that begin at the same time in both. */
function rhythmShare({ onsets }: VoiceLine, before: number, from: number, to: number): number {
  const length = numberAt(onsets, from) - numberAt(onsets, before);
  let alike = 0;
  let i = before;
  let j = from;
  while (i < from && j < to) {
    const apart = numberAt(onsets, j) - numberAt(onsets, i) - length;
    if (apart === 0) alike += 1;
    if (apart >= 0) i += 1;
    if (apart <= 0) j += 1;
  }
  return alike / Math.max(from - before, to - from);
}

import { itemAt, lastOf } from '../../base';
import type { InstrumentName } from '../../instruments';
import { BANJO_ROLLS, THREE_STRING_ROLLS } from '../patterns';
import { neighbourSets } from '../rolls';

/** Where a right hand is in a roll: one place of one pattern on one string. */
export interface RollState {
  readonly string: number;
  /** Indexes of the states from which the roll goes on to this one. */
  readonly from: readonly number[];
  /** The first place of its pattern. */
  readonly first: boolean;
  /** Place of the string in a cross-picking set, from its lowest; null on the banjo. */
  readonly place: number | null;
  /** True where the roll goes on to a string nearer the ceiling, so that a pick's stroke toward it is an up-stroke. */
  readonly turnsUp: boolean;
  readonly family: string;
}

/**
 * Strings in reach of each finger in a roll. Common practice, no source: the thumb has the short string and goes to the fourth and third (and
 * second), the index to the second and third, the middle finger to the first and second.
 */
const FINGER_STRINGS: Readonly<Record<string, readonly number[]>> = { T: [5, 4, 3], I: [2, 3], M: [1, 2] };

/** Fingers of the four rolls, in bars of eight and of six. Common practice, no source (see `BANJO_ROLLS`). */
const BANJO_FINGERS: Readonly<Record<string, { readonly eight: string; readonly six: string }>> = {
  'forward roll': { eight: 'TIMTIMTM', six: 'TIMTIM' },
  'backward roll': { eight: 'MITMITMI', six: 'MITMIT' },
  'forward-reverse roll': { eight: 'TIMTMITM', six: 'TIMTMI' },
  'alternating thumb roll': { eight: 'TITMTITM', six: 'TITMTM' },
};

/** All places of all rolls of an instrument; none where it does not roll under a tune. */
export function rollStates(
  instrument: InstrumentName,
  strings: number,
  sixes: boolean,
): readonly RollState[] {
  if (instrument === 'banjo') return banjoStates(sixes);
  if (instrument !== 'guitar' && instrument !== 'mandolin') return [];
  const states: RollState[] = [];
  for (const set of neighbourSets(strings)) {
    for (const { family, eight, six } of THREE_STRING_ROLLS) {
      // Forward and backward go round by threes; only the forward-reverse roll has the length of its bar.
      const turns = family !== 'forward-reverse roll';
      const places = turns ? eight.slice(0, 3) : sixes ? six : eight;
      const start = states.length;
      places.forEach((place, k) => {
        states.push({
          string: itemAt(set, place),
          from: [start + (k === 0 ? places.length - 1 : k - 1)],
          first: k === 0,
          place,
          turnsUp: itemAt(places, (k + 1) % places.length) < place,
          family,
        });
      });
    }
  }
  return states;
}

function banjoStates(sixes: boolean): readonly RollState[] {
  const states: RollState[] = [];
  for (const { family } of BANJO_ROLLS) {
    const fingers = BANJO_FINGERS[family]?.[sixes ? 'six' : 'eight'] ?? '';
    const indexes: number[][] = [];
    for (const finger of fingers) {
      const here = (FINGER_STRINGS[finger] ?? []).map((_, i) => i);
      const start = indexes.length === 0 ? states.length + 0 : lastOf(lastOf(indexes)) + 1;
      indexes.push(here.map((i) => start + i));
    }
    [...fingers].forEach((finger, k) => {
      const before = itemAt(indexes, k === 0 ? indexes.length - 1 : k - 1);
      const last = itemAt(fingers, k === 0 ? fingers.length - 1 : k - 1);
      for (const string of FINGER_STRINGS[finger] ?? [])
        states.push({
          string,
          from: before.filter((_, i) => FINGER_STRINGS[last]?.[i] !== string),
          first: k === 0,
          place: null,
          turnsUp: false,
          family,
        });
    });
  }
  return states;
}

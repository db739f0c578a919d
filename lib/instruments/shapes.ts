import { fail, itemAt, ok, type Result } from '../base';
import { type PitchClass, pitchClassOf } from '../theory';
import { HAND_COSTS } from './hand-costs';
import { type Grip, gripsOf, type Hand, handOf, isShort } from './hand-model';
import type { Fingering, Setup } from './plan';
import { openStrings, type Place } from './setup';
import { DEFAULT_SPAN_MILLIMETRES } from './tunings';

/** A chord as one hand holds it. */
export interface ChordShape {
  /** The strings that sound, the highest number first. */
  readonly stops: readonly Fingering[];
  /** Where the index finger lies, counted from the capo; 0 for a shape of open strings. */
  readonly position: number;
  readonly cost: number;
}

export interface ChordShapeOptions {
  /** The strings that must all sound (a roll's three); left out: any that suit. */
  readonly strings?: readonly number[];
  /** The pitch class of the lowest note; left out: on guitar the first of the chord's. Null, and on other instruments: whichever it is. */
  readonly bass?: PitchClass | null;
  readonly spanMillimetres?: number;
  /** Frets from the capo within which fingers stop strings; left out: 1 to 5, for a bar 1 to 12. Open strings are always let in. */
  readonly lowestFret?: number;
  readonly highestFret?: number;
  /** How many shapes at most; left out: 8. */
  readonly count?: number;
}

/** In the unit of `HAND_COSTS`. Common practice, no source. */
export const SHAPE_COSTS = {
  /** The lowest note is not the one asked for. */
  otherBass: 14,
  /** For each chord tone that does not sound. */
  missingTone: 10,
  /** For each string left out below the lowest that sounds; the banjo's fifth is a drone and not counted. */
  leftOutBelow: 8,
  /** For each string left out above the highest that sounds. */
  leftOutAbove: 12,
  /** For each string left out between two that sound. */
  mutedBetween: 15,
} as const;

/**
 * Playable shapes of a chord, the easiest first.
 *
 * The model is the hand plan's for notes that begin together, with any choice of position: the fingers' cost
 * (`HAND_COSTS`) plus what the shape lacks (`SHAPE_COSTS`). All choices of strings, frets within the limits and fingers are tried;
 * each set of frets is given once, with its cheapest fingers. At least two strings sound, or all those asked for. The answer depends
 * on its arguments alone and is remembered: the same few chords come in every pass, and for every player of an instrument.
 *
 * @param pitchClasses as sounded; the first is the root
 *
 * Errors: a setup that cannot be, a voice, a string that the instrument does not have, a chord that no hand can hold there.
 */
export function chordShape(
  setup: Setup,
  pitchClasses: readonly PitchClass[],
  options: ChordShapeOptions = {},
): Result<readonly ChordShape[]> {
  const { instrument, tuning, capo, fifthCapo } = setup;
  const { strings, bass, spanMillimetres, lowestFret, highestFret, count } = options;
  const key = JSON.stringify([
    [instrument, tuning, capo, fifthCapo],
    pitchClasses,
    [strings, bass === undefined ? 'any' : bass, spanMillimetres, lowestFret, highestFret, count],
  ]);
  const remembered = known.get(key);
  if (remembered !== undefined) return remembered;
  const found = searched(setup, pitchClasses, options);
  if (known.size > 2000) known.clear();
  known.set(key, found);
  return found;
}

const known = new Map<string, Result<readonly ChordShape[]>>();

function searched(
  setup: Setup,
  pitchClasses: readonly PitchClass[],
  options: ChordShapeOptions,
): Result<readonly ChordShape[]> {
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  const where = `the ${setup.instrument}'s shapes`;
  if (strings.value.length === 0)
    return fail('a voice has no strings', where, 'choose an instrument with strings');
  const missing = options.strings?.find((string) => strings.value[string - 1] === undefined);
  if (missing !== undefined) {
    return fail(
      `the ${setup.instrument} has no string ${missing}`,
      where,
      `choose from 1 to ${strings.value.length}`,
    );
  }
  const span = options.spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[setup.instrument];
  const hand = handOf(setup.instrument, strings.value, setup.capo, span);
  const count = options.count ?? 8;
  const ranked = easiestShapes(hand, withLeastCost(hand, pitchClasses, options), setup.capo, count);
  return ranked.length > 0
    ? ok(ranked)
    : fail('no hand can hold this chord there', where, 'ask for fewer strings, a wider span or higher frets');
}

interface Choice {
  readonly places: readonly Place[];
  readonly lack: number;
  /** What the shape costs at least: what it lacks, and stopping its strings in the easiest way. */
  readonly atLeast: number;
}

function withLeastCost(
  hand: Hand,
  pitchClasses: readonly PitchClass[],
  options: ChordShapeOptions,
): readonly Choice[] {
  const choices: Choice[] = [];
  for (const places of choicesOf(hand, pitchClasses, options)) {
    const lack = lackCost(hand, places, pitchClasses, options);
    const stopped = places.filter((place) => place.fret > 0).length;
    choices.push({ places, lack, atLeast: lack + stopped * HAND_COSTS.press });
  }
  return choices.sort((a, b) => a.atLeast - b.atLeast);
}

/** The cheapest shapes; choices whose least cost is no better than the last one kept are not tried. */
function easiestShapes(
  hand: Hand,
  choices: readonly Choice[],
  capo: number,
  count: number,
): readonly ChordShape[] {
  let ranked: ChordShape[] = [];
  for (const { places, lack, atLeast } of choices) {
    const last = ranked[count - 1];
    if (last !== undefined && atLeast >= last.cost) break;
    const grip = easiest(hand, places);
    if (grip === null) continue;
    const shape: ChordShape = {
      stops: grip.stops.map(({ string, fret, finger }) => ({ string, fret, finger })),
      position: grip.position === 0 ? 0 : grip.position - capo,
      cost: grip.cost + lack,
    };
    ranked = [...ranked, shape].sort((a, b) => a.cost - b.cost).slice(0, count);
  }
  return ranked;
}

/** Every choice of a fret, the open string or silence for each string that a hand might hold; strings from the ceiling down. */
function* choicesOf(
  hand: Hand,
  pitchClasses: readonly PitchClass[],
  options: ChordShapeOptions,
): Generator<readonly Place[]> {
  const wanted = new Set(pitchClasses.map(pitchClassOf));
  const lowest = options.lowestFret ?? 1;
  const highest = options.highestFret ?? (hand.kind === 'bar' ? 12 : 5);
  const needed = options.strings;
  const columns = hand.strings
    .filter(({ string }) => needed === undefined || needed.includes(string))
    .map(({ string, midi, highestFret }) => {
      const places: Place[] = [];
      for (let fret = 0; fret <= Math.min(highest, highestFret); fret++) {
        if (fret > 0 && fret < lowest) continue;
        if (wanted.has(pitchClassOf(midi + fret))) places.push({ string, fret });
      }
      return places;
    })
    .reverse();
  const most = hand.kind === 'bar' ? 1 : hand.places.length;
  const build = function* (at: number, chosen: readonly Place[]): Generator<readonly Place[]> {
    if (!fewFrets(hand, chosen, most)) return;
    const column = columns[at];
    if (column === undefined) {
      if (chosen.length >= Math.min(2, columns.length)) yield chosen;
      return;
    }
    for (const place of column) yield* build(at + 1, [...chosen, place]);
    if (needed === undefined) yield* build(at + 1, chosen);
  };
  yield* build(0, []);
}

/** A quick look before the fingers are tried: no more different frets than fingers, nor further apart than the span. */
function fewFrets(hand: Hand, places: readonly Place[], most: number): boolean {
  const necks = places.filter((place) => place.fret > 0).map((place) => neckOf(hand, place));
  if (necks.length < 2) return true;
  const width = itemAt(hand.millimetres, Math.max(...necks)) - itemAt(hand.millimetres, Math.min(...necks));
  return new Set(necks).size <= most && width <= hand.spanMillimetres;
}

function neckOf(hand: Hand, place: Place): number {
  return itemAt(hand.strings, place.string - 1).openAtFret + place.fret;
}

function easiest(hand: Hand, places: readonly Place[]): Grip | null {
  return (
    gripsOf(
      hand,
      places.map((place) => [place]),
    )[0] ?? null
  );
}

function lackCost(
  hand: Hand,
  places: readonly Place[],
  pitchClasses: readonly PitchClass[],
  options: ChordShapeOptions,
): number {
  const sounding = places.map((place) => itemAt(hand.strings, place.string - 1).midi + place.fret);
  const heard = new Set(sounding.map(pitchClassOf));
  const lacking = new Set(pitchClasses.map(pitchClassOf).filter((tone) => !heard.has(tone))).size;
  let cost = lacking * SHAPE_COSTS.missingTone;
  const bass = options.bass === undefined && hand.instrument === 'guitar' ? pitchClasses[0] : options.bass;
  const asked =
    bass === null || bass === undefined || pitchClassOf(Math.min(...sounding)) === pitchClassOf(bass);
  if (!asked) cost += SHAPE_COSTS.otherBass;
  if (options.strings !== undefined) return cost;
  const numbers = places.map((place) => place.string);
  const highest = Math.max(...numbers);
  const lowest = Math.min(...numbers);
  const full = hand.strings.filter(({ string }) => !isShort(hand, string)).length;
  cost += Math.max(0, full - highest) * SHAPE_COSTS.leftOutBelow + (lowest - 1) * SHAPE_COSTS.leftOutAbove;
  return cost + (highest - lowest + 1 - numbers.length) * SHAPE_COSTS.mutedBetween;
}

import { itemAt, must } from '../base';
import {
  FINGER_PLACES,
  type FingerPlace,
  HAND_COSTS,
  HAND_TERMS,
  type HandTerm,
  HOMES,
  PAIR_SHARE,
  SLANT_FRETS,
} from './hand-costs';
import type { InstrumentName } from './names';
import { fretMillimetres, type OpenString, type Place } from './setup';
import { INSTRUMENT_FACTS } from './tunings';

/** A string stopped by a finger, or open (finger 0). */
export interface Stop extends Place {
  readonly finger: number;
  /** The fret of the neck, from the nut: what the hand measures by. */
  readonly neck: number;
}

/** A left hand on one instrument as it is set up. */
export interface Hand {
  readonly instrument: InstrumentName;
  readonly kind: 'frets' | 'board' | 'bar';
  readonly strings: readonly OpenString[];
  readonly spanMillimetres: number;
  readonly places: readonly FingerPlace[];
  /** Millimetres from the nut, by fret of the neck; on past the last one, where a stretched hand's own places may lie. */
  readonly millimetres: readonly number[];
  /** The lowest place of the index finger: the fret above the capo. */
  readonly lowest: number;
  /** Where it costs nothing to lie. */
  readonly home: number;
  /** What each note stopped elsewhere costs more. */
  readonly away: number;
  /** The highest fret that is reached. */
  readonly highest: number;
}

/** What one hand does for notes that begin together. */
export interface Grip {
  /** One for each note, in order. */
  readonly stops: readonly Stop[];
  /** Where the index finger lies, as a fret of the neck; 0 where no finger is put down and the hand stays. */
  readonly position: number;
  readonly cost: number;
}

/** Adds up costs by name, when asked to. */
export type Ledger = Map<HandTerm, number>;

export function handOf(
  instrument: InstrumentName,
  strings: readonly OpenString[],
  capo: number,
  spanMillimetres: number,
): Hand {
  const facts = INSTRUMENT_FACTS[instrument];
  if (facts.hand === 'none') throw new Error('a voice has no left hand');
  return {
    instrument,
    kind: facts.hand,
    strings,
    spanMillimetres,
    places: FINGER_PLACES[instrument],
    millimetres: Array.from({ length: facts.frets + 12 }, (_, fret) =>
      fretMillimetres(facts.scaleMillimetres, fret),
    ),
    lowest: capo + 1,
    home: capo + HOMES[instrument].position,
    away: HOMES[instrument].away,
    highest: facts.frets,
  };
}

/** Where the index finger may lie, as frets from the capo, while a finger stops a fret in its own place of the hand. */
export function indexPlaces(
  instrument: InstrumentName,
  { fret, finger }: Pick<Stop, 'fret' | 'finger'>,
): { readonly from: number; readonly to: number } {
  const own = FINGER_PLACES[instrument].find((place) => place.finger === finger);
  return own ? { from: fret - own.to, to: fret - own.from } : { from: fret, to: fret };
}

/** The same with fingers drawn together: as near the index finger as they go. */
export function indexReach(
  instrument: InstrumentName,
  stop: Pick<Stop, 'fret' | 'finger'>,
): { readonly from: number; readonly to: number } {
  const { from, to } = indexPlaces(instrument, stop);
  const own = FINGER_PLACES[instrument].find((place) => place.finger === stop.finger);
  return { from, to: Math.max(to, stop.fret - (own?.least ?? 0)) };
}

/** Whether a string begins further up the neck, as the banjo's fifth does. */
export function isShort(hand: Hand, string: number): boolean {
  return (INSTRUMENT_FACTS[hand.instrument].startsAtFret[string] ?? 0) > 0;
}

/** Millimetres from one fret of the neck to another. */
function between(hand: Hand, from: number, to: number): number {
  return Math.abs(itemAt(hand.millimetres, to) - itemAt(hand.millimetres, from));
}

/**
 * Millimetres by which a finger at a fret lies beyond its own place in a hand at a position, below 0 where it lies nearer the index;
 * null: it does not reach.
 */
export function stretchOf(hand: Hand, position: number, finger: number, neck: number): number | null {
  const place = must(
    hand.places.find((each) => each.finger === finger),
    'a finger that the instrument uses',
  );
  const above = neck - position;
  if (above < place.least || above > place.most) return null;
  if (finger > 1 && between(hand, position, neck) > pairLimit(hand, 1, finger)) return null;
  if (above < place.from) return -between(hand, neck, position + place.from);
  return above > place.to ? between(hand, position + place.to, neck) : 0;
}

function pairLimit(hand: Hand, a: number, b: number): number {
  return itemAt(itemAt(PAIR_SHARE, a), b) * hand.spanMillimetres;
}

/** Whether a bar slants over two neighbouring strings that are struck at once. */
function slantsOver(hand: Hand, a: Stop, b: Stop): boolean {
  if (hand.kind !== 'bar' || a.finger === 0 || b.finger === 0) return false;
  return Math.abs(a.string - b.string) === 1 && Math.abs(a.neck - b.neck) <= SLANT_FRETS;
}

/**
 * Whether two strings can be stopped (or ring open) at once. A higher finger lies on a higher fret, or on the same
 * fret nearer the floor. One finger stops two strings only at one fret: the index any (a barre), on a bare board any
 * finger two neighbours; a straight bar lies on one fret.
 */
export function fitTogether(hand: Hand, a: Stop, b: Stop): boolean {
  if (a.string === b.string) return false;
  if (a.finger === 0 || b.finger === 0) return true;
  if (a.finger === b.finger) {
    if (a.neck !== b.neck) return false;
    if (hand.kind === 'board') return Math.abs(a.string - b.string) === 1;
    return a.finger === 1;
  }
  const [low, high] = a.finger < b.finger ? [a, b] : [b, a];
  if (low.neck > high.neck || (low.neck === high.neck && low.string < high.string)) return false;
  return between(hand, low.neck, high.neck) <= pairLimit(hand, low.finger, high.finger);
}

/** Whether no string rings open under a barre: between two strings that the index (or the bar) stops. */
export function barreIsClear(stops: readonly Stop[]): boolean {
  let low = 99;
  let high = 0;
  for (const stop of stops) {
    if (stop.finger !== 1) continue;
    low = Math.min(low, stop.string);
    high = Math.max(high, stop.string);
  }
  return stops.every((stop) => stop.finger !== 0 || stop.string <= low || stop.string >= high);
}

/**
 * Every grip for notes that begin together, cheapest first: a place, a finger for each, and a position.
 *
 * @param choices for each note the places where it may be had
 */
export function gripsOf(hand: Hand, choices: readonly (readonly Place[])[]): readonly Grip[] {
  const grips: Grip[] = [];
  const build = (stops: readonly Stop[]) => {
    const places = choices[stops.length];
    if (places === undefined) {
      if (barreIsClear(stops)) grips.push(...positionsFor(hand, stops));
      return;
    }
    for (const place of places) {
      const neck = itemAt(hand.strings, place.string - 1).openAtFret + place.fret;
      const fingers = place.fret === 0 ? [0] : hand.places.map((each) => each.finger);
      for (const finger of fingers) {
        const stop: Stop = { string: place.string, fret: place.fret, finger, neck };
        const fits = (other: Stop) => fitTogether(hand, other, stop) || slantsOver(hand, other, stop);
        if (stops.every(fits)) build([...stops, stop]);
      }
    }
  };
  build([]);
  return grips.sort((a, b) => a.cost - b.cost);
}

function positionsFor(hand: Hand, stops: readonly Stop[]): readonly Grip[] {
  const stopped = stops.filter((stop) => stop.finger > 0);
  if (stopped.length === 0) return [{ stops, position: 0, cost: 0 }];
  const grips: Grip[] = [];
  const highest = Math.min(hand.highest, Math.min(...stopped.map((stop) => stop.neck)) + 1);
  for (let position = hand.lowest; position <= highest; position++) {
    const cost = gripCost(hand, stopped, position, null);
    if (cost !== null) grips.push({ stops, position, cost });
  }
  return grips;
}

/** What it costs that a finger takes a string while it stops so many others. */
export function barreCost(others: number): number {
  if (others === 0) return 0;
  return others === 1 ? HAND_COSTS.barre : HAND_COSTS.barreFurther;
}

/** The cost of putting these fingers down at a position, whatever came before; null: they do not reach. */
export function gripCost(
  hand: Hand,
  stops: readonly Stop[],
  position: number,
  ledger: Ledger | null,
): number | null {
  let total = 0;
  const add = (term: HandTerm, cost: number) => {
    total += cost;
    if (ledger && cost > 0) ledger.set(term, (ledger.get(term) ?? 0) + cost);
  };
  const seen: number[] = [];
  for (const { finger, neck, string } of stops) {
    if (finger === 0) continue;
    const stretch = stretchOf(hand, position, finger, neck);
    if (stretch === null) return null;
    add('press', HAND_COSTS.press);
    if (hand.kind !== 'bar') add('finger', itemAt(HAND_COSTS.finger, finger));
    if (stretch > 0) add('stretch', stretch * HAND_COSTS.stretchPerMillimetre);
    else add('crowd', -stretch * HAND_COSTS.crowdPerMillimetre);
    const away = position === hand.home ? 0 : hand.away;
    add('up the neck', away + between(hand, hand.home, position) * HAND_COSTS.upTheNeckPerMillimetre);
    if (hand.kind !== 'bar') add('barre', barreCost(seen.filter((other) => other === finger).length));
    if ((INSTRUMENT_FACTS[hand.instrument].startsAtFret[string] ?? 0) > 0)
      add('short string', HAND_COSTS.shortString);
    seen.push(finger);
  }
  return total;
}

/** What it costs to move the hand from one position to another, with so many seconds since a finger was last put down. */
export function shiftCost(hand: Hand, from: number, to: number, seconds: number): number {
  if (from === to) return 0;
  const hurry = 1 + HAND_COSTS.hurrySeconds / seconds;
  return HAND_COSTS.shift + between(hand, from, to) * HAND_COSTS.shiftPerMillimetre * hurry;
}

/** The terms of a ledger that are not 0, in the table's order. */
export function termsOf(ledger: Ledger): readonly { readonly rule: HandTerm; readonly cost: number }[] {
  return HAND_TERMS.map((rule) => ({ rule, cost: ledger.get(rule) ?? 0 })).filter((term) => term.cost > 0);
}

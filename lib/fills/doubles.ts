import { itemAt, lastOf, randomFrom } from '../base';
import { type Articulation, type OpenString, SLANT_FRETS } from '../instruments';
import { pitchClassOf, toneOf } from '../theory';
import { beatTicks, type Ticks } from '../time';
import { type Draft, type DraftNote, plainDraft } from './candidate';
import { FEWEST_NOTES } from './costs';
import { nearestPitch } from './held';
import { landingIndex, type Scene, type Slot, slotsOf } from './scene';
import { chordNameOf, lineSeed } from './words';

/** Two neighbouring strings sounded together, both chord tones. */
interface Pair {
  readonly lowString: number;
  readonly low: number;
  readonly high: number;
  /** The lower of its stopped frets, where the hand lies; 1 for open strings. */
  readonly hand: number;
  /** Frets from one stopped note to the other. */
  readonly wide: number;
  /** Its highest stopped fret, 0 for open strings; and how many of the two are stopped. */
  readonly top: number;
  readonly stopped: number;
}

/** What joining two double-stops costs, in semitones of the upper voice. Common practice, no source. */
const PAIR_COSTS = {
  /** The same two notes again. */
  repeat: 2.5,
  /** A step of the upper voice away from this many semitones. */
  easyStep: 4,
  /** For each fret that the hand goes further than two; beyond `FURTHEST` it does not go. */
  fret: 1.2,
  /** For each string further than the next that the pair moves. */
  string: 1.5,
  /** For each fret beyond two that its notes lie apart. */
  wide: 1.5,
  /** For each fret that a bar slants: it lies straight unless that is much the worse. */
  slant: 2.5,
  /** On a neck without frets: both strings stopped, where an open one is in tune by itself; for each fret beyond what the ring finger has in first position. */
  bothStopped: 1.5,
  beyondRing: 1.2,
  /** Neither a third nor a sixth. */
  otherInterval: 3,
  /** Beginning or ending: for each semitone from the note that is sung there, a third away free. */
  fromSung: 0.3,
  /** The upper note of the last pair: neither root nor what is sung next. */
  landsElsewhere: 2,
  /** … neither root nor third, where the song ends. */
  closesElsewhere: 12,
  /** For each semitone outside the hand's first places. */
  high: 0.3,
  variety: 1.5,
} as const;

/** Frets (from the capo) on which double-stops are looked for, and how far apart the two may be. */
const HIGHEST_FRET = 9;
const HIGHEST_BAR = 12;
const WIDEST = 3;
/** Frets that the hand moves at most from one double-stop to the next. */
const FURTHEST = 4;
/** A straight bar slides further. */
const FURTHEST_BAR = 7;
/** Thirds and sixths, in semitones. */
const SWEET: ReadonlySet<number> = new Set([3, 4, 8, 9]);

/** A place for a double-stop, as long as it is held. */
interface Place {
  readonly slot: Slot;
  readonly ticks: Ticks;
}

/** Double-stops on each beat. */
export function doubleStops(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const places = beatsOf(scene).map((slot) => ({ slot, ticks: slot.ticks }));
  return [0, 1].flatMap((variant) => {
    const notes = pairLine(scene, strings, places.slice(-8), 'struck', `double-stops ${variant}`);
    if (!notes) return [];
    return [plainDraft('double-stops', `double-stops on the beats, to ${landing(places)}`, notes)];
  });
}

/** Double-stops held as long as the chord or half a bar goes, with tremolo or a long bow. */
export function longDoubleStops(
  scene: Scene,
  strings: readonly OpenString[],
  family: 'tremolo double-stops' | 'long bow',
): readonly Draft[] {
  const places = longPlaces(beatsOf(scene));
  const articulation = family === 'long bow' ? 'bowed' : 'tremolo';
  const how = family === 'long bow' ? 'long bows on two strings' : 'double-stops with tremolo';
  return [0, 1].flatMap((variant) => {
    const notes = pairLine(scene, strings, places, articulation, `${family} ${variant}`);
    return notes ? [plainDraft(family, `${how}, to ${landing(places)}`, notes)] : [];
  });
}

const landing = (places: readonly Place[]) => chordNameOf(lastOf(places).slot.harmony.chord);

/** The beats of a scene up to its last one before the guard. */
export function beatsOf(scene: Scene): readonly Slot[] {
  const beat = beatTicks(scene.timeline.barAt(scene.startTick).bar.meter);
  const step = beat === 1440 ? 1440 : beat < 960 ? 480 : 960;
  const beats = slotsOf(scene, step, scene.startTick, scene.guardEnd);
  return beats.slice(0, landingIndex(beats) + 1);
}

/** Joins beats to longer places: a new one at each new chord and on each strong beat; where that is but one, at its middle. */
function longPlaces(beats: readonly Slot[]): readonly Place[] {
  const middle = beats.length >= FEWEST_NOTES ? beats[Math.floor(beats.length / 2)] : undefined;
  const strong = beats.filter((slot, i) => {
    const before = beats[i - 1];
    return before === undefined || slot.harmony !== before.harmony || slot.strength >= 3;
  });
  const starts = strong.length === 1 && middle ? [...strong, middle] : strong;
  return starts.map((slot, i) => {
    const last = lastOf(beats);
    const end = starts[i + 1]?.tick ?? last.tick + last.ticks;
    return { slot, ticks: end - slot.tick };
  });
}

/** Pairs of chord tones that a hand has on neighbouring strings; under a bar both at its fret, or slanted a little, or one of them open. */
function pairsFor(strings: readonly OpenString[], slot: Slot, bar: boolean): readonly Pair[] {
  const highest = bar ? HIGHEST_BAR : HIGHEST_FRET;
  const pairs: Pair[] = [];
  for (let lowString = strings.length; lowString >= 2; lowString--) {
    const low = itemAt(strings, lowString - 1);
    const high = itemAt(strings, lowString - 2);
    for (let f = 0; f <= Math.min(highest, low.highestFret); f++) {
      if (!toneOf(slot.harmony.chord, low.midi + f)) continue;
      for (let g = 0; g <= Math.min(highest, high.highestFret); g++) {
        const apart = high.midi + g - low.midi - f;
        if (apart < 3 || apart > 9 || !toneOf(slot.harmony.chord, high.midi + g)) continue;
        const wide = f > 0 && g > 0 ? Math.abs(f - g) : 0;
        if (wide > (bar ? SLANT_FRETS : WIDEST)) continue;
        const hand = f > 0 && g > 0 ? Math.min(f, g) : Math.max(1, f, g);
        const stopped = (f > 0 ? 1 : 0) + (g > 0 ? 1 : 0);
        const top = Math.max(f, g);
        pairs.push({ lowString, low: low.midi + f, high: high.midi + g, hand, wide, top, stopped });
      }
    }
  }
  return pairs;
}

/**
 * The line of double-stops of least cost (`PAIR_COSTS`), exactly, by dynamic programming over the pairs of chord tones that
 * two neighbouring strings have at each place. Null where a place has none, or where there are not two places.
 */
export function pairLine(
  scene: Scene,
  strings: readonly OpenString[],
  places: readonly Place[],
  articulation: Articulation,
  idea: string,
): readonly DraftNote[] | null {
  if (places.length < 2) return null;
  const usable = scene.setup.instrument === 'guitar' ? strings.filter((each) => each.string <= 4) : strings;
  const bar = scene.setup.instrument === 'resonator guitar';
  const fretless = scene.setup.instrument === 'fiddle' && scene.wish.neck === 0;
  const random = randomFrom(lineSeed(scene, idea));
  interface Step {
    readonly pair: Pair;
    readonly cost: number;
    readonly before: Step | null;
  }
  const register = Math.max(...usable.map((each) => each.midi));
  const { lift } = scene.wish;
  const home = register + lift;
  const own = (pair: Pair) =>
    PAIR_COSTS.high * Math.max(0, pair.high - home - 3) +
    (lift === 0 ? 0 : PAIR_COSTS.high * Math.max(0, home - pair.high)) +
    (SWEET.has(pair.high - pair.low) ? 0 : PAIR_COSTS.otherInterval) +
    (bar ? PAIR_COSTS.slant * pair.wide : PAIR_COSTS.wide * Math.max(0, pair.wide - 2)) +
    (fretless ? fretlessCost(pair) : 0) +
    random() * PAIR_COSTS.variety;
  const near = (midi: number | null, pair: Pair) =>
    midi === null
      ? 0
      : PAIR_COSTS.fromSung *
        Math.max(0, Math.abs(nearestPitch(pitchClassOf(midi), pair.high) - pair.high) - 4);
  let layer: Step[] = pairsFor(usable, itemAt(places, 0).slot, bar).map((pair) => ({
    pair,
    cost: own(pair) + near(scene.sungBefore, pair),
    before: null,
  }));
  for (const place of places.slice(1)) {
    if (layer.length === 0) return null;
    const steps: readonly Step[] = layer;
    layer = pairsFor(usable, place.slot, bar).map((pair) => {
      const here = own(pair);
      return steps
        .map((step) => ({ pair, before: step, cost: step.cost + here + joining(step.pair, pair, bar) }))
        .reduce((least, step) => (step.cost < least.cost ? step : least));
    });
  }
  layer = layer.filter((step) => step.cost < Number.POSITIVE_INFINITY);
  if (layer.length === 0) return null;
  const last = lastOf(places).slot.harmony.chord;
  const lands = (pair: Pair) => {
    const sung = scene.sungNext !== null && pitchClassOf(scene.sungNext) === pitchClassOf(pair.high);
    if (pitchClassOf(pair.high) === last.root) return 0;
    const above = toneOf(last, pair.high)?.above;
    if (scene.final && above !== 3 && above !== 4) return PAIR_COSTS.closesElsewhere;
    return sung ? 0 : PAIR_COSTS.landsElsewhere;
  };
  const end = layer
    .map((step) => ({ ...step, cost: step.cost + lands(step.pair) }))
    .reduce((least, step) => (step.cost < least.cost ? step : least));
  const pairs: Pair[] = [];
  for (let step: Step | null = end; step !== null; step = step.before) pairs.unshift(step.pair);
  return places.flatMap(({ slot, ticks }, i) => {
    const pair = itemAt(pairs, i);
    // Struck by the beat: down on it, whichever strings come next.
    const note = { tick: slot.tick, ticks, articulation, run: true };
    return [
      { ...note, midi: pair.low, string: pair.lowString },
      { ...note, midi: pair.high, string: pair.lowString - 1 },
    ];
  });
}

/** Semitones from the open string that the ring finger has in first position. */
const RING_FINGER = 5;

const fretlessCost = ({ stopped, top }: Pair): number =>
  (stopped > 1 ? PAIR_COSTS.bothStopped : 0) + PAIR_COSTS.beyondRing * Math.max(0, top - RING_FINGER);

function joining(from: Pair, to: Pair, bar: boolean): number {
  const frets = Math.abs(to.hand - from.hand);
  if (frets > (bar ? FURTHEST_BAR : FURTHEST)) return Number.POSITIVE_INFINITY;
  if (from.low === to.low && from.high === to.high) return PAIR_COSTS.repeat;
  return (
    PAIR_COSTS.fret * Math.max(0, frets - 2) +
    PAIR_COSTS.string * Math.max(0, Math.abs(to.lowString - from.lowString) - 1) +
    Math.max(0, Math.abs(to.high - from.high) - PAIR_COSTS.easyStep) +
    0.5 * Math.max(0, Math.abs(to.low - from.low) - PAIR_COSTS.easyStep)
  );
}

import { itemAt, lastOf } from '../base';
import { type OpenString, placeMillimetres } from '../instruments';
import { type Chord, pitchClassOf, toneOf } from '../theory';
import { secondsOf, type Ticks } from '../time';
import type { Draft, DraftNote } from './candidate';
import { BAR_SPEED, BAR_TURN_MILLIMETRES, SHORTEST_GRACE_SECONDS } from './costs';
import { landingIndex, type Scene, type Slot, slotsOf } from './scene';
import { chordNameOf } from './words';

/** Where the bar lies for a chord: on all of its strings, or on the lowest of them beside open ones. */
interface Hold {
  readonly fret: number;
  /** Lowest first. */
  readonly strings: readonly number[];
  /** How many of them the bar stops, from the lowest up; the others ring open. */
  readonly stopped: number;
  readonly cost: number;
}

/** The bar slides in from two frets below; in open tuning the chords of the upper octave are as good. */
const SLIDE_FROM = 2;

/** What a place for the bar costs, in frets of a glide. Common practice, no source. */
const PLACE_COSTS = {
  /** For each fret above the first that can be slid into. */
  fret: 0.15,
  /** A chord on two strings only. */
  twoStrings: 1.5,
  /** One string stopped, slid up to the pitch of the open one beside it. */
  unison: 1,
  /** One string stopped beside open ones, elsewhere. */
  besideOpen: 2.5,
  /** From one chord to the next: for each fret, and more for each beyond what a bar glides without a thought. */
  glide: 0.4,
  leap: 3,
} as const;
const EASY_GLIDE = 5;
/** Beside open strings the bar stays low on the neck. */
const HIGHEST_BESIDE_OPEN = 5;

/**
 * For the resonator guitar: at each new chord the bar slides two frets up into it, on all strings that the chord has under a
 * straight bar, or on one string up to the pitch of an open one; then the strings are rolled, one by one, until the next chord.
 * Where the bar lies for each chord is the least sum of `PLACE_COSTS`, exactly, by dynamic programming over the chords.
 */
export function barSlides(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const step = itemAt(scene.steps, 0);
  const half = Math.min(step, 480) / 2;
  if (secondsOf(half, scene.quartersPerMinute) < SHORTEST_GRACE_SECONDS) return [];
  const all = slotsOf(scene, step, scene.startTick, scene.guardEnd);
  const slots = all.slice(0, landingIndex(all) + 1);
  if (slots.length < 4) return [];
  const holds = holdsThrough(strings, stretchesOf(slots), scene.wish.neck);
  if (!holds) return [];
  const chord = chordNameOf(itemAt(slots, 0).harmony.chord);
  const into = itemAt(holds, 0);
  const way =
    into.stopped === into.strings.length
      ? `a slide into ${chord}`
      : `a slide into ${chord} beside open strings`;
  return ROLLINGS.map(({ name, order }) => ({
    family: 'slide into the chord',
    title: `${way}, then ${name}`,
    notes: slideNotes(scene, strings, stretchesOf(slots), holds, half, order),
    strings: [],
    throughGuard: false,
    leads: false,
    slurs: 'none',
  }));
}

/** Which string of the chord after which, lowest first from 0. Common practice, no source. */
const ROLLINGS = [
  { name: 'the strings from the lowest up', order: [0, 1, 2] },
  { name: 'the strings from the highest down', order: [2, 1, 0] },
] as const;

/** The slots by chord; one that is only written again goes on. */
function stretchesOf(slots: readonly Slot[]): readonly (readonly Slot[])[] {
  const stretches: Slot[][] = [];
  for (const slot of slots) {
    const last = stretches.at(-1);
    const { chord } = slot.harmony;
    if (last && itemAt(last, 0).harmony.chord.symbol === chord.symbol) last.push(slot);
    else stretches.push([slot]);
  }
  return stretches;
}

/** A place of the bar for each chord, of least cost together; null where a chord has none. */
function holdsThrough(
  strings: readonly OpenString[],
  stretches: readonly (readonly Slot[])[],
  neck: number,
): readonly Hold[] | null {
  interface Step {
    readonly hold: Hold;
    readonly cost: number;
    readonly before: Step | null;
  }
  let layer: readonly Step[] = [];
  for (const [i, stretch] of stretches.entries()) {
    const found = holdsFor(strings, itemAt(stretch, 0).harmony.chord, neck);
    if (found.length === 0) return null;
    const steps = layer;
    layer = found.map((hold) =>
      i === 0
        ? { hold, cost: hold.cost, before: null }
        : steps
            .map((before) => ({ hold, before, cost: before.cost + hold.cost + glideCost(before.hold, hold) }))
            .reduce((least, step) => (step.cost < least.cost ? step : least)),
    );
  }
  const best = layer.reduce((least, step) => (step.cost < least.cost ? step : least));
  const holds: Hold[] = [];
  for (let step: Step | null = best; step !== null; step = step.before) holds.unshift(step.hold);
  return holds;
}

/** The bar goes from one place to just below the next. */
function glideCost(from: Hold, to: Hold): number {
  const frets = Math.abs(to.fret - SLIDE_FROM - from.fret);
  return PLACE_COSTS.glide * frets + PLACE_COSTS.leap * Math.max(0, frets - EASY_GLIDE);
}

/** Every place of the bar for a chord: the three upper strings, or two neighbours, under a straight bar; one string beside open ones. */
function holdsFor(strings: readonly OpenString[], chord: Chord, neck: number): readonly Hold[] {
  const lowest = SLIDE_FROM + neck;
  const highest = Math.min(lowest + 11, ...strings.slice(0, 4).map((each) => each.highestFret));
  const midi = (string: number) => itemAt(strings, string - 1).midi;
  const holds: Hold[] = [];
  for (let fret = lowest; fret <= highest; fret++) {
    const up = PLACE_COSTS.fret * (fret - lowest);
    for (const set of BARRED) {
      const pitches = set.map((string) => midi(string) + fret);
      const all = pitches.every((pitch) => toneOf(chord, pitch));
      if (!all || new Set(pitches.map(pitchClassOf)).size < 2) continue;
      const cost = up + (set.length < 3 ? PLACE_COSTS.twoStrings : 0);
      holds.push({ fret, strings: set, stopped: set.length, cost });
    }
    if (neck > 0 || fret > HIGHEST_BESIDE_OPEN) continue;
    for (const string of [4, 3, 2]) {
      const open = [string - 1, string - 2].filter((each) => each > 0 && toneOf(chord, midi(each)));
      if (open[0] !== string - 1 || !toneOf(chord, midi(string) + fret)) continue;
      const unison = midi(string) + fret === midi(string - 1);
      const tones = new Set([midi(string) + fret, ...open.map(midi)].map(pitchClassOf));
      if (tones.size < 2) continue;
      const cost = up + (unison ? PLACE_COSTS.unison : PLACE_COSTS.besideOpen);
      holds.push({ fret, strings: [string, ...open], stopped: 1, cost });
    }
  }
  return holds;
}

/** A stretch of so many places leaves its last one to the hands. */
const ROOM_TO_GO = 4;

const BARRED = [
  [3, 2, 1],
  [2, 1],
  [3, 2],
  [4, 3],
] as const;

/** How many of the last places of a stretch are left to the hands, so that the bar is in time where it slides from next. */
function leftToTheHands(
  scene: Scene,
  strings: readonly OpenString[],
  stretch: readonly Slot[],
  from: Hold,
  to: Hold,
  next: Ticks,
): number {
  if (stretch.length < ROOM_TO_GO) return 0;
  const at = (fret: number) => placeMillimetres('resonator guitar', strings, { string: 1, fret });
  const away = Math.abs(at(to.fret - SLIDE_FROM) - at(from.fret)) - BAR_TURN_MILLIMETRES;
  const seconds = (left: number) =>
    secondsOf(next - itemAt(stretch, stretch.length - 1 - left).tick, scene.quartersPerMinute);
  // The chord itself, and what it was slid into, stay.
  for (let left = 1; left < stretch.length - 2; left++) if (away <= BAR_SPEED * seconds(left)) return left;
  return stretch.length - 2;
}

function slideNotes(
  scene: Scene,
  strings: readonly OpenString[],
  stretches: readonly (readonly Slot[])[],
  holds: readonly Hold[],
  half: Ticks,
  order: readonly number[],
): readonly DraftNote[] {
  const end = lastOf(lastOf(stretches));
  const rests = Math.max(end.tick + end.ticks, Math.min(scene.guardEnd, end.tick + 1920));
  return stretches.flatMap((stretch, i) => {
    const hold = itemAt(holds, i);
    const under = hold.strings.slice(0, hold.stopped);
    const midiOn = (string: number) =>
      itemAt(strings, string - 1).midi + (under.includes(string) ? hold.fret : 0);
    const first = itemAt(stretch, 0);
    // A chord that is slid into takes the grid's place and the next one; one string beside open ones goes on at once.
    const long = hold.stopped > 1 && stretch.length > 2;
    // Before the next chord the hands go there.
    const next = stretches[i + 1]?.[0];
    const left = next ? leftToTheHands(scene, strings, stretch, hold, itemAt(holds, i + 1), next.tick) : 0;
    const after = stretch.slice(long ? 2 : 1, stretch.length - left);
    const over = after[0]?.tick ?? (first === end ? rests : first.tick + first.ticks);
    const slid = (['below', 'on'] as const).flatMap((phase) =>
      under.map((string) => ({
        tick: phase === 'below' ? first.tick : first.tick + half,
        ticks: phase === 'below' ? half : over - first.tick - half,
        midi: midiOn(string) - (phase === 'below' ? SLIDE_FROM : 0),
        articulation: phase === 'below' ? ('struck' as const) : ('slide' as const),
        string,
        run: false,
      })),
    );
    // What was just slid is not the first to be struck again.
    const skip = hold.stopped > 1 ? 0 : 1;
    const rolled = after.map((slot, k) => {
      const string = itemAt(hold.strings, itemAt(order, (k + skip) % order.length) % hold.strings.length);
      const ticks = slot === end ? rests - slot.tick : slot.ticks;
      return {
        tick: slot.tick,
        ticks,
        midi: midiOn(string),
        articulation: 'struck' as const,
        string,
        run: false,
      };
    });
    return [...slid, ...rolled];
  });
}

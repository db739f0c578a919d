import { itemAt, lastOf } from '../base';
import type { OpenString } from '../instruments';
import { pitchClassOf, toneOf } from '../theory';
import { barTicks, type Ticks } from '../time';
import type { Draft, DraftNote } from './candidate';
import { FEWEST_NOTES, REGISTERS } from './costs';
import { barredOn, type Held, heldOn, isTold } from './held';
import { type Contour, searchLine } from './line';
import { BANJO_ABOVE_OPEN, closesOn, landingChord, runNotes } from './line-notes';
import { BANJO_ROLLS, type RollPattern, THREE_STRING_ROLLS } from './patterns';
import { landingIndex, type Scene, type Slot, slotsOf } from './scene';
import { withGraces } from './slurs';
import { courseOf, type Sounded } from './titles';
import { landingName, lineSeed, withArticle } from './words';

/** A roll goes on for at least so many notes before a run takes over, and a run is so long. */
const ROLL_BEFORE_RUN = 3;
const SHORT_RUN = 4;
const LONG_RUN = 5;
/** A string rings on for at most so many places of the grid. */
const RING = 4;

/** One way to roll in a scene: which pattern over which strings, and how it ends. */
interface Roll {
  readonly family: string;
  /** By place in the pattern, string numbers. */
  readonly pattern: readonly number[];
  /** The strings that are held, lowest first. */
  readonly strings: readonly number[];
  readonly ending: 'none' | 'run' | 'pinch';
  readonly name: string;
  /** True where one straight bar stops the strings. */
  readonly bar: boolean;
}

/** Three neighbouring strings, lowest first: those a flat pick rolls over. */
export function neighbourSets(count: number): readonly (readonly number[])[] {
  const sets: number[][] = [];
  for (let lowest = Math.min(5, count); lowest >= 3; lowest--) sets.push([lowest, lowest - 1, lowest - 2]);
  return sets;
}

/** Rolls over three neighbouring strings out of a held shape, each alone and with a run at its end. */
export function threeStringRolls(
  scene: Scene,
  strings: readonly OpenString[],
  family?: string,
): readonly Draft[] {
  const rolls: Roll[] = [];
  for (const pattern of THREE_STRING_ROLLS)
    for (const set of neighbourSets(strings.length))
      for (const ending of ['run', 'none'] as const)
        rolls.push({
          family: family ?? pattern.family,
          pattern: patternFor(scene, pattern).map((place) => itemAt(set, place)),
          strings: set,
          ending,
          name: `${pattern.family} on ${set.join(', ')}`,
          bar: scene.setup.instrument === 'resonator guitar',
        });
  return rolls.flatMap((roll) => writeRoll(scene, strings, roll));
}

/** Three-finger rolls of the banjo, with its drone. */
export function banjoRolls(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const rolls: Roll[] = [];
  for (const pattern of BANJO_ROLLS)
    for (const ending of ['run', 'none', 'pinch'] as const)
      rolls.push({
        family: pattern.family,
        pattern: patternFor(scene, pattern),
        strings: [4, 3, 2, 1].filter((string) => patternFor(scene, pattern).includes(string)),
        ending,
        name: pattern.family,
        bar: false,
      });
  return rolls.flatMap((roll) => writeRoll(scene, strings, roll));
}

function patternFor(scene: Scene, pattern: RollPattern): readonly number[] {
  const bar = scene.timeline.barAt(scene.startTick).bar;
  const eighths = barTicks(bar.meter) / 480;
  return eighths % 8 !== 0 && eighths % 6 === 0 ? pattern.six : pattern.eight;
}

function writeRoll(scene: Scene, strings: readonly OpenString[], roll: Roll): readonly Draft[] {
  return scene.steps.flatMap((step) => {
    const draft = rollAt(scene, strings, roll, step);
    return draft ? [draft] : [];
  });
}

function rollAt(scene: Scene, strings: readonly OpenString[], roll: Roll, step: Ticks): Draft | null {
  const all = slotsOf(scene, step, scene.startTick, scene.guardEnd);
  const landing = landingIndex(all);
  const total = landing + 1;
  if (total < FEWEST_NOTES + 1) return null;
  const runLength = roll.ending !== 'run' ? 0 : total >= 10 ? LONG_RUN : SHORT_RUN;
  const rollLength =
    roll.ending === 'pinch' ? beforePinch(roll, all.slice(0, landing + 1)) : total - runLength;
  if (rollLength < ROLL_BEFORE_RUN) return null;

  const rests = roll.ending === 'none' ? restUntil(scene, itemAt(all, landing)) : null;
  const rolled = rollNotes(scene, strings, roll, all.slice(0, rollLength), rests);
  if (!rolled) return null;
  const graced = withGraces(scene, strings, rolled, all.slice(0, rollLength), lineSeed(scene, roll.name));
  const speed = step === 240 ? ' in sixteenths' : step >= 960 ? ' in long notes' : '';
  const shared = {
    family: roll.family,
    strings: scene.setup.instrument === 'banjo' ? [] : roll.strings,
    throughGuard: false,
    leads: false,
  };
  const name = withArticle(roll.name) + speed;
  if (roll.ending === 'none')
    return { ...shared, title: name, notes: graced, plainly: rolled, slurs: 'none' };
  if (roll.ending === 'pinch') {
    const pinch = pinchAt(scene, strings, roll, itemAt(all, landing));
    if (!pinch) return null;
    return {
      ...shared,
      title: `${name}, closed by a pinch`,
      notes: [...graced, ...pinch],
      plainly: [...rolled, ...pinch],
      slurs: 'none',
    };
  }
  const run = runOn(scene, strings, lastOf(rolled).midi, all.slice(rollLength, total), roll);
  if (!run) return null;
  return {
    ...shared,
    title: (sounded) => `${name}, ${endingName(sounded.slice(-run.length), itemAt(all, landing))}`,
    notes: [...graced, ...run],
    plainly: [...rolled, ...run],
    slurs: 'left hand',
  };
}

/** Until when a note that comes to rest may ring: two beats at most, no longer than the space, and its chord, let it. */
function restUntil(scene: Scene, slot: Slot): Ticks {
  return Math.min(scene.guardEnd, slot.tick + Math.max(slot.ticks, 1920));
}

/**
 * How many notes are rolled before a pinch, which takes thumb and middle: up to a note of the index (the second string), or up to a
 * quarter's rest, so that no finger strikes twice running.
 */
function beforePinch(roll: Roll, slots: readonly Slot[]): number {
  const pinch = lastOf(slots).tick;
  for (let length = slots.length - 1; length > 0; length--) {
    const last = itemAt(slots, length - 1);
    const index = itemAt(roll.pattern, (length - 1) % roll.pattern.length) === 2;
    if (pinch - last.tick >= 960 || index) return length;
  }
  return 0;
}

/** The banjo's close: thumb and middle together, on the first string (or the second) and the drone where it belongs to the chord, else an inner one. */
function pinchAt(
  scene: Scene,
  strings: readonly OpenString[],
  roll: Roll,
  slot: Slot,
): readonly DraftNote[] | null {
  const { chord } = slot.harmony;
  const held = heldOn(
    strings,
    chord,
    [...new Set([4, 3, ...roll.strings])].sort((a, b) => b - a),
    scene.wish.neck,
  );
  const drone = itemAt(strings, 4).midi;
  if (!held) return null;
  const inner = [3, 4].find((string) => pitchClassOf(held.get(string) ?? 0) === chord.root) ?? 3;
  const ticks = restUntil(scene, slot) - slot.tick;
  // As the song ends its root or third is on top.
  const rests = (midi: number | undefined) => {
    const above = midi === undefined ? undefined : toneOf(chord, midi)?.above;
    return scene.final ? above === 0 || above === 3 || above === 4 : above !== undefined;
  };
  // Thumb and middle pinch, and the middle has the first string.
  if (!rests(held.get(1))) return null;
  return [rests(drone) ? 5 : inner, 1].map((string) => ({
    tick: slot.tick,
    ticks,
    midi: held.get(string) ?? drone,
    articulation: 'pinch',
    string,
    run: false,
  }));
}

/** The roll itself: each place of the pattern on the shape that is held there; a string rings until it is struck again. */
function rollNotes(
  scene: Scene,
  strings: readonly OpenString[],
  roll: Roll,
  slots: readonly Slot[],
  /** Set where the last note is the landing: until when it rings. */
  rests: Ticks | null,
): readonly DraftNote[] | null {
  const struck: { slot: Slot; string: number; midi: number }[] = [];
  let before = 0;
  for (let k = 0; k < slots.length; k++) {
    const slot = itemAt(slots, k);
    const held = roll.bar
      ? barredOn(strings, slot.harmony.chord, roll.strings, scene.wish.neck)
      : heldOn(strings, slot.harmony.chord, roll.strings, scene.wish.neck);
    if (!held || !(roll.bar || isTold(slot.harmony.chord, [...held.values()]))) return null;
    let string = itemAt(roll.pattern, k % roll.pattern.length);
    let midi = held.get(string) ?? itemAt(strings, string - 1).midi;
    const counts = slot.strength >= 2 || k === slots.length - 1;
    if (!held.has(string) && counts && !toneOf(slot.harmony.chord, midi)) {
      string = insteadOfDrone(held, before);
      midi = held.get(string) ?? midi;
    }
    if (rests !== null && k === slots.length - 1) {
      string = restingString(scene, slot, held, before, string);
      midi = held.get(string) ?? midi;
    }
    struck.push({ slot, string, midi });
    before = string;
  }
  const end = rests ?? lastOf(slots).tick + lastOf(slots).ticks;
  return struck.map(({ slot, string, midi }, i) => {
    const again = struck.slice(i + 1).find((other) => other.string === string)?.slot.tick ?? end;
    const change = struck.slice(i + 1).find((other) => other.slot.harmony !== slot.harmony)?.slot.tick ?? end;
    const ring = i === struck.length - 1 ? end : slot.tick + RING * slot.ticks;
    const until = Math.min(again, change, end, ring);
    return { tick: slot.tick, ticks: until - slot.tick, midi, articulation: 'struck', string, run: false };
  });
}

/**
 * The string on which a roll comes to rest: the pattern's own where that has the root or what is sung next; else one that has,
 * if it was not struck just before and no banjo player's thumb would strike twice running.
 */
function restingString(scene: Scene, slot: Slot, held: Held, before: number, own: number): number {
  const sung = scene.sungNext === null ? null : pitchClassOf(scene.sungNext);
  const rank = (string: number): number => {
    const midi = held.get(string);
    if (midi === undefined) return 3;
    const pitchClass = pitchClassOf(midi);
    if (pitchClass === sung) return 0;
    const above = toneOf(slot.harmony.chord, midi)?.above ?? NaN;
    return above === 0 ? 1 : scene.final && (above === 3 || above === 4) ? 1.5 : 2;
  };
  const thumbs = scene.setup.instrument === 'banjo' && before >= 3;
  const can = [...held.keys()].filter((string) => string !== before && !(thumbs && string >= 3));
  const best = can.reduce((least, string) => (rank(string) < rank(least) ? string : least), own);
  return own === before || rank(best) < rank(own) ? best : own;
}

/** On a beat (and at the end) whose chord the drone is not part of, the thumb takes a long string instead. */
function insteadOfDrone(held: Held, before: number): number {
  return [3, 4].find((string) => string !== before && held.has(string)) ?? 3;
}

/** A short run from the roll's last note to the landing. */
function runOn(
  scene: Scene,
  strings: readonly OpenString[],
  from: number,
  slots: readonly Slot[],
  roll: Roll,
): readonly DraftNote[] | null {
  const register = REGISTERS[scene.setup.instrument];
  const open = strings.map((each) => each.midi);
  const lowest = Math.max(Math.min(...open), from - 12);
  const above = scene.setup.instrument === 'banjo' ? BANJO_ABOVE_OPEN : 7;
  const long = scene.setup.instrument === 'banjo' ? open.slice(0, 4) : open;
  const highest = Math.min(Math.max(...long) + above, register.highest + scene.setup.capo, from + 12);
  const contour: Contour = from >= (lowest + highest) / 2 ? 'down' : 'up';
  const line = searchLine({
    slots,
    lowest,
    highest,
    middle: register.middle + scene.setup.capo,
    from,
    startsOnBass: false,
    contour,
    notes: 'key',
    scale: scene.scale,
    sungNext: scene.sungNext === null ? null : pitchClassOf(scene.sungNext),
    leadsTo: null,
    ...closesOn(scene),
    seed: lineSeed(scene, roll.name),
  });
  if (!line) return null;
  return runNotes(scene, slots, line.pitches, scene.guardEnd);
}

/** What a roll ends with: a run where it goes one way or turns once, else a line. */
function endingName(sounded: readonly Sounded[], landing: Slot): string {
  const { midi } = lastOf(sounded);
  const course = courseOf(sounded.map((note) => note.midi));
  return `then a ${course === null ? 'line' : `run ${course}`} into ${landingName(landingChord(landing, midi), midi)}`;
}

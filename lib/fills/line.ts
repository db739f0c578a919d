import { itemAt, randomFrom } from '../base';
import { type Chord, type PitchClass, pitchClassOf } from '../theory';
import { LINE_COSTS } from './costs';
import type { Harmony, Slot } from './scene';

/** Which way a line goes. */
export type Contour = 'up' | 'down' | 'up then down' | 'down then up' | 'level';

/** What a line has to do. */
export interface LineTask {
  readonly slots: readonly Slot[];
  readonly lowest: number;
  readonly highest: number;
  /** Where it feels at home. */
  readonly middle: number;
  /** The pitch it goes on from; null: it may start anywhere. */
  readonly from: number | null;
  /** True: starts on the bass note of its first chord. */
  readonly startsOnBass: boolean;
  readonly contour: Contour;
  /** True: it keeps to that way at nearly any price. */
  readonly strictly?: boolean;
  /** Which notes may stand beside the chord's: the key's seven, or five over each chord. */
  readonly notes: 'key' | 'five';
  readonly scale: readonly PitchClass[];
  /** Pitch class that is sung next; null: nothing is, or it does not matter. */
  readonly sungNext: PitchClass | null;
  /** Set for a line that does not rest but leads into this chord's root. */
  readonly leadsTo: Harmony | null;
  /** True for a walk: steps and one way count for more, chord tones on weak beats for less. */
  readonly walk?: boolean;
  /** True for the band's lowest voice: a chord that lasts opens on its root, or else its fifth or third. */
  readonly bass?: boolean;
  /** Semitones above the root on which it may come to rest with the song's last chord; left out: the song goes on. */
  readonly closesOn?: readonly number[];
  /** True for strings that can be choked: the flat third, pulled toward the third, may go down. */
  readonly chokes?: boolean;
  /** Pitches that stand already, by slot: no other is a state there, be it in the key or not. */
  readonly pinned?: ReadonlyMap<number, number>;
  readonly seed: number;
}

export interface Line {
  /** One for each slot. */
  readonly pitches: readonly number[];
  /** In points of `LINE_COSTS`; the least over all lines of the model. */
  readonly cost: number;
}

type Kind = 'chord' | 'early' | 'flat third' | 'passing' | 'outside';
interface Tone {
  readonly kind: Kind;
  readonly cost: number;
}

/** Above the root of a chord: the five notes of a major and of a minor chord. Common practice, no source. */
export const FIVE_MAJOR = [0, 2, 4, 7, 9];
export const FIVE_MINOR = [0, 3, 5, 7, 10];
/** No line of a fill leaps more than an octave. */
const WIDEST_LEAP = 12;

/**
 * The line of least cost through the slots: a shortest path over (slot, pitch, last motion), found exactly by dynamic
 * programming in O(slots × pitches × leap). Model: the cost of a line is the sum over its notes of how they stand to chord,
 * key and beat, over its moves of leaps, repeats, turns and passing notes, and of its start and its
 * landing (`LINE_COSTS`, in points). Notes in neither key nor chord are not states, the flat third of a major chord excepted.
 * Null where no line exists (no slot, or no pitch in reach).
 */
export function searchLine(task: LineTask): Line | null {
  const { slots } = task;
  const width = task.highest - task.lowest + 1;
  if (slots.length === 0 || width <= 0) return null;
  const size = width * 3;
  const varied = varietyOf(task);
  const cameFrom: Int32Array[] = [];
  let costs = new Float64Array(size).fill(Number.POSITIVE_INFINITY);
  let layer = statesAt(task, 0);

  for (const { place, pitch, tone } of layer) {
    costs[place * 3 + 1] =
      tone.cost + registerCost(task, pitch) + startCost(task, pitch, tone) + varied(0, pitch);
  }
  cameFrom.push(new Int32Array(size).fill(-1));

  for (let i = 1; i < slots.length; i++) {
    const nextLayer = statesAt(task, i);
    const next = new Float64Array(size).fill(Number.POSITIVE_INFINITY);
    const from = new Int32Array(size).fill(-1);
    const wanted = wantedMotion(task.contour, i, slots.length);
    for (const { place: q, pitch, tone } of nextLayer) {
      const here = tone.cost + registerCost(task, pitch) + varied(i, pitch);
      for (const { place: p, tone: before } of layer) {
        if (Math.abs(q - p) > WIDEST_LEAP) continue;
        const motion = Math.sign(q - p);
        const move = here + moveCost(task, before, tone, q - p, wanted);
        const to = q * 3 + motion + 1;
        for (let m = 0; m < 3; m++) {
          const turned = motion !== 0 && m !== 1 && m !== motion + 1 ? turnCost(task) : 0;
          const cost = itemAt(costs, p * 3 + m) + move + turned;
          if (cost < itemAt(next, to)) {
            next[to] = cost;
            from[to] = p * 3 + m;
          }
        }
      }
    }
    costs = next;
    layer = nextLayer;
    cameFrom.push(from);
  }

  let best = -1;
  let bestCost = Number.POSITIVE_INFINITY;
  for (const { place, pitch, tone } of layer) {
    for (let m = 0; m < 3; m++) {
      const cost = itemAt(costs, place * 3 + m) + endCost(task, pitch, tone, m - 1);
      if (cost < bestCost) {
        best = place * 3 + m;
        bestCost = cost;
      }
    }
  }
  if (best < 0) return null;
  const pitches: number[] = [];
  for (let i = slots.length - 1; i >= 0; i--) {
    pitches.push(task.lowest + Math.floor(best / 3));
    best = itemAt(itemAt(cameFrom, i), best);
  }
  return { pitches: pitches.reverse(), cost: bestCost };
}

/** A pitch that a line may have at a slot. */
interface PitchState {
  /** Semitones above the task's lowest pitch. */
  readonly place: number;
  readonly pitch: number;
  readonly tone: Tone;
}

function statesAt(task: LineTask, index: number): readonly PitchState[] {
  const tones = tonesAt(task, index);
  const states: PitchState[] = [];
  for (let pitch = task.lowest; pitch <= task.highest; pitch++) {
    const tone = itemAt(tones, pitchClassOf(pitch));
    if (isState(task, index, pitch, tone)) states.push({ place: pitch - task.lowest, pitch, tone });
  }
  return states;
}

function isState(task: LineTask, index: number, pitch: number, tone: Tone): boolean {
  const own = task.pinned?.get(index);
  return own === undefined ? tone.kind !== 'outside' : own === pitch;
}

/** The cost of a given line by the same model, added up note by note; infinite where a note is no state. */
export function lineCost(task: LineTask, pitches: readonly number[]): number {
  const varied = varietyOf(task);
  let cost = 0;
  let motion = 0;
  for (let i = 0; i < task.slots.length; i++) {
    const pitch = itemAt(pitches, i);
    const tone = itemAt(tonesAt(task, i), pitchClassOf(pitch));
    if (!isState(task, i, pitch, tone)) return Number.POSITIVE_INFINITY;
    cost += tone.cost + registerCost(task, pitch) + varied(i, pitch);
    if (i === 0) cost += startCost(task, pitch, tone);
    else {
      const before = itemAt(pitches, i - 1);
      const interval = pitch - before;
      if (Math.abs(interval) > WIDEST_LEAP) return Number.POSITIVE_INFINITY;
      const wanted = wantedMotion(task.contour, i, task.slots.length);
      cost += moveCost(task, itemAt(tonesAt(task, i - 1), pitchClassOf(before)), tone, interval, wanted);
      if (motion !== 0 && Math.sign(interval) === -motion) cost += turnCost(task);
      motion = Math.sign(interval);
    }
    if (i === task.slots.length - 1) cost += endCost(task, pitch, tone, motion);
  }
  return cost;
}

/** The seeded difference of each note of a task from the same note of another. */
function varietyOf(task: LineTask): (index: number, pitch: number) => number {
  const random = randomFrom(task.seed);
  const width = task.highest - task.lowest + 1;
  const table = Array.from({ length: task.slots.length * width }, () => random() * LINE_COSTS.variety);
  return (index, pitch) => itemAt(table, index * width + pitch - task.lowest);
}

/** How each of the twelve pitch classes stands to the slot's chord, key and beat. */
function tonesAt(task: LineTask, index: number): readonly Tone[] {
  const slot = itemAt(task.slots, index);
  const last = index === task.slots.length - 1;
  const { chord } = slot.harmony;
  const outside =
    last && task.leadsTo
      ? LINE_COSTS.outsideOffBeat
      : slot.strength >= 3
        ? LINE_COSTS.outsideOnStrongBeat
        : slot.strength === 2
          ? task.walk
            ? LINE_COSTS.walksOnBeat
            : LINE_COSTS.outsideOnBeat
          : LINE_COSTS.outsideOffBeat;
  const five = chord.third === 'minor' ? FIVE_MINOR : FIVE_MAJOR;
  // Where a line leads away, its last note belongs to what comes.
  const opens = slot.opens === true && !(last && task.leadsTo);
  const tones = Array.from({ length: 12 }, (_, pitchClass): Tone => {
    const above = pitchClassOf(pitchClass - chord.root);
    if (chord.tones.some((tone) => tone.pitchClass === pitchClass)) return { kind: 'chord', cost: 0 };
    // Over a chord that stays a walk takes its sixth (over a minor one its seventh) as it takes the chord's own tones, but for the strong beats.
    if (task.walk && slot.strength < 3 && !last && !opens && above === (chord.third === 'minor' ? 10 : 9))
      return { kind: 'chord', cost: outside };
    if (slot.soon?.chord.tones.some((tone) => tone.pitchClass === pitchClass) && slot.strength < 2)
      return { kind: 'early', cost: LINE_COSTS.early };
    if (above === 3 && chord.third === 'major') return { kind: 'flat third', cost: outside };
    if (above === 10 && chord.third === 'major')
      return { kind: 'passing', cost: outside + LINE_COSTS.flatSeventh };
    const inNotes = task.notes === 'five' ? five.includes(above) : task.scale.includes(pitchClass);
    return inNotes
      ? { kind: 'passing', cost: outside }
      : task.notes === 'key' && !task.scale.includes(pitchClass)
        ? { kind: 'outside', cost: LINE_COSTS.outOfKey }
        : { kind: 'outside', cost: outside };
  });
  return opens ? tones.map((tone, pitchClass) => opening(task, chord, tone, pitchClass)) : tones;
}

/** A tone as the first that is heard of a chord that lasts. */
function opening(task: LineTask, chord: Chord, tone: Tone, pitchClass: PitchClass): Tone {
  if (tone.kind !== 'chord') return { ...tone, cost: tone.cost + LINE_COSTS.passesChordBy };
  if (!task.bass || pitchClass === chord.bass) return tone;
  const above = pitchClassOf(pitchClass - chord.root);
  const cost =
    above >= 6 && above <= 8
      ? LINE_COSTS.bassOpensOnFifth
      : above === 3 || above === 4
        ? LINE_COSTS.bassOpensOnThird
        : LINE_COSTS.bassOpensElsewhere;
  return { ...tone, cost: tone.cost + cost };
}

function moveCost(task: LineTask, before: Tone, tone: Tone, interval: number, wanted: number): number {
  const width = Math.abs(interval);
  let cost = width === 0 ? LINE_COSTS.repeat : LINE_COSTS.leapSemitone * Math.max(0, width - 4);
  if (task.walk && width > 2)
    cost +=
      width <= 4 && before.kind === 'chord' && tone.kind === 'chord'
        ? LINE_COSTS.walkThirds
        : LINE_COSTS.walkLeaps;
  if (task.walk && width === 0) cost += LINE_COSTS.walkRepeats;
  if (before.kind === 'flat third') cost += afterFlatThird(task, tone, interval);
  if (before.kind === 'passing' && width > 2) cost += LINE_COSTS.passingLeftByLeap;
  if (tone.kind === 'passing' && width > 2) cost += LINE_COSTS.passingReachedByLeap;
  if (wanted !== 0 && Math.sign(interval) === -wanted)
    cost += task.strictly ? LINE_COSTS.strictlyAgainst : LINE_COSTS.againstContour;
  return cost;
}

function afterFlatThird(task: LineTask, { kind }: Tone, interval: number): number {
  if (interval === 1 && kind === 'chord') return LINE_COSTS.flatThirdIntoThird;
  return task.chokes && (interval === -1 || interval === -3)
    ? LINE_COSTS.flatThirdChoked
    : LINE_COSTS.flatThirdElsewhere;
}

function wantedMotion(contour: Contour, index: number, length: number): number {
  const firstHalf = index * 2 <= length;
  switch (contour) {
    case 'up':
      return 1;
    case 'down':
      return -1;
    case 'up then down':
      return firstHalf ? 1 : -1;
    case 'down then up':
      return firstHalf ? -1 : 1;
    case 'level':
      return 0;
  }
}

/** A walk that is asked to turn does so as lightly as any line. */
const turnCost = ({ walk, contour }: LineTask) =>
  walk && !contour.includes('then') ? LINE_COSTS.walkTurns : LINE_COSTS.turn;

const registerCost = (task: LineTask, pitch: number) =>
  LINE_COSTS.registerSemitone * Math.max(0, Math.abs(pitch - task.middle) - 5);

function startCost(task: LineTask, pitch: number, tone: Tone): number {
  const first = itemAt(task.slots, 0);
  let cost = 0;
  if (task.from !== null) {
    const away = Math.abs(pitch - task.from);
    cost += away === 0 ? LINE_COSTS.repeat / 2 : LINE_COSTS.startSemitone * Math.max(0, away - 2);
  }
  if (task.startsOnBass && pitchClassOf(pitch) !== first.harmony.chord.bass) cost += LINE_COSTS.outsideOnBeat;
  if (tone.kind === 'flat third' && task.slots.length === 1) cost += LINE_COSTS.flatThirdElsewhere;
  return cost;
}

/** `motion` is the way of the line's last move: a walk goes on that way into the next root. */
function endCost(task: LineTask, pitch: number, tone: Tone, motion: number): number {
  const pitchClass = pitchClassOf(pitch);
  if (task.leadsTo) {
    const below = pitchClassOf(pitch - task.leadsTo.chord.bass);
    const away = Math.min(below, 12 - below);
    if (away === 0) return LINE_COSTS.repeat * 2;
    const stale = tone.kind === 'flat third' ? LINE_COSTS.flatThirdElsewhere : 0;
    const turns = task.walk && motion !== 0 && Math.sign(6 - below) === motion ? LINE_COSTS.walkTurns : 0;
    return stale + turns + LINE_COSTS.leadSemitone * Math.max(0, away - 2);
  }
  const slot = itemAt(task.slots, task.slots.length - 1);
  const harmony = tone.kind === 'early' && slot.soon ? slot.soon : slot.harmony;
  const found = harmony.chord.tones.find((each) => each.pitchClass === pitchClass);
  const sung = task.sungNext === pitchClass ? LINE_COSTS.landOnSung : 0;
  if (!found || task.closesOn?.includes(found.above) === false) return LINE_COSTS.landOutside;
  if (found.above === 0) return sung;
  if (found.above === 3 || found.above === 4) return sung + LINE_COSTS.landOnThird;
  return sung + (found.above === 7 ? LINE_COSTS.landOnFifth : LINE_COSTS.landOnOther);
}

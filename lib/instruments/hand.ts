import { fail, itemAt, must, ok, type Problem, type Result } from '../base';
import { pitchName } from '../theory';
import { secondsOf, type Ticks } from '../time';
import { HAND_COSTS, type HandTerm } from './hand-costs';
import {
  barreIsClear,
  fitTogether,
  type Grip,
  gripCost,
  gripsOf,
  type Hand,
  handOf,
  type Ledger,
  type Stop,
  shiftCost,
  stretchOf,
  termsOf,
} from './hand-model';
import type { Fingering, HandOptions, NoteToPlan, PlanHand } from './plan';
import { openStrings, type Place, placesOf } from './setup';

/** A string that sounds, with the note it sounds. */
interface Sounding {
  readonly stop: Stop;
  readonly note: number;
  readonly end: Ticks;
}

/** Where the hand is after some notes, and how it came there at least cost. */
interface State {
  /** The index finger's place; 0 before the first finger is put down. */
  readonly position: number;
  /** When a finger was last put down. */
  readonly pressedAt: Ticks;
  /** The strings that still sound when the next notes begin, or end just then. */
  readonly sounding: readonly Sounding[];
  readonly cost: number;
  readonly grip: Grip;
  readonly before: State | null;
}

/** Notes that begin together. */
interface Onset {
  readonly tick: Ticks;
  readonly indexes: readonly number[];
  readonly notes: readonly NoteToPlan[];
  readonly grips: readonly Grip[];
}

/** Slack over the lower bound within which the search looks first, in the unit of `HAND_COSTS`. */
const SLACKS = [1, 8, 32, 128, Number.POSITIVE_INFINITY];

/**
 * The left hand's plan of least cost: a string, a fret and a finger for each note, in the order given.
 *
 * The model. Where the index finger lies is the hand's position, a fret of the neck; every other finger has its own place
 * above it (`FINGER_PLACES`) and reaches as far as the span allows, in millimetres of the neck with the capo on.
 * A note is held by its finger as long as it is written, so notes that overlap are held together: each finger in one
 * place, higher fingers on higher frets (or on the same fret nearer the floor), every two within their share of the span,
 * no open string ringing inside a barre. A string sounds one note: it is struck again only when the note on it has ended.
 * A hammer-on, a pull-off and a slide need their string still sounding (or ending just then) from a lower fret, a
 * higher fret, and another fret under the same finger; between two fingers the hammering one is the higher, the pulling
 * one too. On the resonator guitar finger 1 is the bar, which lies on one fret at a time: a hammer-on starts from the open string,
 * a pull-off ends on it. Open strings leave the hand where it is.
 *
 * What is minimised: the sum of `HAND_COSTS` over all notes and moves, exactly, by a shortest path over (position, when a finger
 * was last put down, strings sounding and their fingers). Paths are cut by a lower bound (`leastToGo`); the slack grows until a path is found within it, so nothing is lost.
 *
 * Errors: a setup that cannot be, a voice, a tempo of 0, a pitch or string out of reach, notes that no hand can hold.
 */
export const planHand: PlanHand = (notes, options) => {
  const { setup } = options;
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  if (strings.value.length === 0) {
    return fail(
      'a voice has no strings to plan a hand for',
      'the player',
      'choose an instrument with strings',
    );
  }
  if (!(options.quartersPerMinute > 0)) {
    return fail('the tempo is not above 0', 'the tempo', 'set a tempo in beats a minute');
  }
  const hand = handOf(setup.instrument, strings.value, setup.capo, options.spanMillimetres);
  const onsets: Onset[] = [];
  for (const indexes of onsetsOf(notes)) {
    const together = indexes.map((index) => itemAt(notes, index));
    const choices = together.map((note) => placesFor(hand, note));
    const missing = choices.findIndex((places) => places.length === 0);
    if (missing >= 0) return outOfReach(hand, notes, itemAt(indexes, missing));
    const grips = gripsOf(hand, choices);
    if (grips.length === 0) return cannotHold(hand, notes, indexes, []);
    onsets.push({ tick: itemAt(together, 0).tick, indexes, notes: together, grips });
  }
  const found = leastPath(hand, onsets, options.quartersPerMinute);
  if (!found.ok)
    return cannotHold(hand, notes, itemAt(onsets, found.stuckAt).indexes, onsets.slice(0, found.stuckAt));
  return ok(readPlan(hand, notes, onsets, found.path, options));
};

function onsetsOf(notes: readonly NoteToPlan[]): readonly (readonly number[])[] {
  const order = notes.map((_, index) => index);
  order.sort((a, b) => itemAt(notes, a).tick - itemAt(notes, b).tick || a - b);
  const groups: number[][] = [];
  let last: Ticks | null = null;
  for (const index of order) {
    const { tick } = itemAt(notes, index);
    if (tick === last) itemAt(groups, groups.length - 1).push(index);
    else groups.push([index]);
    last = tick;
  }
  return groups;
}

function placesFor(hand: Hand, note: NoteToPlan): readonly Place[] {
  const places = placesOf(hand.strings, note.midi);
  return note.string === null ? places : places.filter((place) => place.string === note.string);
}

type Found =
  | { readonly ok: true; readonly path: readonly State[] }
  | { readonly ok: false; readonly stuckAt: number };

/**
 * What is still to come costs at least this much, by onset and by the hand's position before it (0: anywhere): the same
 * problem without held notes, slurs and hops, where a shift has the time since the last onset at which a finger
 * must have been put down.
 */
function leastToGo(
  hand: Hand,
  onsets: readonly Onset[],
  quartersPerMinute: number,
): readonly (readonly number[])[] {
  const seconds: number[] = [];
  let pressed = onsets[0]?.tick ?? 0;
  for (const onset of onsets) {
    seconds.push(secondsOf(onset.tick - pressed, quartersPerMinute));
    if (onset.grips.every((grip) => grip.position > 0)) pressed = onset.tick;
  }
  const table: number[][] = [];
  let later: readonly number[] = Array.from({ length: hand.highest + 1 }, () => 0);
  for (let at = onsets.length - 1; at >= 0; at--) {
    const byPosition = Array.from({ length: hand.highest + 1 }, () => Number.POSITIVE_INFINITY);
    for (const { position, cost } of itemAt(onsets, at).grips) {
      byPosition[position] = Math.min(itemAt(byPosition, position), cost);
    }
    const stays = itemAt(byPosition, 0);
    const now = later.map((rest, from) => {
      let least = stays + rest;
      for (let to = hand.lowest; to <= hand.highest; to++) {
        const put = itemAt(byPosition, to) + itemAt(later, to);
        if (put >= least) continue;
        least = Math.min(least, put + (from === 0 ? 0 : shiftCost(hand, from, to, itemAt(seconds, at))));
      }
      return least;
    });
    table.unshift(now);
    later = now;
  }
  table.push(Array.from({ length: hand.highest + 1 }, () => 0));
  return table;
}

function leastPath(hand: Hand, onsets: readonly Onset[], quartersPerMinute: number): Found {
  const toGo = leastToGo(hand, onsets, quartersPerMinute);
  const ordered = onsets.map((onset, at) => cheapestFirst(onset.grips, itemAt(toGo, at + 1)));
  let stuckAt = 0;
  for (const slack of SLACKS) {
    const bound = itemAt(itemAt(toGo, 0), 0) + slack;
    let layer: readonly State[] = [START];
    let cut = false;
    for (let at = 0; at < onsets.length && layer.length > 0; at++) {
      const onset = itemAt(onsets, at);
      const rest = itemAt(toGo, at + 1);
      const nextTick = onsets[at + 1]?.tick ?? Number.POSITIVE_INFINITY;
      const best = new Map<string, State>();
      for (const state of layer) {
        for (const { grip, atLeast } of itemAt(ordered, at)) {
          if (state.cost + atLeast > bound) {
            cut = true;
            break;
          }
          const move = moveCost(hand, state, onset, grip, quartersPerMinute, null);
          if (move === null) continue;
          const cost = state.cost + grip.cost + move;
          if (cost + itemAt(rest, grip.position || state.position) > bound) {
            cut = true;
            continue;
          }
          const next = after(state, onset, grip, cost, nextTick);
          const key = keyOf(next);
          const known = best.get(key);
          if (known === undefined || cost < known.cost) best.set(key, next);
        }
      }
      layer = [...best.values()];
      if (layer.length === 0) stuckAt = at;
    }
    if (layer.length > 0) {
      const end = layer.reduce((least, state) => (state.cost < least.cost ? state : least));
      const path: State[] = [];
      for (let state: State | null = end; state?.before; state = state.before) path.push(state);
      return { ok: true, path: path.reverse() };
    }
    if (!cut) break;
  }
  return { ok: false, stuckAt };
}

/** Grips in the order of the least that a path through them still costs, whatever came before. */
function cheapestFirst(
  grips: readonly Grip[],
  rest: readonly number[],
): readonly { readonly grip: Grip; readonly atLeast: number }[] {
  const anywhere = Math.min(...rest);
  return grips
    .map((grip) => ({
      grip,
      atLeast: grip.cost + (grip.position > 0 ? itemAt(rest, grip.position) : anywhere),
    }))
    .sort((a, b) => a.atLeast - b.atLeast);
}

const START: State = {
  position: 0,
  pressedAt: 0,
  sounding: [],
  cost: 0,
  grip: { stops: [], position: 0, cost: 0 },
  before: null,
};

/** The state after a grip; what has fallen silent before the next onset is forgotten. */
function after(state: State, onset: Onset, grip: Grip, cost: number, nextTick: Ticks): State {
  const sounding: Sounding[] = [];
  for (const each of state.sounding) {
    if (
      each.end > onset.tick &&
      each.end >= nextTick &&
      !grip.stops.some((stop) => stop.string === each.stop.string)
    ) {
      sounding.push(each);
    }
  }
  grip.stops.forEach((stop, position) => {
    const { ticks } = itemAt(onset.notes, position);
    const end = onset.tick + ticks;
    if (end >= nextTick) sounding.push({ stop, note: itemAt(onset.indexes, position), end });
  });
  return {
    position: grip.position || state.position,
    pressedAt: grip.position > 0 ? onset.tick : state.pressedAt,
    sounding,
    cost,
    grip,
    before: state,
  };
}

/** From two states with one key the same moves lead on at the same cost. A stop's fret follows from its note and string. */
function keyOf(state: State): string {
  let key = `${state.position} ${state.pressedAt}`;
  for (const { note, stop } of state.sounding) key += ` ${note}.${stop.string}.${stop.finger}`;
  return key;
}

/** What it costs to go from a state to a grip, beside the grip's own cost; null: it cannot be done. */
function moveCost(
  hand: Hand,
  state: State,
  onset: Onset,
  grip: Grip,
  quartersPerMinute: number,
  ledger: Ledger | null,
): number | null {
  let total = 0;
  const add = (term: HandTerm, cost: number) => {
    total += cost;
    if (ledger && cost > 0) ledger.set(term, (ledger.get(term) ?? 0) + cost);
  };
  for (let at = 0; at < grip.stops.length; at++) {
    const stop = itemAt(grip.stops, at);
    const from = state.sounding.find((each) => each.stop.string === stop.string);
    if (!stringIsReady(hand, from, stop, itemAt(onset.notes, at), onset.tick)) return null;
  }
  const held: Stop[] = [];
  for (const { stop, end } of state.sounding) {
    const again = grip.stops.some((each) => each.string === stop.string);
    if (end > onset.tick && !again) held.push(stop);
  }
  for (const stop of grip.stops) {
    if (!held.every((other) => fitTogether(hand, other, stop))) return null;
    if (stop.finger === 0 || hand.kind === 'bar') continue;
    if (held.some((other) => other.finger === stop.finger)) add('barre', HAND_COSTS.barre);
  }
  if (held.length > 0 && !barreIsClear([...held, ...grip.stops])) return null;
  if (grip.position > 0 && state.position > 0 && grip.position !== state.position) {
    for (const stop of held) {
      if (stop.finger > 0 && stretchOf(hand, grip.position, stop.finger, stop.neck) === null) return null;
    }
    const seconds = secondsOf(onset.tick - state.pressedAt, quartersPerMinute);
    add('shift', shiftCost(hand, state.position, grip.position, seconds));
  }
  if (hand.kind === 'bar') return total;
  for (let at = 0; at < grip.stops.length; at++) {
    const stop = itemAt(grip.stops, at);
    if (stop.finger === 0 || itemAt(onset.notes, at).articulation === 'slide') continue;
    for (const each of state.sounding) {
      if (each.end !== onset.tick || each.stop.finger !== stop.finger) continue;
      if (each.stop.neck !== stop.neck) add('hop', HAND_COSTS.hop);
      else if (each.stop.string !== stop.string) add('roll over', HAND_COSTS.rollOver);
    }
  }
  return total;
}

/** Whether a string can sound a note now: it is silent, or the note grows out of the one that it sounds. */
function stringIsReady(
  hand: Hand,
  from: Sounding | undefined,
  stop: Stop,
  note: NoteToPlan,
  tick: Ticks,
): boolean {
  switch (note.articulation) {
    case 'hammer':
      if (from === undefined || from.stop.fret >= stop.fret) return false;
      return from.stop.finger === 0 || (hand.kind !== 'bar' && stop.finger > from.stop.finger);
    case 'pull':
      if (from === undefined || from.stop.fret <= stop.fret) return false;
      return stop.finger === 0 || (hand.kind !== 'bar' && stop.finger < from.stop.finger);
    case 'slide':
      if (from === undefined || from.stop.fret === stop.fret) return false;
      return stop.finger > 0 && stop.finger === from.stop.finger;
    default:
      return from === undefined || from.end <= tick;
  }
}

function readPlan(
  hand: Hand,
  notes: readonly NoteToPlan[],
  onsets: readonly Onset[],
  path: readonly State[],
  options: HandOptions,
) {
  const ledger: Ledger = new Map();
  const fingerings: (Fingering | null)[] = notes.map(() => null);
  path.forEach((state, at) => {
    const onset = itemAt(onsets, at);
    moveCost(hand, must(state.before, 'a step'), onset, state.grip, options.quartersPerMinute, ledger);
    gripCost(hand, state.grip.stops, state.grip.position, ledger);
    onset.indexes.forEach((index, position) => {
      const { string, fret, finger } = itemAt(state.grip.stops, position);
      fingerings[index] = { string, fret, finger };
    });
  });
  return {
    fingerings: fingerings.map((fingering) => must(fingering, 'a fingering for each note')),
    cost: path[path.length - 1]?.cost ?? 0,
    terms: termsOf(ledger),
  };
}

function placeInWords(notes: readonly NoteToPlan[], index: number): string {
  return `note ${index + 1} of ${notes.length}, at tick ${itemAt(notes, index).tick}`;
}

function outOfReach(hand: Hand, notes: readonly NoteToPlan[], index: number): Result<never> {
  const { midi, string } = itemAt(notes, index);
  const name = pitchName(midi, 'sharps');
  return string === null
    ? fail(
        `${name} is out of the ${hand.instrument}'s reach as it is set up`,
        placeInWords(notes, index),
        'choose another octave, tuning or capo',
      )
    : fail(
        `${name} cannot be had on string ${string} of the ${hand.instrument} as it is set up`,
        placeInWords(notes, index),
        'ask for another string, or for none',
      );
}

function cannotHold(
  hand: Hand,
  notes: readonly NoteToPlan[],
  indexes: readonly number[],
  before: readonly Onset[],
): { ok: false; error: Problem } {
  const names = indexes.map((index) => pitchName(itemAt(notes, index).midi, 'sharps')).join(' ');
  const where = placeInWords(notes, itemAt(indexes, 0));
  const first = itemAt(notes, itemAt(indexes, 0));
  if (before.length === 0 && indexes.length > 1) {
    return fail(
      `no hand can hold ${names} at once on the ${hand.instrument} as it is set up`,
      where,
      'leave a note out, move one by an octave, or set a wider span',
    );
  }
  if (first.articulation === 'hammer' || first.articulation === 'pull' || first.articulation === 'slide') {
    return fail(
      `the ${first.articulation} to ${names} has no note on its string to come from`,
      where,
      'strike the note, or let the note before it ring on the same string until then',
    );
  }
  const ringing = before
    .flatMap((onset) => onset.notes)
    .filter((note) => note.tick + note.ticks > first.tick)
    .map((note) => pitchName(note.midi, 'sharps'));
  return ringing.length === 0
    ? fail(`no finger reaches ${names}`, where, 'set a wider span, or choose another octave')
    : fail(
        `no hand can stop ${names} while ${ringing.join(' ')} rings on the ${hand.instrument}`,
        where,
        'shorten what rings, or ask for another string',
      );
}

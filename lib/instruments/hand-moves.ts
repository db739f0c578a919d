import { itemAt } from '../base';
import { secondsOf, type Ticks } from '../time';
import { HAND_COSTS, type HandTerm } from './hand-costs';
import {
  barreCost,
  barreIsClear,
  fitTogether,
  type Grip,
  type Hand,
  type Ledger,
  type Stop,
  shiftCost,
  stretchOf,
} from './hand-model';
import type { NoteToPlan } from './plan';

/** A string that sounds, with the note it sounds. */
export interface Sounding {
  readonly stop: Stop;
  readonly note: number;
  readonly end: Ticks;
}

/** Where the hand is after some notes, and how it came there at least cost. */
export interface State {
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
export interface Onset {
  readonly tick: Ticks;
  readonly indexes: readonly number[];
  readonly notes: readonly NoteToPlan[];
  readonly grips: readonly Grip[];
}

/** What it costs to go from a state to a grip, beside the grip's own cost; null: it cannot be done. */
export function moveCost(
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
  for (const [at, stop] of grip.stops.entries()) {
    if (!held.every((other) => fitTogether(hand, other, stop))) return null;
    if (stop.finger === 0 || hand.kind === 'bar') continue;
    const first = grip.stops.findIndex((other) => other.finger === stop.finger) === at;
    if (first) add('barre', barreCost(held.filter((other) => other.finger === stop.finger).length));
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

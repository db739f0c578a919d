import { itemAt } from '../base';
import {
  DEFAULT_SPAN_MILLIMETRES,
  type HandPlan,
  indexPlaces,
  type OpenString,
  openStrings,
  placeMillimetres,
  type Setup,
} from '../instruments';
import type { FillNote } from '../song';
import { secondsOf, type Ticks } from '../time';
import type { DraftNote } from './candidate';
import { BAR_TURN_MILLIMETRES, HAND_SPEED } from './costs';

/** What the limits of a hand hang on: the instrument, and how fast it goes. */
interface Pace {
  readonly setup: Setup;
  readonly quartersPerMinute: number;
}

/** Whether a left hand gets from place to place in time through notes that have their strings and frets already. */
export function handKeepsUp(notes: readonly FillNote[], pace: Pace, spanMillimetres: number | null): boolean {
  const strings = openStrings(pace.setup);
  if (!strings.ok) return false;
  const hand = { fingerings: notes };
  const span = spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[pace.setup.instrument];
  return inTime(pace, strings.value, notes, hand, span) && !leapsTooFar(pace, notes, hand);
}

/** Whether the hand gets from each stopped note to the next in time, its span and `HAND_SPEED` taken together. */
export function inTime(
  pace: Pace,
  strings: readonly OpenString[],
  notes: readonly Pick<DraftNote, 'tick'>[],
  hand: Pick<HandPlan, 'fingerings'>,
  spanMillimetres: number,
): boolean {
  const { instrument } = pace.setup;
  const reach = instrument === 'resonator guitar' ? 0 : spanMillimetres;
  let before: { readonly tick: Ticks; readonly at: number } | null = null;
  for (let i = 0; i < notes.length; i++) {
    const place = itemAt(hand.fingerings, i);
    if (place.fret === 0) continue;
    const { tick } = itemAt(notes, i);
    const at = placeMillimetres(instrument, strings, place);
    if (before !== null && tick > before.tick) {
      const seconds = secondsOf(tick - before.tick, pace.quartersPerMinute);
      if (Math.abs(at - before.at) > reach + HAND_SPEED * seconds) return false;
    }
    before = { tick, at };
  }
  return true;
}

/**
 * The fastest that a bar goes from one struck note to the next, in millimetres a second beyond what it is turned without a move
 * (`BAR_TURN_MILLIMETRES`); 0 for hands with fingers. Open strings on the way give it their time; a slide goes at its own.
 */
export function barTravel(
  pace: Pace,
  strings: readonly OpenString[],
  notes: readonly Pick<DraftNote, 'tick' | 'articulation'>[],
  hand: Pick<HandPlan, 'fingerings'>,
): number {
  const { instrument } = pace.setup;
  if (instrument !== 'resonator guitar') return 0;
  let fastest = 0;
  let before: { readonly tick: Ticks; readonly at: number } | null = null;
  notes.forEach(({ tick, articulation }, i) => {
    const place = itemAt(hand.fingerings, i);
    if (place.fret === 0) return;
    const at = placeMillimetres(instrument, strings, place);
    if (before !== null && tick > before.tick && articulation !== 'slide') {
      const seconds = secondsOf(tick - before.tick, pace.quartersPerMinute);
      fastest = Math.max(fastest, (Math.abs(at - before.at) - BAR_TURN_MILLIMETRES) / seconds);
    }
    before = { tick, at };
  });
  return fastest;
}

/** Frets that the hand's place moves at most from one note to the next, where there is no open string between and less than a beat's time. */
const FURTHEST_LEAP = 4;

/** Whether the hand leaps along the neck with nothing to cover it. A bar, and a bass, go as they are. */
export function leapsTooFar(
  pace: Pace,
  notes: readonly Pick<DraftNote, 'tick'>[],
  hand: Pick<HandPlan, 'fingerings'>,
): boolean {
  if (!['guitar', 'banjo', 'mandolin'].includes(pace.setup.instrument)) return false;
  let before: { readonly index: number; readonly place: number } | null = null;
  for (let i = 0; i < notes.length; i++) {
    const stop = itemAt(hand.fingerings, i);
    if (stop.fret === 0) continue;
    const place = indexPlaces(pace.setup.instrument, stop).to;
    if (before !== null && Math.abs(place - before.place) > FURTHEST_LEAP) {
      const time = itemAt(notes, i).tick - itemAt(notes, before.index).tick;
      if (time < 960 || i === before.index + 1) return true;
    }
    before = { index: i, place };
  }
  return false;
}

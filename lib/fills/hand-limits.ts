import { itemAt } from '../base';
import { type HandPlan, type OpenString, placeMillimetres } from '../instruments';
import { secondsOf, type Ticks } from '../time';
import type { DraftNote } from './candidate';
import { HAND_SPEED } from './costs';
import type { Scene } from './scene';

/** Whether the hand gets from each stopped note to the next in time, its span and `HAND_SPEED` taken together. */
export function inTime(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
  hand: HandPlan,
  spanMillimetres: number,
): boolean {
  const { instrument } = scene.setup;
  const reach = instrument === 'resonator guitar' ? 0 : spanMillimetres;
  let before: { readonly tick: Ticks; readonly at: number } | null = null;
  for (let i = 0; i < notes.length; i++) {
    const place = itemAt(hand.fingerings, i);
    if (place.fret === 0) continue;
    const { tick } = itemAt(notes, i);
    const at = placeMillimetres(instrument, strings, place);
    if (before !== null && tick > before.tick) {
      const seconds = secondsOf(tick - before.tick, scene.quartersPerMinute);
      if (Math.abs(at - before.at) > reach + HAND_SPEED * seconds) return false;
    }
    before = { tick, at };
  }
  return true;
}

/** Frets that the hand's place moves at most from one note to the next, where there is no open string between and less than a beat's time. */
const FURTHEST_LEAP = 4;

/** Whether the hand leaps along the neck with nothing to cover it. A bar, and a bass, go as they are. */
export function leapsTooFar(scene: Scene, notes: readonly DraftNote[], hand: HandPlan): boolean {
  if (!['guitar', 'banjo', 'mandolin'].includes(scene.setup.instrument)) return false;
  let before: { readonly index: number; readonly place: number } | null = null;
  for (let i = 0; i < notes.length; i++) {
    const { fret, finger } = itemAt(hand.fingerings, i);
    if (fret === 0) continue;
    const place = fret - finger + 1;
    if (before !== null && Math.abs(place - before.place) > FURTHEST_LEAP) {
      const time = itemAt(notes, i).tick - itemAt(notes, before.index).tick;
      if (time < 960 || i === before.index + 1) return true;
    }
    before = { index: i, place };
  }
  return false;
}

import { itemAt, lastOf } from '../base';
import type { OpenString } from '../instruments';
import { pitchClassOf, toneOf } from '../theory';
import type { Ticks } from '../time';
import { type Draft, type DraftNote, plainDraft } from './candidate';
import { FEWEST_NOTES } from './costs';
import { type Held, heldOn, isTold } from './held';
import { tuneOver } from './runs';
import { type Harmony, type Scene, type Slot, slotsOf } from './scene';
import { courseOf, type Sounded } from './titles';
import { chordNameOf, lineSeed } from './words';

const DRONE = 5;
/** So many beats at most: two bars of quarters. */
const MOST_BEATS = 8;

/** A beat of the space, as long as it lasts; the last one as long as it may ring. */
interface Beat {
  readonly slot: Slot;
  readonly ticks: Ticks;
}

/** The last beats of a space that are clear of the guard. */
function beatsOf(scene: Scene): readonly Beat[] {
  const slots = slotsOf(scene, itemAt(scene.steps, 0), scene.startTick, scene.guardEnd)
    .filter((slot) => slot.strength >= 2)
    .slice(-MOST_BEATS);
  return slots.map((slot, i) => {
    const until = slots[i + 1]?.tick ?? Math.min(scene.guardEnd, slot.tick + 1920);
    return { slot, ticks: Math.min(until, slot.harmony.endTick) - slot.tick };
  });
}

/**
 * A bass note of the thumb and a pinch by turns, beat by beat, out of the chord's shape; it closes on a pinch. The drone is pinched
 * where it belongs to the chord, else an inner string. Common practice, no source.
 */
export function pinchAndVamp(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const beats = beatsOf(scene);
  // The thumb has each of them: quarters at least.
  const quick = beats.some(
    ({ slot }, i) => (beats[i + 1]?.slot.tick ?? Number.POSITIVE_INFINITY) - slot.tick < 960,
  );
  if (beats.length < FEWEST_NOTES || quick) return [];
  const notes: DraftNote[] = [];
  for (const [i, { slot, ticks }] of beats.entries()) {
    const held = heldOn(strings, slot.harmony.chord, [4, 3, 1], scene.wish.neck);
    if (!held || !isTold(slot.harmony.chord, [...held.values()])) return [];
    const pinched = (beats.length - 1 - i) % 2 === 0;
    const on = pinched ? [pinchedWith(held, slot, strings), 1] : [bassString(held, slot.harmony)];
    for (const string of on) {
      notes.push({
        tick: slot.tick,
        ticks,
        midi: held.get(string) ?? itemAt(strings, string - 1).midi,
        articulation: pinched ? 'pinch' : 'struck',
        string,
        run: false,
      });
    }
  }
  const landing = chordNameOf(lastOf(beats).slot.harmony.chord);
  return [plainDraft('pinch and vamp', `bass notes and pinches by turns, to ${landing}`, notes)];
}

/** The thumb's string of two: the fourth where that has the root, or where the third has not. */
function bassString(held: Held, harmony: Harmony): number {
  const has = (string: number) => pitchClassOf(held.get(string) ?? 0) === harmony.chord.root;
  return !has(4) && has(3) ? 3 : 4;
}

function pinchedWith(held: Held, { harmony }: Slot, strings: readonly OpenString[]): number {
  if (toneOf(harmony.chord, itemAt(strings, DRONE - 1).midi)) return DRONE;
  return bassString(held, harmony) === 4 ? 3 : 4;
}

/**
 * A tune of one note to a beat, the drone ringing on every "and" between: `searchLine` on the beats, the thumb on the short string.
 * Common practice, no source.
 */
export function droneLed(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const beats = beatsOf(scene);
  const drone = itemAt(strings, DRONE - 1).midi;
  if (beats.length < FEWEST_NOTES || itemAt(scene.steps, 0) > 480) return [];
  return (['up', 'down'] as const).flatMap((contour) => {
    const line = tuneOver(
      scene,
      strings,
      beats.map(({ slot }) => slot),
      { contour, notes: 'key', seed: lineSeed(scene, `drone ${contour}`) },
    );
    if (!line) return [];
    const notes = beats.flatMap(({ slot, ticks }, i): readonly DraftNote[] => {
      const last = i === beats.length - 1;
      const half = Math.floor((itemAt(beats, Math.min(i + 1, beats.length - 1)).slot.tick - slot.tick) / 2);
      // The tune stays off the short string, which is the thumb's.
      const midi = itemAt(line.pitches, i);
      const tune = { midi, articulation: 'struck', string: midi < drone ? null : 1, run: false } as const;
      if (last || ticks < 2 * half) return [{ tick: slot.tick, ticks, ...tune }];
      return [
        { tick: slot.tick, ticks: half, ...tune },
        {
          tick: slot.tick + half,
          ticks: half,
          midi: drone,
          articulation: 'struck',
          string: DRONE,
          run: false,
        },
      ];
    });
    const landing = chordNameOf(lastOf(beats).slot.harmony.chord);
    const title = (sounded: readonly Sounded[]) => {
      const course = courseOf(sounded.flatMap((note, i) => (notes[i]?.string === DRONE ? [] : [note.midi])));
      return `a line${course === null ? '' : ` ${course}`} with the drone between, to ${landing}`;
    };
    return [plainDraft('drone-led', title, notes)];
  });
}

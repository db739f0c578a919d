import { itemAt } from '../base';
import { type Fingering, type HandOptions, isStruck, type OpenString, planHand } from '../instruments';
import type { FillNote } from '../song';
import type { DraftNote } from './candidate';
import { strokesFor } from './right-hand';
import type { Scene } from './scene';

/** No hand is as wide as this: what needs it is played with a leap, or not at all. */
const WIDEST_SPAN_MILLIMETRES = 400;

/**
 * Fingers and strokes around notes that stay where they are: at their times, on their strings and frets. The hand plan of least cost for
 * them, or, where no hand can have them as they are written, for what is nearest: slurs that cannot be are struck, then
 * notes let go as the next begins, then a hand as wide as need be; and if that fails each note has the first finger. The right hand's
 * strokes are planned by the player's way as ever.
 */
export function solvedAround(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
): readonly FillNote[] {
  const fingerings = strings.length === 0 ? null : fingersFor(scene, strings, notes);
  const strokes = fingerings === null ? null : strokesFor(scene, notes, { fingerings, cost: 0, terms: [] });
  return notes.map((note, i) => {
    const place = fingerings === null ? { string: 0, fret: 0, finger: 0 } : itemAt(fingerings, i);
    const stroke = strokes === null ? null : itemAt(strokes, i);
    return {
      tick: note.tick,
      ticks: note.ticks,
      midi: note.midi,
      ...place,
      articulation: note.articulation,
      stroke: stroke?.stroke ?? null,
      strokeRule: stroke?.rule ?? null,
      exception: stroke?.exception ?? false,
      ...(note.word === undefined ? {} : { word: note.word }),
    };
  });
}

function fingersFor(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
): readonly Fingering[] {
  const usual: HandOptions = {
    setup: scene.setup,
    spanMillimetres: scene.spanMillimetres,
    quartersPerMinute: scene.quartersPerMinute,
  };
  const wide = { ...usual, spanMillimetres: WIDEST_SPAN_MILLIMETRES };
  const struck = notes.map(
    (note): DraftNote => (isStruck(note.articulation) ? note : { ...note, articulation: 'struck' }),
  );
  const letGo = struck.map((note) => {
    const after = struck.find((other) => other.tick > note.tick);
    return after ? { ...note, ticks: Math.min(note.ticks, after.tick - note.tick) } : note;
  });
  for (const [each, options] of [
    [notes, usual],
    [struck, usual],
    [letGo, usual],
    [struck, wide],
    [letGo, wide],
  ] as const) {
    const plan = planHand(each, options);
    if (plan.ok) return plan.value.fingerings;
  }
  return notes.map((note) => {
    const string = note.string ?? 1;
    const fret = note.midi - itemAt(strings, string - 1).midi;
    return { string, fret, finger: fret === 0 ? 0 : 1 };
  });
}

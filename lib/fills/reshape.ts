import { itemAt, lastOf } from '../base';
import { isStruck, type OpenString } from '../instruments';
import { pitchClassOf, toneOf } from '../theory';
import type { Ticks } from '../time';
import type { DraftNote } from './candidate';
import { searchLine } from './line';
import { rangeFor } from './runs';
import { holding, type Scene, slotsOf, strengthAt } from './scene';
import { lineSeed } from './words';

/** A slur this short is an ornament of the note that it goes to. */
const ORNAMENT: Ticks = 240;

/**
 * A fill thinned out, the least change first: without its ornaments; without every other note off the beat; on its beats alone; on its strong
 * beats alone. Its first note and its landing stay. A note rings on into the room that it gets, as long as its chord lets it; what was
 * slurred from a note that is gone is struck.
 */
export function thinned(scene: Scene, notes: readonly DraftNote[]): readonly (readonly DraftNote[])[] {
  const plain = withoutOrnaments(notes);
  const onsets = [...new Set(plain.map((note) => note.tick))];
  const first = onsets[0];
  const last = onsets.at(-1);
  const keep = (wanted: (tick: Ticks, index: number) => boolean) =>
    withOnly(
      scene,
      plain,
      new Set(onsets.filter((tick, i) => tick === first || tick === last || wanted(tick, i))),
    );
  let offBeats = 0;
  return [
    plain,
    keep((tick) => strengthAt(scene.timeline, tick) >= 2 || offBeats++ % 2 === 1),
    keep((tick) => strengthAt(scene.timeline, tick) >= 2),
    keep((tick) => strengthAt(scene.timeline, tick) >= 3),
  ];
}

/** Each ornament and its note as one struck note. */
function withoutOrnaments(notes: readonly DraftNote[]): readonly DraftNote[] {
  const kept: DraftNote[] = [];
  for (const note of notes) {
    const at = kept.findLastIndex((other) => other.string === note.string && other.tick < note.tick);
    const before = at < 0 ? undefined : itemAt(kept, at);
    const ornaments =
      before !== undefined &&
      !isStruck(note.articulation) &&
      isStruck(before.articulation) &&
      note.tick - before.tick <= ORNAMENT;
    if (ornaments) kept[at] = { ...before, midi: note.midi, ticks: note.tick + note.ticks - before.tick };
    else kept.push(note);
  }
  return kept;
}

function withOnly(
  scene: Scene,
  notes: readonly DraftNote[],
  onsets: ReadonlySet<Ticks>,
): readonly DraftNote[] {
  const kept = notes.filter((note) => onsets.has(note.tick));
  return kept.map((note) => {
    const before = notes.findLast((other) => other.string === note.string && other.tick < note.tick);
    const cutOff = !isStruck(note.articulation) && (before === undefined || !onsets.has(before.tick));
    const after = kept.find((other) => other.tick > note.tick);
    const joined = notes.some((other) => other.tick > note.tick && other.tick <= note.tick + note.ticks);
    const harmony = holding(scene, note.tick);
    const until = after && joined ? Math.min(after.tick, Math.max(harmony.endTick, note.tick + 1)) : 0;
    return {
      ...note,
      ticks: Math.max(note.ticks, until - note.tick),
      articulation: cutOff ? (note.articulation === 'slurred' ? 'bowed' : 'struck') : note.articulation,
    };
  });
}

/**
 * A line with notes put in between its own and before them, on the player's grid and on one twice as fine: the line search with
 * the notes that stand already as its only states there. A fill with notes that begin together has none,
 * nor has a voice.
 */
export function filled(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
): readonly (readonly DraftNote[])[] {
  const first = notes[0];
  if (!first || strings.length === 0 || new Set(notes.map((note) => note.tick)).size < notes.length)
    return [];
  const grids = [...new Set(scene.steps.flatMap((step) => [step, step / 2]))].filter((step) => step >= 240);
  return grids.flatMap((step) =>
    [first.tick, scene.startTick].flatMap((from) => {
      const line = filledOn(scene, strings, notes, step, from);
      return line ? [line] : [];
    }),
  );
}

function filledOn(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
  step: Ticks,
  from: Ticks,
): readonly DraftNote[] | null {
  const slots = slotsOf(scene, step, from, lastOf(notes).tick + step);
  const pinned = new Map<number, number>();
  for (const note of notes) {
    const at = slots.findIndex((slot) => slot.tick === note.tick);
    if (at < 0) return null;
    pinned.set(at, note.midi);
  }
  const { lowest, highest, middle } = rangeFor(scene, strings);
  const own = notes.map((note) => note.midi);
  const line = searchLine({
    slots,
    lowest: Math.min(lowest, ...own),
    highest: Math.max(highest, ...own),
    middle,
    from: null,
    startsOnBass: false,
    contour: 'level',
    notes: 'key',
    scale: scene.scale,
    sungNext: scene.sungNext === null ? null : pitchClassOf(scene.sungNext),
    leadsTo: null,
    pinned,
    seed: lineSeed(scene, 'filled'),
  });
  if (!line) return null;
  return slots.map((slot, i) => {
    const there = notes.find((note) => note.tick === slot.tick);
    if (there) return there;
    const after = slots[i + 1];
    return {
      tick: slot.tick,
      ticks: (after?.tick ?? slot.tick + slot.ticks) - slot.tick,
      midi: itemAt(line.pitches, i),
      articulation: scene.setup.instrument === 'fiddle' ? 'bowed' : 'struck',
      string: null,
      run: true,
    };
  });
}

/** All notes moved by an octave, on whatever strings have them. */
export function moved(notes: readonly DraftNote[], octaves: 1 | -1): readonly DraftNote[] {
  return notes.map((note) => ({ ...note, midi: note.midi + 12 * octaves, string: null }));
}

/** Whether a note belongs to the chord that sounds with it. */
export const inChord = (scene: Scene, note: Pick<DraftNote, 'tick' | 'midi'>): boolean =>
  toneOf(holding(scene, note.tick).chord, note.midi) !== null;

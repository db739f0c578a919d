import { itemAt, lastOf, type Result } from '../../base';
import type { FillNote } from '../../song';
import type { Scene } from '../scene';
import { closingNotes } from './closing';
import { played, slurred } from './hands';
import { type Laid, layOut } from './lay';
import type { Model } from './model';
import { ornamented } from './ornaments';
import type { Way } from './search';
import type { Sung } from './tune';
import type { BreakRequest } from './types';

/**
 * The notes as they ring, where a hand can hold them: first all that may ring; then, in the bars where that fails by itself, nothing beyond the
 * next strike but open strings; then so everywhere; at last without a chord to close.
 */
export function heldNotes(
  scene: Scene,
  model: Model,
  way: Way,
  tune: readonly Sung[],
  endTick: number,
  request: Pick<BreakRequest, 'spanMillimetres' | 'plain'>,
): Result<readonly FillNote[]> {
  const { spanMillimetres, plain } = request;
  const dress = (dry: (moment: number) => boolean, closing: boolean): readonly Laid[] => {
    const notes = layOut(model, way, tune, endTick, dry);
    const graced = slurred(scene, model.strings, model, closing ? withClose(model, way, notes) : notes);
    return plain ? graced : ornamented(scene, model, graced);
  };
  const closing = !plain && lastOf(way.steps).choice.kind === 'tune';
  const ringing = dress(() => false, closing);
  const first = played(scene, ringing, spanMillimetres);
  if (first.ok && pinchesRight(first.value)) return first;
  const tooMuch = first.ok ? new Set<number>() : barsTooMuch(scene, ringing, spanMillimetres);
  const cut = (moment: number) =>
    tooMuch.has(scene.timeline.bars.indexOf(scene.timeline.barAt(itemAt(model.moments, moment).tick)));
  for (const [dry, closes] of [
    [cut, closing],
    [cut, false],
    [() => true, closing],
  ] as const) {
    const laid = dress(dry, closes);
    const hands = played(scene, laid, spanMillimetres);
    if (hands.ok && pinchesRight(hands.value)) return hands;
  }
  return played(
    scene,
    dress(() => true, false),
    spanMillimetres,
  );
}

/** The bars (by index) in which, each with the next, the notes cannot be held as they ring. */
function barsTooMuch(
  scene: Scene,
  laid: readonly Laid[],
  spanMillimetres: number | null,
): ReadonlySet<number> {
  const { bars } = scene.timeline;
  const found = new Set<number>();
  bars.forEach((bar, i) => {
    const end = bars[i + 1]?.endTick ?? bar.endTick;
    const here = laid.filter(({ tick }) => tick >= bar.startTick && tick < end);
    if (here.length === 0 || played(scene, here, spanMillimetres).ok) return;
    found.add(i);
    found.add(i + 1);
  });
  return found;
}

/** The notes with the last one as a chord; where a banjo's thumb is still busy just before, the roll lets go in time for the pinch. */
function withClose(model: Model, way: Way, notes: readonly Laid[]): readonly Laid[] {
  const last = lastOf(notes);
  const added = closingNotes(model, way, notes);
  const whole = [...added, last].sort((a, b) => (b.string ?? 0) - (a.string ?? 0));
  const strings = new Set(added.map((note) => note.string));
  const before = notes
    .slice(0, -1)
    .map((note) =>
      strings.has(note.string) ? { ...note, ticks: Math.min(note.ticks, last.tick - note.tick) } : note,
    );
  if (model.instrument !== 'banjo' || added.length === 0) return [...before, ...whole];
  const free = (note: Laid | undefined) => !note || last.tick - note.tick >= 960 || note.string === 2;
  let length = notes.length - 1;
  while (!free(notes[length - 1]) && notes[length - 1]?.kind === 'roll') length -= 1;
  if (!free(notes[length - 1])) return notes;
  const pinched = whole.map((note) => ({ ...note, articulation: 'pinch' as const }));
  return [...before.slice(0, length), ...pinched];
}

/** Whether a pinch falls to thumb and middle finger. */
function pinchesRight(notes: readonly FillNote[]): boolean {
  const pinched = notes.filter((note) => note.articulation === 'pinch');
  return pinched.every(({ string, stroke }) => stroke === (string >= 3 ? 'thumb' : 'middle'));
}

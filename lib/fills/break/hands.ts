import { itemAt, ok, type Result } from '../../base';
import { DEFAULT_SPAN_MILLIMETRES, type HandPlan, type OpenString, planHand } from '../../instruments';
import type { FillNote } from '../../song';
import { handSlurs } from '../articulate';
import type { DraftNote } from '../candidate';
import { strokesFor } from '../right-hand';
import type { Scene } from '../scene';
import { withGraces } from '../slurs';
import { lineSeed } from '../words';
import type { Laid } from './lay';
import type { Model } from './model';

/** Slurs put into a laid break: graces in the roll, hammer-ons and pull-offs in runs. Onsets of the tune stay. */
export function slurred(
  scene: Scene,
  strings: readonly OpenString[],
  model: Model,
  notes: readonly Laid[],
): readonly Laid[] {
  if (model.rolls.length === 0) return notes;
  const ranked = notes.map((note) => ({ note, moment: itemAt(model.moments, note.moment) }));
  const eligible = ranked.filter(
    ({ note, moment }) =>
      (note.kind === 'tune' || note.kind === 'roll') &&
      note.articulation === 'struck' &&
      moment.onGrid &&
      moment.ticks >= 480 &&
      note.ticks >= moment.ticks &&
      // A late note has used its licence; a slide up from the open third string would be another note.
      (note.tune === null || moment.due === note.tune) &&
      !(model.instrument === 'banjo' && note.string === 3 && note.fret === 0 && note.tune !== null),
  );
  const graced = new Map<number, readonly DraftNote[]>();
  for (let start = 0; start < eligible.length; start += GRACE_STRETCH) {
    const here = eligible.slice(start, start + GRACE_STRETCH);
    const withSlurs = withGraces(
      scene,
      strings,
      here.map(({ note }) => note),
      here.map(({ moment }) => moment),
      lineSeed(scene, `break ${start}`),
    );
    for (const { note } of here) {
      const own = withSlurs.filter(
        (each) => each.tick >= note.tick && each.tick < note.tick + 480 && each.string === note.string,
      );
      if (own.length === 2) graced.set(note.tick, own);
    }
  }
  const open = new Map(strings.map((each) => [each.string, each.midi]));
  const out = notes.flatMap((note): readonly Laid[] => {
    const pair = graced.get(note.tick);
    if (!pair || note.run) return [note];
    const rings = note.fret > 0 ? note.ticks : Math.min(note.ticks, itemAt(model.moments, note.moment).ticks);
    return pair.map((each, k) => {
      const fret = each.midi - (open.get(each.string ?? 0) ?? 0);
      // What was an open string when it was laid and is stopped now does not ring on.
      const ticks = fret > 0 ? Math.min(each.ticks, note.tick + rings - each.tick) : each.ticks;
      return { ...note, ...each, ticks, fret, tune: k === 0 ? note.tune : null };
    });
  });
  const planned: HandPlan = {
    fingerings: out.map(({ string, fret }) => ({ string: string ?? 1, fret, finger: fret > 0 ? 1 : 0 })),
    cost: 0,
    terms: [],
  };
  const runs = handSlurs(scene, out, planned);
  if (!runs) return out;
  return out.map((note, i) => {
    const { articulation } = itemAt(runs, i);
    return articulation === note.articulation ? note : { ...note, articulation };
  });
}

/** Graces are dealt out over so many notes at a time: two bars of eighths. */
const GRACE_STRETCH = 16;

/** A break's notes with fingers and strokes; a Problem where no hand can hold them. */
export function played(
  scene: Scene,
  notes: readonly Laid[],
  spanMillimetres: number | null,
): Result<readonly FillNote[]> {
  const { instrument } = scene.setup;
  const drafts =
    instrument === 'fiddle'
      ? notes.map((note) =>
          note.articulation === 'struck' ? { ...note, articulation: 'bowed' as const } : note,
        )
      : notes;
  const hand = planHand(drafts, {
    setup: scene.setup,
    spanMillimetres: spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[instrument],
    quartersPerMinute: scene.quartersPerMinute,
  });
  if (!hand.ok) return hand;
  const strokes = strokesFor(scene, drafts, hand.value, true);
  return ok(
    drafts.map((note, i) => {
      const { string, fret, finger } = itemAt(hand.value.fingerings, i);
      const { stroke, rule, exception } = itemAt(strokes, i);
      const { tick, ticks, midi, articulation } = note;
      return { tick, ticks, midi, string, fret, finger, articulation, stroke, strokeRule: rule, exception };
    }),
  );
}

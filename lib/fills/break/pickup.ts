import { itemAt, lastOf } from '../../base';
import { DEFAULT_SPAN_MILLIMETRES, type OpenString, planHand } from '../../instruments';
import { type FillNote, writtenTimeline } from '../../song';
import { findPhrases } from '../../spaces';
import { pitchClassOf } from '../../theory';
import { barTicks, type Ticks } from '../../time';
import type { DraftNote } from '../candidate';
import { searchLine } from '../line';
import { strokesFor } from '../right-hand';
import { type Scene, slotsOf } from '../scene';
import { breakScene } from './break-scene';
import { reachAround } from './frame';
import type { Sung } from './tune';
import type { BreakRequest, Pickup } from './types';

/** A lead-in has so many notes at most, and no more of the bar before than this; fast songs take it in quarters. Common practice, no source. */
const MOST_NOTES = 3;
const IN_QUARTERS_FROM = 170;
/** So many notes of the break are looked at for where the hands go. */
const LOOK_AHEAD = 4;

/**
 * What leads into a break from the bar before it: the tune's own notes where its first phrase begins there, as it is written; else a lead-in of three
 * notes, by step into the first one (`searchLine`), which a player may leave out. Null where the stretch brings its own pickup, where there is
 * no time before it, where the tune comes in later, and where no hand can.
 *
 * @param first the first note of the tune, and the octaves by which it is moved
 */
export function pickupInto(
  request: BreakRequest,
  strings: readonly OpenString[],
  first: Sung & { readonly octaves: number },
  notes: readonly FillNote[],
): Pickup | null {
  const { timeline, startTick } = request;
  const bar = timeline.barAt(startTick);
  if (bar.bar.pickup || bar.startTick !== startTick || first.tick !== startTick) return null;
  const from = Math.max(0, startTick - barTicks(bar.bar.meter));
  const before = from < startTick ? breakScene({ ...request, startTick: from, endTick: startTick }) : null;
  if (!before?.ok) return null;
  const { scene } = before.value;
  const own = ownPickup(request, first).filter(({ tick }) => tick >= from);
  const kind = own.length > 0 ? 'of the tune' : 'lead-in';
  const line = own.length > 0 ? own : request.plain ? [] : leadIn(scene, strings, first);
  const played = line.length > 0 ? inHand(scene, line, notes, request) : null;
  return played ? { kind, notes: played } : null;
}

/** Notes of the tune that belong to the first phrase and run into it without a rest, where they stand to the break's first downbeat as written. */
function ownPickup(
  { timeline, startTick, voiceId }: BreakRequest,
  first: Sung & { readonly octaves: number },
): readonly DraftNote[] {
  const written = writtenTimeline(timeline.song);
  for (const phrase of findPhrases(written, { ignoreWords: false })) {
    if (voiceId !== null && phrase.voiceId !== voiceId) continue;
    const sung = (written.notes.get(phrase.voiceId) ?? []).slice(phrase.firstNote, phrase.lastNote + 1);
    const at = sung.findIndex(({ note }) => note.id === first.noteId);
    if (at < 0) continue;
    const down = itemAt(sung, at).startTick;
    const rest = sung.slice(0, at).findLastIndex((each, i) => each.endTick < itemAt(sung, i + 1).startTick);
    return sung.slice(rest + 1, at).flatMap(({ startTick: tick, endTick, note: { midi } }) => {
      if (midi === null) return [];
      const moved = {
        tick: startTick - (down - tick),
        ticks: endTick - tick,
        midi: midi + 12 * first.octaves,
      };
      return [{ ...moved, articulation: 'struck' as const, string: null, run: false }];
    });
  }
  return [];
}

function leadIn(
  scene: Scene,
  strings: readonly OpenString[],
  first: Sung & { readonly octaves: number },
): readonly DraftNote[] {
  const pitch = first.midi + 12 * first.octaves;
  const step: Ticks = Math.max(
    itemAt(scene.steps, 0),
    scene.quartersPerMinute >= IN_QUARTERS_FROM ? 960 : 480,
  );
  const slots = slotsOf(scene, step, scene.startTick, scene.endTick).slice(-MOST_NOTES);
  if (slots.length === 0) return [];
  const { lowest, highest } = reachAround(scene, strings, pitch - 8, pitch + 5);
  const { harmony } = lastOf(slots);
  const line = searchLine({
    slots,
    lowest,
    highest,
    middle: pitch - 3,
    from: null,
    startsOnBass: false,
    contour: 'up',
    notes: 'key',
    scale: scene.scale,
    sungNext: null,
    leadsTo: { ...harmony, chord: { ...harmony.chord, bass: pitchClassOf(pitch) } },
    seed: scene.startTick,
  });
  if (!line) return [];
  return slots.map(({ tick, ticks }, i) => ({
    tick,
    ticks,
    midi: itemAt(line.pitches, i),
    articulation: 'struck',
    string: null,
    run: true,
  }));
}

/** The pickup as both hands play it on the way to the break's first notes; null where they cannot. */
function inHand(
  scene: Scene,
  pickup: readonly DraftNote[],
  notes: readonly FillNote[],
  { spanMillimetres }: BreakRequest,
): readonly FillNote[] | null {
  const { setup } = scene;
  const bowed = setup.instrument === 'fiddle';
  const ahead = notes.slice(0, LOOK_AHEAD).map((note) => ({ ...note, run: note.strokeRule === 'run' }));
  const drafts: readonly DraftNote[] = [
    ...pickup.map((note) => (bowed ? { ...note, articulation: 'bowed' as const } : note)),
    ...ahead,
  ];
  const hand = planHand(drafts, {
    setup,
    spanMillimetres: spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[setup.instrument],
    quartersPerMinute: scene.quartersPerMinute,
  });
  if (!hand.ok) return null;
  const strokes = strokesFor(scene, drafts, hand.value, true);
  return pickup.map((note, i) => {
    const { string, fret, finger } = itemAt(hand.value.fingerings, i);
    const { stroke, rule, exception } = itemAt(strokes, i);
    const { tick, ticks, midi } = note;
    const { articulation } = itemAt(drafts, i);
    return { tick, ticks, midi, string, fret, finger, articulation, stroke, strokeRule: rule, exception };
  });
}

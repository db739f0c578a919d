import { itemAt, lastOf } from '../../base';
import type { OpenString } from '../../instruments';
import { pitchClassOf } from '../../theory';
import { beatStrength, type Ticks } from '../../time';
import { searchLine } from '../line';
import { long, tagLicks } from '../runs';
import { barOrigin, type Scene, type Slot, slotsOf } from '../scene';
import { titleOf } from '../titles';
import { landingName } from '../words';
import { TUNE_REACH } from './costs';
import type { Sung } from './tune';

/** A place in time on which a note of the break may stand, and what has to stand there. */
export interface Moment extends Slot {
  /** True on the player's grid, where a roll goes. */
  readonly onGrid: boolean;
  /** The note of the tune that is due here. */
  readonly due: number | null;
  /** The pitch of a run that has to be played here. */
  readonly run: number | null;
  /** The tune's pitch (as played) that is due or still held; null: the tune is silent. */
  readonly sings: number | null;
}

/** A tune laid along a player's grid, with runs in its spaces and an ending. */
export interface Frame {
  readonly moments: readonly Moment[];
  /** The tune's pitches as played. */
  readonly pitches: readonly number[];
  readonly runs: number;
  readonly leadIn: boolean;
  /** 'a tag lick up to G', 'a run into G'; null: the last note closes, as a chord. */
  readonly endingTitle: string | null;
}

/** A run is no shorter and no longer than this, in notes. */
const SHORTEST_RUN = 3;
const LONGEST_RUN = 5;
/** A note of the tune sounds for so many places of the grid before a run begins. */
const BODY = 2;

/**
 * Lays the tune along the grid. Each phrase's last note has its own beat; where so much room is left before the next phrase that three
 * notes or more fit in, a run leads into that phrase (`searchLine`), up to five notes long, and what is before it is left to the roll.
 * Before the first note likewise. After the last note comes what closes (`endingAfter`); up to there the roll goes on over the chords.
 */
export function frameOf(
  scene: Scene,
  strings: readonly OpenString[],
  tune: readonly Sung[],
  octaves: readonly number[],
  plain: boolean,
): Frame {
  const step = itemAt(scene.steps, 0);
  const pitches = tune.map((note, i) => note.midi + 12 * itemAt(octaves, i));
  const moments = momentsOf(scene, tune, pitches, step);
  const first = itemAt(tune, 0).tick;
  const last = lastOf(tune);
  const runs = new Map<Ticks, number>();
  let count = 0;

  const leadIn = plain ? [] : moments.filter((each) => each.tick < first).slice(-4);
  const leads =
    leadIn.length >= SHORTEST_RUN && addRun(scene, strings, leadIn, null, itemAt(pitches, 0), runs);
  for (let i = 0; i + 1 < tune.length && !plain; i++) {
    const next = itemAt(tune, i + 1);
    if (!next.begins) continue;
    const from = itemAt(tune, i).tick;
    const room = moments.filter((each) => each.tick > from && each.tick < next.tick).slice(BODY - 1);
    if (room.length < SHORTEST_RUN) continue;
    const used = room.slice(-LONGEST_RUN);
    if (addRun(scene, strings, used, itemAt(pitches, i), itemAt(pitches, i + 1), runs)) count += 1;
  }

  const ending = plain ? null : endingAfter(scene, strings, last, lastOf(pitches), step);
  for (const [tick, midi] of ending?.notes ?? []) runs.set(tick, midi);
  const over = ending ? Math.max(...ending.notes.keys()) : last.tick;
  const begin = leads ? Math.min(...runs.keys()) : first;
  const kept = moments
    .filter(({ tick }) => tick >= begin && tick <= over)
    .map((each) => ({ ...each, run: each.due === null ? (runs.get(each.tick) ?? null) : null }));
  return {
    moments: kept,
    pitches,
    runs: count,
    leadIn: leads,
    endingTitle: ending?.title ?? null,
  };
}

/** The grid and the tune's own onsets; places of the grid that crowd an onset beside the grid are left out. */
function momentsOf(
  scene: Scene,
  tune: readonly Sung[],
  pitches: readonly number[],
  step: Ticks,
): readonly Moment[] {
  const grid = slotsOf(scene, step, scene.startTick, scene.endTick);
  const onGrid = new Set(grid.map((slot) => slot.tick));
  const dueAt = new Map(tune.map((note, i) => [note.tick, i]));
  const beside = tune.filter((note) => !onGrid.has(note.tick));
  const near = Math.min(step, 480);
  const ticks = [
    ...grid
      .map((slot) => slot.tick)
      .filter((tick) => dueAt.has(tick) || beside.every((note) => Math.abs(note.tick - tick) >= near)),
    ...beside.map((note) => note.tick),
  ].sort((a, b) => a - b);
  const slots = new Map(grid.map((slot) => [slot.tick, slot]));
  let sung = -1;
  return ticks.map((tick, k) => {
    const ticksHere = (ticks[k + 1] ?? scene.endTick) - tick;
    const slot = slots.get(tick) ?? slotBeside(scene, tick, ticksHere);
    sung = dueAt.get(tick) ?? sung;
    const note = tune[sung];
    const sings = note && note.tick + note.ticks > tick ? itemAt(pitches, sung) : null;
    return {
      ...slot,
      ticks: ticksHere,
      onGrid: onGrid.has(tick),
      due: dueAt.get(tick) ?? null,
      run: null,
      sings,
    };
  });
}

function slotBeside(scene: Scene, tick: Ticks, ticks: Ticks): Slot {
  const placed = scene.timeline.barAt(tick);
  const harmony = scene.harmonies.find((each) => each.endTick > tick) ?? lastOf(scene.harmonies);
  return {
    tick,
    ticks,
    strength: beatStrength(placed.bar.meter, tick - barOrigin(placed)),
    harmony,
    soon: null,
  };
}

/** A run over some moments that leads by step into a pitch of the tune; false where there is none. */
function addRun(
  scene: Scene,
  strings: readonly OpenString[],
  moments: readonly Moment[],
  from: number | null,
  to: number,
  runs: Map<Ticks, number>,
): boolean {
  const start = from ?? to;
  const { lowest, highest } = reachAround(scene, strings, Math.min(start, to) - 8, Math.max(start, to) + 7);
  const way = from === null || to > start ? 'up' : to < start ? 'down' : 'down then up';
  const harmony = lastOf(moments).harmony;
  const line = searchLine({
    slots: moments,
    lowest,
    highest,
    middle: Math.round((start + to) / 2),
    from,
    startsOnBass: false,
    contour: way,
    notes: 'key',
    scale: scene.scale,
    sungNext: null,
    // It leads into the tune's own note as another line leads into a root.
    leadsTo: { ...harmony, chord: { ...harmony.chord, bass: pitchClassOf(to) } },
    seed: itemAt(moments, 0).tick,
  });
  if (!line) return false;
  moments.forEach((moment, i) => {
    runs.set(moment.tick, itemAt(line.pitches, i));
  });
  return true;
}

interface Ending {
  readonly notes: ReadonlyMap<Ticks, number>;
  readonly title: string;
}

/**
 * What closes after the last note, on the last chord: a tag lick that ends on a strong beat of it; else a run over the chords before
 * into its first beat; else a tag lick that ends on any of its beats; else the same where that chord sounds before. Of the octaves the one nearest to the tune. Null where there is no room.
 */
function endingAfter(
  scene: Scene,
  strings: readonly OpenString[],
  last: Sung,
  pitch: number,
  step: Ticks,
): Ending | null {
  const from = last.tick + BODY * step;
  const home = lastOf(scene.harmonies);
  const slots = slotsOf(scene, step, from, scene.endTick);
  const beats = slots.filter((slot) => slot.strength >= 2 && slot.harmony.chord.root === home.chord.root);
  // The last stretch of that chord, as long as it is.
  const since = slots.findLast((slot) => slot.harmony.chord.root !== home.chord.root)?.tick ?? -1;
  const ends = beats.filter((slot) => slot.tick > since);
  const strong = ends.filter((slot) => slot.strength >= 3);
  // Where the last one comes too late and too weak, the same chord earlier, from the end back.
  const earlier = beats.filter((slot) => slot.strength >= 3 && slot.tick <= since).toReversed();
  return (
    firstTag(scene, strings, from, strong, pitch) ??
    runInto(scene, strings, slots, strong.slice(0, 1), pitch) ??
    firstTag(scene, strings, from, ends, pitch) ??
    firstTag(scene, strings, from, earlier, pitch) ??
    runInto(scene, strings, slots, earlier, pitch)
  );
}

function firstTag(
  scene: Scene,
  strings: readonly OpenString[],
  from: Ticks,
  ends: readonly Slot[],
  pitch: number,
): Ending | null {
  for (const end of ends) {
    const drafts = tagLicks({ ...scene, startTick: from, guardEnd: end.tick + end.ticks }, strings)
      .filter((draft) => lastOf(draft.notes).tick === end.tick)
      .sort((a, b) => away(a.notes, pitch) - away(b.notes, pitch));
    const draft = drafts[0];
    if (draft)
      return {
        notes: new Map(draft.notes.map((note) => [note.tick, note.midi])),
        title: titleOf(draft.title, draft.notes),
      };
  }
  return null;
}

function runInto(
  scene: Scene,
  strings: readonly OpenString[],
  slots: readonly Slot[],
  ends: readonly Slot[],
  pitch: number,
): Ending | null {
  const usedFor = (end: Slot) => slots.filter((slot) => slot.tick <= end.tick).slice(-LONGEST_RUN - 1);
  const end = ends.find((each) => usedFor(each).length > SHORTEST_RUN);
  if (!end) return null;
  const { chord } = end.harmony;
  // It comes to rest on the root and nowhere else.
  const rest = { ...chord, tones: chord.tones.filter((tone) => tone.above === 0) };
  const used = [...usedFor(end).slice(0, -1), { ...end, harmony: { ...end.harmony, chord: rest } }];
  const { lowest, highest } = reachAround(scene, strings, pitch - 9, pitch + 5);
  const line = searchLine({
    slots: used,
    lowest,
    highest,
    middle: pitch,
    from: null,
    startsOnBass: false,
    contour: 'down',
    notes: 'key',
    scale: scene.scale,
    sungNext: null,
    leadsTo: null,
    seed: end.tick,
  });
  if (!line) return null;
  return {
    notes: new Map(used.map((slot, i) => [slot.tick, itemAt(line.pitches, i)])),
    title: `a run into ${landingName(chord, lastOf(line.pitches))}`,
  };
}

/** The part of a range that can be had on the instrument. */
export function reachAround(
  scene: Scene,
  strings: readonly OpenString[],
  from: number,
  to: number,
): { readonly lowest: number; readonly highest: number } {
  const open = long(scene, strings).map((each) => each.midi);
  const { highestFret } = TUNE_REACH[scene.setup.instrument];
  return {
    lowest: Math.max(Math.min(...open), from),
    highest: Math.min(Math.max(...open) + highestFret, to),
  };
}

const away = (notes: readonly { readonly midi: number }[], pitch: number) =>
  Math.abs(itemAt(notes, 0).midi - pitch) + Math.abs(lastOf(notes).midi - pitch);

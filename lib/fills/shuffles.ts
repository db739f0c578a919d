import { itemAt, lastOf } from '../base';
import type { OpenString } from '../instruments';
import { beatTicks, isCompound } from '../time';
import { type Draft, plainDraft } from './candidate';
import { FEWEST_NOTES } from './costs';
import { pairLine } from './doubles';
import { landingChord, runNotes } from './line-notes';
import { tuneOver } from './runs';
import { barOrigin, landingIndex, type Scene, type Slot, slotsOf } from './scene';
import { chordNameOf, landingName, lineSeed } from './words';

/** A shuffle's rhythm lasts two beats: a long note, and two short ones in its second beat. */
const QUARTER = 960;
/** It is three rounds at most. */
const LONGEST = 10;
/** Less than a round and its landing is no shuffle. */
const FEWEST = FEWEST_NOTES + 1;

/**
 * Shuffles for the bow: one long and two short, in quarters and eighths, so that the bow goes down up down, up down up. Once as a line, once as
 * double-stops that change with the long note. None in compound meters, whose beats are in three, and none where eighths are too fast.
 */
export function shuffles(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const { meter } = scene.timeline.barAt(scene.startTick).bar;
  if (isCompound(meter) || beatTicks(meter) < QUARTER || itemAt(scene.steps, 0) > QUARTER / 2) return [];
  const slots = shuffled(scene);
  if (slots.length < FEWEST || !slots.some((slot) => slot.ticks < QUARTER)) return [];
  return [...onOneString(scene, strings, slots), ...onTwoStrings(scene, strings, slots)];
}

/** The grid of eighths without the "and" of each long beat, from a long note on; the last place is the landing. */
function shuffled(scene: Scene): readonly Slot[] {
  const all = slotsOf(scene, QUARTER / 2, scene.startTick, scene.guardEnd);
  const usable = all.slice(0, landingIndex(all) + 1);
  const last = usable.at(-1);
  if (!last) return [];
  const places = usable.flatMap((slot) => {
    if (slot === last) return [slot];
    const offset = slot.tick - barOrigin(scene.timeline.barAt(slot.tick));
    if (offset % (2 * QUARTER) >= QUARTER) return [slot];
    return offset % QUARTER === 0 ? [{ ...slot, ticks: QUARTER }] : [];
  });
  const longs = places.flatMap((slot, i) => (slot.ticks === QUARTER ? [i] : []));
  const from = longs.find((i) => places.length - i <= LONGEST);
  return from === undefined ? [] : places.slice(from);
}

function onOneString(scene: Scene, strings: readonly OpenString[], slots: readonly Slot[]): readonly Draft[] {
  const line = tuneOver(scene, strings, slots, {
    contour: 'level',
    notes: 'five',
    seed: lineSeed(scene, 'shuffle'),
  });
  if (!line) return [];
  const lands = lastOf(line.pitches);
  const chord = landingChord(lastOf(slots), lands);
  return [
    plainDraft(
      'shuffle',
      `a shuffle, one long and two short, into ${landingName(chord, lands)}`,
      runNotes(scene, slots, line.pitches, scene.guardEnd),
    ),
  ];
}

/** Each round keeps its two strings, so that the bow rocks on them; a new pair for each long note, and for each new chord. */
function onTwoStrings(
  scene: Scene,
  strings: readonly OpenString[],
  slots: readonly Slot[],
): readonly Draft[] {
  const rounds: Slot[][] = [];
  for (const slot of slots) {
    const round = rounds.at(-1);
    const goes = round && slot.ticks < QUARTER && slot !== lastOf(slots);
    if (goes && itemAt(round, 0).harmony === slot.harmony) round.push(slot);
    else rounds.push([slot]);
  }
  const places = rounds.map((round) => ({ slot: itemAt(round, 0), ticks: itemAt(round, 0).ticks }));
  const pairs = pairLine(scene, strings, places, 'bowed', 'shuffle on two strings');
  if (!pairs) return [];
  const notes = rounds.flatMap((round) => {
    const pair = pairs.filter((note) => note.tick === itemAt(round, 0).tick);
    return round.flatMap((slot) => pair.map((note) => ({ ...note, tick: slot.tick, ticks: slot.ticks })));
  });
  return [
    plainDraft('shuffle', `a shuffle on two strings, to ${chordNameOf(lastOf(slots).harmony.chord)}`, notes),
  ];
}

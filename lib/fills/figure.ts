import { fail, itemAt, ok, type Result } from '../base';
import { isStruck, type OpenString, openStrings, placesOf } from '../instruments';
import type { Extent, Figure, FillNote } from '../song';
import { type Chord, parseChord, pitchClassOf } from '../theory';
import { beatTicks, type Ticks } from '../time';
import type { Draft, DraftNote } from './candidate';
import { FEWEST_NOTES } from './costs';
import { draftNoteOf } from './kept';
import { holding, type Scene, sceneOf, slotsOf, strengthAt } from './scene';
import type { Offer, OfferRequest } from './types';
import { listed } from './words';

/** The family of what players wrote themselves. */
export const OWN_FIGURE = 'own figure';

/**
 * A player's own figures, fitted to a scene.
 *
 * The model: a figure's rhythm stays, from a beat of the space on (of a figure that is too long, what closes it); each note is moved to the
 * chord that sounds there by what it is to its own chord (`onChord`); the whole lies in the octave nearest to where it was written in which
 * every note can be had. Twice: on the strings it was written on, and on any; the hand plan then finds the fingers, with the capo on, and what
 * cannot be played is dropped like any draft.
 */
export function figureDrafts(
  scene: Scene,
  strings: readonly OpenString[],
  figures: readonly Figure[],
): readonly Draft[] {
  return figures.flatMap((figure) => {
    const chord = parseChord(figure.chord);
    if (figure.instrument !== scene.setup.instrument || !chord || figure.notes.length === 0) return [];
    for (const part of endsOf(scene, figure)) {
      const starts = startsFor(scene, part);
      if (starts.length > 0) return starts.flatMap((start) => fittedAt(scene, strings, part, chord, start));
    }
    return [];
  });
}

/** At most so many places are tried, the earliest and the latest ones. */
const MOST_STARTS = 4;

/** A figure whole, then without what comes before its second beat, its third, and so on: what closes a long one still fits a short space. */
function endsOf(scene: Scene, figure: Figure): readonly Figure[] {
  const beat = beatTicks(scene.timeline.barAt(scene.startTick).bar.meter);
  const ends: Figure[] = [];
  for (let from = 0; from < figure.extent.to; from += beat) {
    const kept = figure.notes.filter((note) => from === 0 || note.tick >= from);
    const first = kept[0];
    if (!first || kept.length < FEWEST_NOTES) break;
    // What was slurred from a note that is gone is struck.
    const notes = kept.map((note) => {
      const source = kept.some((other) => other.string === note.string && other.tick < note.tick);
      const tick = note.tick - from;
      return source || isStruck(note.articulation) || from === 0
        ? { ...note, tick }
        : {
            ...note,
            tick,
            articulation: note.articulation === 'slurred' ? ('bowed' as const) : ('struck' as const),
          };
    });
    ends.push({
      ...figure,
      notes,
      extent: { from: Math.min(0, figure.extent.from), to: figure.extent.to - from },
    });
  }
  return ends;
}

/** The beats on which a figure may begin so that all of it lies in the space, clear of the guard. */
function startsFor(scene: Scene, figure: Figure): readonly Ticks[] {
  const first = Math.min(...figure.notes.map((note) => note.tick));
  const last = Math.max(...figure.notes.map((note) => note.tick));
  const beat = beatTicks(scene.timeline.barAt(scene.startTick).bar.meter);
  const starts = slotsOf(scene, beat, scene.startTick, scene.endTick)
    .map((slot) => slot.tick)
    .filter((tick) => tick + first >= scene.startTick && tick + last < scene.guardEnd);
  return starts.length <= MOST_STARTS ? starts : [...starts.slice(0, 2), ...starts.slice(-2)];
}

function fittedAt(
  scene: Scene,
  strings: readonly OpenString[],
  figure: Figure,
  written: Chord,
  start: Ticks,
): readonly Draft[] {
  const notes = figure.notes.map((note): DraftNote => {
    const tick = start + note.tick;
    const ticks = Math.max(1, Math.min(note.ticks, scene.guardEnd - tick));
    return {
      ...draftNoteOf(note),
      tick,
      ticks,
      midi: onChord(note.midi, written, holding(scene, tick).chord),
      string: null,
    };
  });
  const chords = new Set(
    notes.map((note) => holding(scene, note.tick)).map((harmony) => harmony.chord.symbol.trim()),
  );
  const octaves = [0, -12, 12].filter((octave) =>
    notes.every((note) => strings.length === 0 || placesOf(strings, note.midi + octave).length > 0),
  );
  const octave = octaves[0];
  if (octave === undefined) return [];
  const lifted = notes.map((note) => ({ ...note, midi: note.midi + octave }));
  const asWritten = lifted.map((note, i) => {
    const { string } = itemAt(figure.notes, i);
    const there = placesOf(strings, note.midi).some((place) => place.string === string);
    return there ? { ...note, string } : note;
  });
  const ways = asWritten.some((note) => note.string !== null) ? [asWritten, lifted] : [lifted];
  return ways.map((way) => ({
    family: OWN_FIGURE,
    title: `“${figure.name}”, fitted to ${listed([...chords])}`,
    notes: oneAtATime(way),
    strings: [],
    throughGuard: false,
    leads: false,
    slurs: 'none' as const,
  }));
}

/** A note on a given string ends where its string sounds the next one. */
function oneAtATime(notes: readonly DraftNote[]): readonly DraftNote[] {
  return notes.map((note, i) => {
    if (note.string === null) return note;
    const after = notes.slice(i + 1).find((other) => other.string === note.string && other.tick > note.tick);
    return after ? { ...note, ticks: Math.min(note.ticks, after.tick - note.tick) } : note;
  });
}

/**
 * A note moved from one chord to another by what it is to the chord: root to root, third to third (major or minor, as the chord has it), fifth to
 * fifth, an upper tone to the same one or, where there is none, by the roots' distance. Notes between keep their distance from the root,
 * but for a flat third over a major chord that goes to a minor one: there it is the second, so that it still leads into the third.
 * The roots' distance is at most a fourth up or a fifth down. Common practice, no source.
 */
export function onChord(midi: number, from: Chord, to: Chord): number {
  const up = pitchClassOf(to.root - from.root);
  const rootsApart = up <= 5 ? up : up - 12;
  const above = pitchClassOf(midi - from.root);
  return midi + rootsApart + (aboveIn(above, from, to) - above);
}

/** Semitones above the root: thirds, fifths, sevenths. */
const THIRDS = [3, 4];
const FIFTHS = [6, 7, 8];
const SEVENTHS = [10, 11];

function aboveIn(above: number, from: Chord, to: Chord): number {
  if (above === 3 && from.third === 'major') return to.third === 'minor' ? 2 : 3;
  const isTone = from.tones.some((tone) => tone.above === above);
  if (!isTone) return above;
  for (const kind of [THIRDS, FIFTHS, SEVENTHS]) {
    if (!kind.includes(above)) continue;
    return to.tones.find((tone) => kind.includes(tone.above))?.above ?? above;
  }
  return above;
}

/**
 * A fill as a figure of a player's own: its notes counted from the beat on which it begins, all on the chord that sounds there (what was played
 * over other chords is moved to it, and stands on its own string again where that has it).
 *
 * Errors: no note; no chord that can be read under its first note; a setup that cannot be.
 */
export function figureOf(
  request: OfferRequest,
  fill: Pick<Offer, 'notes'>,
  whose: Pick<Figure, 'playerId' | 'name'>,
): Result<Omit<Figure, 'id'>> {
  const strings = openStrings(request.setup);
  if (!strings.ok) return strings;
  const found = sceneOf(request);
  if (!found.ok) return found;
  const scene = found.value;
  const first = fill.notes[0];
  if (!first) return fail('a figure needs a note', 'the fill', 'put notes into it first');
  const harmony = holding(scene, first.tick);
  if (!harmony.given)
    return fail(
      'no chord is written here',
      `bar ${request.space.bar}`,
      'write its chord first, then keep it',
    );
  const origin = beatAt(scene, first.tick);
  const notes = fill.notes.map((note): FillNote => {
    const midi = onChord(note.midi, holding(scene, note.tick).chord, harmony.chord);
    return { ...note, ...placeOf(strings.value, note, midi), tick: note.tick - origin, midi };
  });
  const end = Math.max(...notes.map((note) => note.tick + note.ticks));
  const extent: Extent = { from: Math.min(0, itemAt(notes, 0).tick), to: end };
  return ok({ ...whose, instrument: request.setup.instrument, chord: harmony.chord.symbol, notes, extent });
}

function placeOf(
  strings: readonly OpenString[],
  note: FillNote,
  midi: number,
): Pick<FillNote, 'string' | 'fret' | 'finger'> {
  const { string, fret, finger } = note;
  if (midi === note.midi || strings.length === 0) return { string, fret, finger };
  const places = placesOf(strings, midi);
  const place = places.find((each) => each.string === string) ?? places[0];
  return place ? { ...place, finger: place.fret === 0 ? 0 : 1 } : { string, fret, finger };
}

/** The beat at or before a tick. */
function beatAt(scene: Scene, tick: Ticks): Ticks {
  const beat = beatTicks(scene.timeline.barAt(tick).bar.meter);
  for (let back = 0; back < beat; back += beat / 4)
    if (strengthAt(scene.timeline, tick - back) >= 2) return tick - back;
  return tick;
}

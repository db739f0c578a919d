import { itemAt, lastOf } from '../base';
import type { PlacedNote, Syllable } from '../song';
import { pitchClassOf } from '../theory';
import { beatTicks, type Ticks } from '../time';
import type { Draft, DraftNote } from './candidate';
import { REGISTERS } from './costs';
import { beatsOf } from './doubles';
import { type Contour, searchLine } from './line';
import { closesOn, landingChord } from './line-notes';
import { type Scene, type Slot, slotsOf } from './scene';
import { landingName, lineSeed } from './words';

/** What a voice could sing in a space: the last words once more, and a hum under what the others play. */
export function voiceDrafts(scene: Scene): readonly Draft[] {
  return [...echoes(scene), ...hums(scene)];
}

/** Words that are sung again: so many syllables at most, and not more than there is time for. */
const LONGEST_ECHO = 8;
/** Places on which a sung note may begin. */
const FINE: Ticks = 240;

/**
 * An echo: the last words, from the beginning of a word on, in the rhythm in which they were sung, moved by whole beats, to a line of its own
 * in the singer's range. The last one, two and more words, each in a level line and in one that goes down. None where nothing was sung in words.
 */
function echoes(scene: Scene): readonly Draft[] {
  const { after } = scene.space;
  if (after === null || scene.cut !== null) return [];
  const sung = (scene.timeline.notes.get(after.voiceId) ?? [])
    .filter((note) => note.startTick <= after.startTick)
    .slice(-LONGEST_ECHO);
  const starts = sung.flatMap((note, i) => (beginsWord(sung, i) && note.syllable ? [i] : []));
  return starts.flatMap((start) =>
    (['level', 'down'] as const).flatMap((contour) => {
      const draft = echo(scene, sung.slice(start), contour);
      return draft ? [draft] : [];
    }),
  );
}

function beginsWord(notes: readonly PlacedNote[], index: number): boolean {
  const { syllable } = itemAt(notes, index);
  if (syllable === null || syllable.text === '') return false;
  const before = notes.slice(0, index).findLast((note) => note.syllable !== null)?.syllable;
  return before === undefined || before?.joins !== true;
}

function echo(scene: Scene, words: readonly PlacedNote[], contour: Contour): Draft | null {
  const first = itemAt(words, 0);
  const beat = beatTicks(scene.timeline.barAt(scene.startTick).bar.meter);
  const shift = Math.ceil((scene.startTick - first.startTick) / beat) * beat;
  const grid = slotsOf(scene, FINE, scene.startTick, scene.guardEnd);
  const slots = words.flatMap(({ startTick }) => grid.filter((slot) => slot.tick === startTick + shift));
  if (slots.length < words.length) return null;
  const pitches = sungLine(scene, slots, contour, `echo ${words.length} ${contour}`);
  if (!pitches) return null;
  const notes = words.map((word, i): DraftNote => {
    const { tick } = itemAt(slots, i);
    const end = Math.min(slots[i + 1]?.tick ?? scene.guardEnd, word.endTick + shift, scene.guardEnd);
    const said = wordOf(word.syllable);
    const note = { tick, ticks: Math.max(1, end - tick), midi: itemAt(pitches, i), string: null, run: false };
    return said === null
      ? { ...note, articulation: 'slurred' }
      : { ...note, articulation: 'struck', word: said };
  });
  const text = words
    .map(({ syllable }) => (syllable ? `${syllable.text}${syllable.joins ? '' : ' '}` : ''))
    .join('')
    .trim()
    .replace(/[,.;:!?]+$/, '');
  const landing = landingChord(lastOf(slots), lastOf(pitches));
  return sungDraft('echo', `“${text}” once more, to ${landingName(landing, lastOf(pitches))}`, notes);
}

/** A syllable as it stands under a note: with its hyphen where the word goes on. */
const wordOf = (syllable: Syllable | null): string | null =>
  syllable === null || syllable.text === ''
    ? null
    : `${syllable.text}${syllable.joins ? '-' : ''}`.slice(0, 60);

/** What is hummed. Common practice, no source. */
const HUMS = [
  { word: 'mm', name: 'a hum' },
  { word: 'oo', name: 'an open “oo”' },
] as const;

/** A hum: chord tones held through each chord, or half a bar, as smoothly as the chords allow. */
function hums(scene: Scene): readonly Draft[] {
  const beats = beatsOf(scene);
  const places = beats.filter((slot, i) => {
    const before = beats[i - 1];
    return before === undefined || slot.harmony !== before.harmony || slot.strength >= 3;
  });
  const last = beats.at(-1);
  if (!last) return [];
  return HUMS.flatMap(({ word, name }, i) => {
    const pitches = sungLine(scene, places, 'level', `hum ${i}`, i === 0 ? 0 : HIGH_HUM);
    if (!pitches) return [];
    const notes = places.map(
      ({ tick }, k): DraftNote => ({
        tick,
        ticks: (places[k + 1]?.tick ?? Math.min(scene.guardEnd, last.tick + last.ticks)) - tick,
        midi: itemAt(pitches, k),
        articulation: 'struck',
        string: null,
        run: false,
        word,
      }),
    );
    const landing = landingChord(lastOf(places), lastOf(pitches));
    return [sungDraft('hum', `${name} on the chords, to ${landingName(landing, lastOf(pitches))}`, notes)];
  });
}

/** The second hum lies a third or so above the first. */
const HIGH_HUM = 4;
/** Where no range is told, a voice stays this near to the note just sung. */
const NEAR_SUNG = 9;

/** A line for a voice: the least of the line model, in the singer's range, near the note just sung. */
function sungLine(
  scene: Scene,
  slots: readonly Slot[],
  contour: Contour,
  idea: string,
  above = 0,
): readonly number[] | null {
  const told = scene.voiceRange;
  const near = scene.sungBefore ?? scene.sungNext ?? REGISTERS.voice.middle;
  const lowest = told?.low ?? near - NEAR_SUNG;
  const highest = told?.high ?? near + NEAR_SUNG;
  const home = Math.min(highest, Math.max(lowest, near + above + scene.wish.lift));
  const line = searchLine({
    slots,
    lowest: scene.wish.lift > 0 ? Math.min(highest, lowest + scene.wish.lift) : lowest,
    highest: scene.wish.lift < 0 ? Math.max(lowest, highest + scene.wish.lift) : highest,
    middle: home,
    from: home,
    startsOnBass: false,
    contour,
    notes: 'key',
    scale: scene.scale,
    sungNext: scene.sungNext === null ? null : pitchClassOf(scene.sungNext),
    leadsTo: null,
    ...closesOn(scene),
    seed: lineSeed(scene, idea),
  });
  return line?.pitches ?? null;
}

const sungDraft = (family: string, title: string, notes: readonly DraftNote[]): Draft => ({
  family,
  title,
  notes,
  strings: [],
  throughGuard: false,
  leads: false,
  slurs: 'none',
});

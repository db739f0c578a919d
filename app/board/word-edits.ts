import { fail, ok, type Result } from '../../lib/base';
import type { SongEdits } from '../../lib/document';
import type { Arrangement } from '../../lib/parts';
import { dropWord, moveNote, type Pass, splitWord } from '../../lib/song';
import type { Ticks } from '../../lib/time';
import { newId } from '../hooks/newId';
import {
  type At,
  atOf,
  beatInWords,
  type ChordPlace,
  endNoteOf,
  gridStep,
  nextPlace,
  type Places,
  type WordPlace,
} from './places';

/** What an edit has done, in words, and where one is afterwards. */
export interface Outcome {
  readonly said: string;
  /** Left out: where one was. */
  readonly at?: At;
  /** What is to be looked at all the same. */
  readonly problem?: string;
  /** True where the next thing is to write the word. */
  readonly write?: boolean;
}

export interface WordEditing {
  readonly arrangement: Arrangement;
  readonly places: Places;
  readonly edits: SongEdits;
  readonly pass: Pass | null;
  /** The stanza to which moves and breaths are held; null: they count for every one. */
  readonly only: number | null;
  readonly isReadable: (symbol: string) => boolean;
}

const inScope = ({ only }: WordEditing) => (only === null ? '' : ` in stanza ${only}`);

/** An edit's outcome, where it was done. */
const after = (done: Result<unknown>, outcome: Outcome): Result<Outcome> => (done.ok ? ok(outcome) : done);

/** A word half a beat earlier or later: its note with it, in every stanza or in one. */
export async function moveWord(way: WordEditing, word: WordPlace, by: 1 | -1): Promise<Result<Outcome>> {
  const { arrangement, edits, pass } = way;
  const toTick = gridStep(arrangement, word.tick, by);
  const said = `“${word.text}” is on ${beatInWords(arrangement, toTick)}${inScope(way)}.`;
  if (way.only !== null && pass) {
    const { moveInStanza } = await import('./stanza-move');
    const moved = moveInStanza(arrangement.song, pass, word.noteId, toTick - word.tick, newId);
    if (!moved.ok) return moved;
    const { change, noteId } = moved.value;
    return after(edits.putSung('moving a word in one stanza', change), {
      said,
      at: { kind: 'word', passId: word.passId, noteId },
    });
  }
  const moved = moveNote(arrangement.timeline, word.passId, word.noteId, toTick);
  if (!moved.ok) return moved;
  return after(edits.putSung('moving a word', { put: moved.value, remove: [] }), { said });
}

export function moveChord(way: WordEditing, place: ChordPlace, by: 1 | -1): Result<Outcome> {
  const { arrangement, places, edits } = way;
  const { chord } = place;
  const where = beatInWords(arrangement, place.tick);
  if (!chord) return fail('No chord stands here', where, 'Write one first');
  const next = nextPlace(places, place, by);
  if (next?.kind !== 'chord' || next.passId !== place.passId)
    return fail('There is no beat to move it to', where, 'Leave it here');
  return after(edits.moveChord(chord.id, next.barId, next.offset), {
    said: `${chord.symbol} is on ${beatInWords(arrangement, next.tick)}.`,
    at: atOf(next),
  });
}

/** Ends the line after a word, or lets it go on. */
export function breathe(way: WordEditing, word: WordPlace, ends: boolean): Result<Outcome> {
  const noteId = endNoteOf(way.arrangement, word);
  const done = ends ? way.edits.endPhrase(noteId, way.only) : way.edits.joinPhrase(noteId, way.only);
  return after(done, {
    said: `${ends ? 'A line ends' : 'The line goes on'} after “${word.text}”${inScope(way)}.`,
  });
}

/** The line that ends after one word ends a syllable earlier or later. */
export function moveEnd(way: WordEditing, from: WordPlace, by: 1 | -1): Result<Outcome> {
  const to = nextPlace(way.places, from, by);
  if (to?.kind !== 'word' || to.passId !== from.passId)
    return fail('The line’s end cannot be moved there', from.text, 'Leave it where it is');
  const [a, b] = [endNoteOf(way.arrangement, from), endNoteOf(way.arrangement, to)];
  return after(way.edits.movePhraseEnd(a, b, way.only), {
    said: `The line ends after “${to.text}”${inScope(way)}.`,
  });
}

export function letProgram(way: WordEditing, word: WordPlace): Result<Outcome> {
  return after(way.edits.letModelDecide(endNoteOf(way.arrangement, word), null), {
    said: `Whether a line ends after “${word.text}” is found from the song again.`,
  });
}

export function writeWord(way: WordEditing, word: WordPlace, typed: string): Result<Outcome> {
  const stanza = way.pass?.stanza ?? null;
  if (stanza === null) return fail('Nobody sings here', word.text, 'Choose a pass that is sung');
  const text = typed.trim();
  const joins = text.endsWith('-');
  const bare = joins ? text.slice(0, -1).trimEnd() : text;
  if (bare === '') return takeWordOut(way, word);
  const note = way.arrangement.song.notes.find(({ id }) => id === word.noteId);
  const endsLine = note?.syllables[stanza - 1]?.endsLine ?? false;
  return after(way.edits.setSyllable(word.noteId, stanza, { text: bare, joins, endsLine }), {
    said: `It says “${text}” now.`,
  });
}

/** What a new word says until somebody writes it: sung for want of words. */
const PLACEHOLDER = 'la';

/** A new word in the second half of another's time. */
export function addWord(way: WordEditing, word: WordPlace): Result<Outcome> {
  const { arrangement, pass } = way;
  if (!pass || pass.stanza === null)
    return fail('Nobody sings here', word.text, 'Choose a pass that is sung');
  const tick = middleOf(arrangement, word);
  const id = newId();
  const made = splitWord(arrangement.timeline, word.passId, noteAt(arrangement, word, tick), pass.stanza, {
    tick,
    word: { text: PLACEHOLDER, joins: false, endsLine: false },
    newId: id,
  });
  if (!made.ok) return made;
  return after(way.edits.putSung('a new word', made.value), {
    said: `A new word is on ${beatInWords(arrangement, tick)}: write it.`,
    at: { kind: 'word', passId: word.passId, noteId: id },
    write: true,
  });
}

export function takeWordOut(way: WordEditing, word: WordPlace): Result<Outcome> {
  const { arrangement, places, pass } = way;
  if (!pass || pass.stanza === null)
    return fail('Nobody sings here', word.text, 'Choose a pass that is sung');
  const dropped = dropWord(arrangement.song, arrangement.timeline, word.passId, word.noteId, pass.stanza);
  if (!dropped.ok) return dropped;
  const next = nextPlace(places, word, -1) ?? nextPlace(places, word, 1);
  return after(way.edits.putSung('taking a word out', dropped.value), {
    said: `“${word.text}” is taken out.`,
    ...(next ? { at: atOf(next) } : {}),
  });
}

/** The chord of a beat, as it was typed; nothing typed: none. One that cannot be read is kept, and told. */
export function writeChord(way: WordEditing, place: ChordPlace, typed: string): Result<Outcome> {
  const { arrangement, edits, isReadable } = way;
  const where = beatInWords(arrangement, place.tick);
  const trimmed = typed.trim();
  const capital = trimmed.charAt(0).toUpperCase() + trimmed.slice(1);
  const symbol = isReadable(trimmed) || !isReadable(capital) ? trimmed : capital;
  if (symbol === '') {
    if (!place.chord) return ok({ said: 'No chord stands here.' });
    return after(edits.removeChord(place.chord.id), { said: `${place.chord.symbol} is taken out.` });
  }
  const said = `${symbol} stands on ${where}.`;
  const problem = `“${symbol}” cannot be read as a chord. It is kept as you wrote it and shown with a question mark; nothing is played from it until it is a chord, as G, Am7 or D/F#.`;
  return after(
    edits.setChord(place.barId, place.offset, symbol),
    isReadable(symbol) ? { said } : { said, problem },
  );
}

/** The place of the grid in the middle of a word's time, or a little before it. */
function middleOf(arrangement: Arrangement, word: WordPlace): Ticks {
  const middle = word.tick + (word.endTick - word.tick) / 2;
  let tick = gridStep(arrangement, word.tick, 1);
  for (let next = tick; next <= middle; next = gridStep(arrangement, next, 1)) tick = next;
  return tick < word.endTick ? tick : Math.round(middle);
}

/** The note of a word that sounds at a tick: over a melisma, one of several. */
function noteAt({ timeline }: Arrangement, word: WordPlace, tick: Ticks): string {
  for (const notes of timeline.notes.values()) {
    if (!notes.some(({ note, passId }) => passId === word.passId && note.id === word.noteId)) continue;
    const there = notes.find(({ startTick, endTick }) => startTick < tick && tick < endTick);
    return there?.note.id ?? word.noteId;
  }
  return word.noteId;
}

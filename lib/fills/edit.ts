import { fail, ok, type Problem, type Result } from '../base';
import { type Articulation, isStruck, type OpenString, openStrings, placesOf } from '../instruments';
import type { FillNote } from '../song';
import { pitchName } from '../theory';
import type { Ticks } from '../time';
import type { DraftNote } from './candidate';
import { draftNoteOf } from './kept';
import { type Mark, marksFor } from './marks';
import { sceneOf } from './scene';
import { solvedAround } from './solve-around';
import type { Offer, OfferRequest } from './types';

/** One change of a fill by hand. `note` counts the fill's notes from 0; ticks are the timeline's. */
export type FillEdit =
  | { readonly kind: 'place'; readonly note: number; readonly string: number; readonly fret: number }
  | { readonly kind: 'pitch'; readonly note: number; readonly midi: number }
  | { readonly kind: 'move'; readonly note: number; readonly tick: Ticks }
  | { readonly kind: 'length'; readonly note: number; readonly ticks: Ticks }
  | {
      readonly kind: 'add';
      readonly tick: Ticks;
      readonly ticks: Ticks;
      readonly string: number;
      readonly fret: number;
    }
  | { readonly kind: 'remove'; readonly note: number }
  | { readonly kind: 'articulation'; readonly note: number; readonly articulation: Articulation }
  /** What a voice sings on a note; nothing takes it away. */
  | { readonly kind: 'word'; readonly note: number; readonly word: string };

/** A fill after a change, both hands solved around its notes, with what is hard in it. */
export interface Edited {
  readonly family: string;
  /** In time order, low strings first where several begin at once. */
  readonly notes: readonly FillNote[];
  readonly marks: readonly Mark[];
}

/**
 * A fill changed by hand. Every note stays at its time, on its string and its fret; what is solved anew is the fingers and the
 * strokes (`solvedAround`). What a string cannot do is set right: a note ends where its string sounds the next one, and a slur is a
 * hammer-on or a pull-off by the way that it goes. What is hard now is marked, never refused (`marksFor`).
 *
 * Errors: what cannot sound: a note that is not there, a string or a fret that does not exist, a pitch out of reach, two sounds on one
 * string at once, no note left; a setup that cannot be.
 */
export function editFill(
  request: OfferRequest,
  fill: Pick<Offer, 'family' | 'notes'>,
  edit: FillEdit,
): Result<Edited> {
  const strings = openStrings(request.setup);
  if (!strings.ok) return strings;
  const changed = apply(strings.value, fill.notes.map(draftNoteOf), edit);
  return changed.ok ? settleHands(request, fill.family, changed.value, strings.value) : changed;
}

/** A fill as it stands, its hands solved around its notes, with what is hard in it. Errors as `editFill`. */
export function judgeFill(request: OfferRequest, fill: Pick<Offer, 'family' | 'notes'>): Result<Edited> {
  const strings = openStrings(request.setup);
  if (!strings.ok) return strings;
  return settleHands(request, fill.family, fill.notes.map(draftNoteOf), strings.value);
}

function settleHands(
  request: OfferRequest,
  family: string,
  changed: readonly DraftNote[],
  strings: readonly OpenString[],
): Result<Edited> {
  const scene = sceneOf(request);
  if (!scene.ok) return scene;
  if (changed.length === 0)
    return fail('a fill needs a note', 'the fill', 'leave the space open instead, or settle it ad lib');
  const notes = asStringsSound(strings, inOrder(changed));
  const impossible = cannotSound(strings, notes);
  if (impossible) return { ok: false, error: impossible };
  const solved = solvedAround(scene.value, strings, notes);
  return ok({ family, notes: solved, marks: marksFor(scene.value, strings, family, solved) });
}

/** What is changed while a note's string and fret are what a person sees: the pitch follows from them. */
function apply(
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
  edit: FillEdit,
): Result<readonly DraftNote[]> {
  if (edit.kind === 'add') {
    const midi = pitchAt(strings, edit.string, edit.fret);
    if (!midi.ok) return midi;
    const { tick, ticks, string } = edit;
    // What sounds at this place already is changed, not doubled.
    const there = notes.findIndex((note) => note.tick === tick && note.string === string);
    if (there >= 0) return ok(notes.map((note, i) => (i === there ? { ...note, midi: midi.value } : note)));
    const like = notes.findLast((note) => note.tick <= tick) ?? notes[0];
    const bowed = like?.articulation === 'bowed' || like?.articulation === 'slurred';
    return ok([
      ...notes,
      {
        tick,
        ticks,
        midi: midi.value,
        string,
        articulation: bowed ? 'bowed' : 'struck',
        run: like?.run ?? false,
      },
    ]);
  }
  const note = notes[edit.note];
  if (!note)
    return fail(`there is no note ${edit.note + 1}`, `a fill of ${notes.length}`, 'choose another note');
  const put = (changed: Partial<DraftNote>) =>
    ok(notes.map((each, i) => (i === edit.note ? { ...each, ...changed } : each)));
  switch (edit.kind) {
    case 'remove':
      return ok(notes.filter((_, i) => i !== edit.note));
    case 'move':
      return put({ tick: edit.tick });
    case 'length':
      return edit.ticks > 0
        ? put({ ticks: edit.ticks })
        : fail('a note needs a length', said(note), 'make it longer than nothing, or take it out');
    case 'articulation':
      return put({ articulation: edit.articulation });
    case 'word':
      return worded(strings, notes, edit.note, edit.word);
    case 'place': {
      const midi = pitchAt(strings, edit.string, edit.fret);
      return midi.ok ? put({ string: edit.string, midi: midi.value }) : midi;
    }
    case 'pitch':
      return pitched(strings, notes, note, edit.midi, put);
  }
}

/** Letters of a word on a note, at most. */
const LONGEST_WORD = 60;

function worded(
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
  at: number,
  text: string,
): Result<readonly DraftNote[]> {
  if (strings.length > 0) return fail('strings sing no words', 'this note', 'choose a voice for the words');
  const word = text.trim();
  if (word.length > LONGEST_WORD)
    return fail('this is too long for one note', word, `write at most ${LONGEST_WORD} letters on a note`);
  return ok(
    notes.map((note, i) => {
      if (i !== at) return note;
      const { word: _before, ...rest } = note;
      return word === '' ? rest : { ...rest, word };
    }),
  );
}

/** Another pitch at the same time: on the note's own string where that has it, else on the nearest free one. */
function pitched(
  strings: readonly OpenString[],
  notes: readonly DraftNote[],
  note: DraftNote,
  midi: number,
  put: (changed: Partial<DraftNote>) => Result<readonly DraftNote[]>,
): Result<readonly DraftNote[]> {
  if (strings.length === 0) return put({ midi });
  const taken = new Set(
    notes.filter((other) => other !== note && other.tick === note.tick).map((other) => other.string),
  );
  const away = (string: number) => Math.abs(string - (note.string ?? string));
  const place = placesOf(strings, midi)
    .filter(({ string }) => !taken.has(string))
    .toSorted((a, b) => away(a.string) - away(b.string) || a.fret - b.fret)[0];
  if (!place)
    return fail(
      `no free string has ${pitchName(midi, 'sharps')}`,
      said(note),
      'choose another pitch, or take a note out',
    );
  return put({ midi, string: place.string });
}

function pitchAt(strings: readonly OpenString[], string: number, fret: number): Result<number> {
  const open = strings[string - 1];
  if (!open)
    return fail(`there is no string ${string}`, `string ${string}`, `choose one from 1 to ${strings.length}`);
  if (!Number.isInteger(fret) || fret < 0 || fret > open.highestFret)
    return fail(
      `string ${string} has no fret ${fret}`,
      `string ${string}`,
      `choose one from 0 to ${open.highestFret}`,
    );
  return ok(open.midi + fret);
}

function inOrder(notes: readonly DraftNote[]): readonly DraftNote[] {
  return notes.toSorted((a, b) => a.tick - b.tick || (b.string ?? 0) - (a.string ?? 0) || a.midi - b.midi);
}

/** A slur's note may begin so long after its source was written to end: the source is held until then. */
const HELD_FOR_A_SLUR: Ticks = 960;

/** Notes as strings sound them: one at a time, each slur going the way that its notes go, from a note that still rings. */
function asStringsSound(strings: readonly OpenString[], notes: readonly DraftNote[]): readonly DraftNote[] {
  if (strings.length === 0) return notes;
  return notes.map((note, i) => {
    const before = notes.slice(0, i).findLast((other) => other.string === note.string);
    const after = notes.slice(i + 1).find((other) => other.string === note.string && other.tick > note.tick);
    let ticks = note.ticks;
    if (after) {
      const room = after.tick - note.tick;
      const slurred = !isStruck(after.articulation) && room - ticks <= HELD_FOR_A_SLUR;
      ticks = slurred ? room : Math.min(ticks, room);
    }
    return { ...note, ticks, articulation: slurThatGoes(note, before) };
  });
}

function slurThatGoes(note: DraftNote, before: DraftNote | undefined): Articulation {
  const slurs = note.articulation === 'hammer' || note.articulation === 'pull';
  if (!slurs || !before || before.midi === note.midi) return note.articulation;
  return note.midi > before.midi ? 'hammer' : 'pull';
}

function cannotSound(strings: readonly OpenString[], notes: readonly DraftNote[]): Problem | null {
  for (const [i, note] of notes.entries()) {
    if (strings.length === 0) continue;
    const open = strings[(note.string ?? 0) - 1];
    const fret = open ? note.midi - open.midi : -1;
    if (!open || fret < 0 || fret > open.highestFret)
      return {
        what: `${pitchName(note.midi, 'sharps')} is not on string ${note.string}`,
        where: said(note),
        mend: 'choose another string or fret',
      };
    const other = notes
      .slice(i + 1)
      .find((later) => later.tick === note.tick && later.string === note.string);
    if (other)
      return {
        what: `string ${note.string} cannot sound two notes at once`,
        where: said(note),
        mend: 'move one of them, or put it on another string',
      };
  }
  return null;
}

const said = (note: DraftNote): string => `${pitchName(note.midi, 'sharps')}, at tick ${note.tick}`;

import type { Answer, Fill, FillNote } from '../song';
import type { Fields } from './layout';

/**
 * How an answer is stored: as it is, but for a fill, whose notes and chords are rows without names. Fills are most of a song's
 * document, and names were most of a fill (1,330 bytes with them, 480 without). Version 1 stored them with names; both are read.
 *
 * A note's row: tick, ticks, midi, string, fret, finger, stroke, rule, articulation, exception, word. The rule is its place among the fill's
 * `rules`, each of which is stored once; -1 for none. Articulation and exception are left out where the note is struck, no exception and has no word;
 * the word where there is none.
 */
export function storedAnswer({ id: _id, ...answer }: Answer): Fields {
  const { holding } = answer;
  if (holding.kind !== 'fill') return { ...answer };
  return { ...answer, holding: { ...holding, fill: storedFill(holding.fill) } };
}

function storedFill({ family, notes, chords }: Fill): Fields {
  return { family, ...storedNotes(notes), chords: chords.map(({ tick, symbol }) => [tick, symbol]) };
}

/** Notes as rows, with the rules that their rows count. */
export function storedNotes(notes: readonly FillNote[]): Fields {
  const rules = [...new Set(notes.flatMap(({ strokeRule }) => strokeRule ?? []))];
  return { rules, notes: notes.map((note) => noteRow(note, rules)) };
}

function noteRow(note: FillNote, rules: readonly string[]): readonly unknown[] {
  const rule = note.strokeRule === null ? -1 : rules.indexOf(note.strokeRule);
  const row = [note.tick, note.ticks, note.midi, note.string, note.fret, note.finger, note.stroke, rule];
  if (note.word !== undefined) return [...row, note.articulation, note.exception, note.word];
  return note.articulation === 'struck' && !note.exception
    ? row
    : [...row, note.articulation, note.exception];
}

const isFields = (raw: unknown): raw is Fields =>
  typeof raw === 'object' && raw !== null && !Array.isArray(raw);

/** A stored answer with its names again; what is not in rows is given as it is, to be checked by the answer's schema. */
export function namedAnswer(stored: Fields): Fields {
  const { holding } = stored;
  if (!isFields(holding) || !isFields(holding.fill)) return stored;
  const { chords, ...rest } = namedNotes(holding.fill);
  const fill = { ...rest, chords: Array.isArray(chords) ? chords.map(namedChord) : chords };
  return { ...stored, holding: { ...holding, fill } };
}

/** Fields with their notes named again, without the rules. */
export function namedNotes({ rules, notes, ...rest }: Fields): Fields {
  const named = Array.isArray(notes)
    ? notes.map((note: unknown) => namedNote(note, Array.isArray(rules) ? rules : []))
    : notes;
  return { ...rest, notes: named };
}

function namedNote(row: unknown, rules: readonly unknown[]): unknown {
  if (!Array.isArray(row)) return row;
  const [
    tick,
    ticks,
    midi,
    string,
    fret,
    finger,
    stroke,
    rule,
    articulation = 'struck',
    exception = false,
    word,
  ]: unknown[] = row;
  const strokeRule = rule === -1 ? null : typeof rule === 'number' ? rules[rule] : rule;
  const sung = word === undefined ? {} : { word };
  return { tick, ticks, midi, string, fret, finger, articulation, stroke, strokeRule, exception, ...sung };
}

function namedChord(row: unknown): unknown {
  if (!Array.isArray(row)) return row;
  const [tick, symbol]: unknown[] = row;
  return { tick, symbol };
}

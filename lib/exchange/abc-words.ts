import { itemAt } from '../base';
import type { Syllable } from '../song';
import { decodeText } from './abc-text';
import type { RawNote, VoiceBar, VoiceText, WordsField } from './abc-types';
import type { Findings } from './report';

/** A part of a `w:` field: a syllable, a note that it is held over or that has none, or the step to the next bar. */
type Word =
  | { readonly kind: 'syllable'; text: string; joins: boolean; readonly at: number }
  | { readonly kind: 'held' }
  | { readonly kind: 'none' }
  | { readonly kind: 'bar' };

/**
 * Takes a `w:` field apart: `-` divides a word (after a space or another `-` it holds a note), `_` holds, `*` leaves
 * a note out, `~` is a space and `\-` a hyphen inside a syllable, `|` goes on to the next bar; a number first is the
 * stanza's. Source: ABC standard 2.1, sections 5.1 and 5.3.
 */
export function splitWords(field: WordsField): Word[] {
  const words: Word[] = [];
  field.parts.forEach((part, index) => {
    const skip = index === 0 ? stanzaNumber(part.text) : 0;
    splitPart(part.text, skip, part.at, words);
  });
  return words;
}

/** How many signs of a line are a stanza's number: `1.~`, `2. `, `3)`. */
function stanzaNumber(text: string): number {
  return /^\s*(?:\d{1,3}(?:[.:)]+[~\s]*|[~\s]+)|\d{1,3}$)/.exec(text)?.[0].length ?? 0;
}

function splitPart(text: string, from: number, at: number, words: Word[]): void {
  let syllable = '';
  let start = from;
  const end = (joins: boolean): boolean => {
    if (syllable === '') return false;
    words.push({ kind: 'syllable', text: decodeText(syllable).slice(0, 200), joins, at: at + start });
    syllable = '';
    return true;
  };
  for (let i = from; i < text.length; i++) {
    const sign = text.charAt(i);
    if (syllable === '') start = i;
    if (sign === '\\' && /[-_*|~]/.test(text.charAt(i + 1))) {
      syllable += text.charAt(i + 1);
      i += 1;
    } else if (sign === '-') {
      if (!end(true)) {
        joinLast(words);
        words.push({ kind: 'held' });
      }
    } else if (sign === '_' || sign === '*') {
      end(false);
      words.push({ kind: sign === '_' ? 'held' : 'none' });
    } else if (sign === '|') {
      end(false);
      words.push({ kind: 'bar' });
    } else if (sign === ' ' || sign === '\t') end(false);
    else syllable += sign === '~' ? ' ' : sign;
  }
  end(false);
}

function joinLast(words: readonly Word[]): void {
  for (let i = words.length - 1; i >= 0; i--) {
    const word = itemAt(words, i);
    if (word.kind !== 'syllable') continue;
    word.joins = true;
    return;
  }
}

const countNotes = (words: readonly Word[]): number => words.filter((word) => word.kind !== 'bar').length;

/**
 * Lays a voice's words under its notes. Fields that follow one another are stanzas of the same notes; rests and grace notes take no
 * syllable, the second of two tied notes counts as a note of its own. Where lines of music without words stand before,
 * a file of version 2.1 starts with the first of them; other files mostly mean the last line, and that is taken if the words fit it.
 * One line of words in a stretch of several stanzas is sung in all of them.
 * Source: ABC standard 2.1, sections 5.1 and 5.2.
 */
export function layWords(
  voice: VoiceText,
  bars: readonly VoiceBar[],
  strict: boolean,
  findings: Findings,
): void {
  const notes = bars.flatMap((bar) => bar.notes);
  const most = mostStanzas(voice, notes);
  let taken = 0;
  let seen = 0;
  let index = 0;
  let lines = 0;
  while (index < voice.words.length) {
    const first = itemAt(voice.words, index);
    while (seen < notes.length && itemAt(notes, seen).at < first.at) seen += 1;
    const next = seen < notes.length ? itemAt(notes, seen).at : Number.POSITIVE_INFINITY;
    const block: WordsField[] = [];
    while (index < voice.words.length && itemAt(voice.words, index).at < next) {
      block.push(itemAt(voice.words, index));
      index += 1;
    }
    const split = block.map(splitWords);
    let from = taken;
    while (lines < voice.lineStarts.length && itemAt(voice.lineStarts, lines) < first.at) lines += 1;
    const count = split.reduce((most, words) => Math.max(most, countNotes(words)), 0);
    if (!strict) from = lineFrom(voice.lineStarts, lines, notes, taken, seen, count);
    if (from > taken)
      findings.guessed(
        `words were laid under the line of music just before them; ${from - taken} notes of voice ${voice.id} before it have none (${findings.sayPlace(first.at)})`,
      );
    const slots = notes.slice(from, seen);
    const stanzas = stanzasOf(block, most);
    split.forEach((words, i) => {
      layStanza(words, itemAt(stanzas, i), slots, itemAt(block, i), findings);
    });
    fillBetween(stanzas, slots, first.at, findings);
    fillRest(slots, split.map(starsAtEnd), stanzas, first.at, findings);
    taken = seen;
  }
}

/** How many fields of words stand together at most: the voice's number of stanzas. */
function mostStanzas(voice: VoiceText, notes: readonly RawNote[]): number {
  let most = 0;
  let count = 0;
  let seen = 0;
  for (const { at } of voice.words) {
    const before = seen;
    while (seen < notes.length && itemAt(notes, seen).at < at) seen += 1;
    count = seen === before ? count + 1 : 1;
    most = Math.max(most, count);
  }
  return most;
}

/**
 * Which stanza each field of a block is, from 0: its place, or, in a block of fewer fields than the song has stanzas,
 * the number that it carries (`5.~Then` after one line for the stanzas before).
 */
function stanzasOf(block: readonly WordsField[], most: number): number[] {
  const byPlace = block.map((_, i) => i);
  if (block.length >= most) return byPlace;
  const stanzas: number[] = [];
  for (const [i, field] of block.entries()) {
    const text = field.parts[0]?.text ?? '';
    const number = Number(/^\s*(\d{1,3})/.exec(text.slice(0, stanzaNumber(text)))?.[1] ?? 0);
    const place = number > 0 ? number - 1 : (stanzas[i - 1] ?? -1) + 1;
    if (place >= most || place <= (stanzas[i - 1] ?? -1)) return byPlace;
    stanzas.push(place);
  }
  return stanzas;
}

/** Stanzas that a numbered line jumps over sing the line before it. */
function fillBetween(
  stanzas: readonly number[],
  slots: readonly RawNote[],
  at: number,
  findings: Findings,
): void {
  let filled = false;
  stanzas.forEach((stanza, i) => {
    const next = stanzas[i + 1];
    for (let between = stanza + 1; next !== undefined && between < next; between++) {
      for (const note of slots) note.syllables[between] = note.syllables[stanza] ?? null;
      filled = true;
    }
  });
  if (filled)
    findings.guessed(
      `a line of words without a number is sung in all stanzas up to the next number (${findings.sayPlace(at)})`,
    );
}

/** The first note of the fewest lines of music before the words that hold so many syllables. */
function lineFrom(
  lineStarts: readonly number[],
  lines: number,
  notes: readonly RawNote[],
  taken: number,
  seen: number,
  count: number,
): number {
  let from = seen;
  for (let i = lines - 1; i >= 0; i--) {
    const start = itemAt(lineStarts, i);
    while (from > taken && itemAt(notes, from - 1).at >= start) from -= 1;
    if (from === taken || (seen - from >= count && seen > from)) return from;
  }
  return taken;
}

/** How many notes a field leaves out (`*`) at its end. */
function starsAtEnd(words: readonly Word[]): number {
  let count = 0;
  for (let i = words.length - 1; i >= 0; i--) {
    const word = itemAt(words, i);
    if (word.kind === 'syllable' || word.kind === 'held') break;
    if (word.kind === 'none') count += 1;
  }
  return count;
}

/** Fewer syllables than these are a slur's tail, not a refrain. */
const LEAST_OF_A_REFRAIN = 4;

/** Where a later stanza leaves out all notes to the end under which the first has a line of words, it sings those: a refrain written once. */
function fillRest(
  slots: readonly RawNote[],
  stars: readonly number[],
  stanzas: readonly number[],
  at: number,
  findings: Findings,
): void {
  stars.forEach((count, i) => {
    const stanza = stanzas[i] ?? 0;
    if (i === 0 || count === 0) return;
    const rest = slots.slice(-count);
    const first = stanzas[0] ?? 0;
    if (rest.filter((note) => note.syllables[first]).length < LEAST_OF_A_REFRAIN) return;
    for (const note of rest) note.syllables[stanza] = note.syllables[first] ?? null;
    findings.guessed(
      `words written once at the end of a line are sung in all of its stanzas (${findings.sayPlace(at)})`,
    );
  });
}

function layStanza(
  words: readonly Word[],
  stanza: number,
  slots: readonly RawNote[],
  field: WordsField,
  findings: Findings,
): void {
  for (const note of slots) while (note.syllables.length <= stanza) note.syllables.push(null);
  const tiesAsOne = tiesTakeNoSyllable(words, slots);
  if (tiesAsOne)
    findings.guessed(
      `words were laid so that tied notes count as one, since so they fit (${findings.sayPlace(field.at)})`,
    );
  const places = tiesAsOne ? slots.filter((_, i) => !isSecondOfTie(slots, i)) : slots;
  const left: string[] = [];
  let leftAt = field.at;
  let place = 0;
  let bar = slots[0]?.bar ?? 0;
  let last: RawNote | null = null;
  for (const word of words) {
    if (word.kind === 'bar') {
      bar = Math.max(bar + 1, last && last.bar > bar + 1 ? last.bar : 0);
      while (place < places.length && itemAt(places, place).bar < bar) place += 1;
      continue;
    }
    const note = places[place];
    if (!note) {
      if (word.kind === 'syllable') {
        if (left.length === 0) leftAt = word.at;
        left.push(word.text);
      }
      continue;
    }
    place += 1;
    if (word.kind !== 'syllable') continue;
    note.syllables[stanza] = { text: word.text, joins: word.joins, endsLine: false };
    last = note;
  }
  if (last) last.syllables[stanza] = endOfLine(last.syllables[stanza] ?? null);
  if (left.length > 0)
    findings.leftOut(
      `${left.length} ${left.length === 1 ? 'syllable' : 'syllables'} for which there is no note: "${left.join(' ').slice(0, 60)}"`,
      leftAt,
    );
  else if (words.length > 0 && place < places.length)
    findings.warn(
      `${places.length - place} ${places.length - place === 1 ? 'note has' : 'notes have'} no syllable at the end of the words in line ${findings.placeOf(field.at).line}`,
    );
}

const endOfLine = (syllable: Syllable | null): Syllable | null =>
  syllable ? { ...syllable, endsLine: true } : null;

/** Whether words fit only if tied notes count as one: as many parts as notes then, and fewer than signs of notes. */
function tiesTakeNoSyllable(words: readonly Word[], slots: readonly RawNote[]): boolean {
  if (words.some((word) => word.kind === 'bar')) return false;
  const second = slots.filter((_, i) => isSecondOfTie(slots, i)).length;
  if (second === 0) return false;
  const count = countNotes(words);
  if (count !== slots.length - second) return false;
  const parts = words.filter((word) => word.kind !== 'bar');
  return slots.every((_, i) => !isSecondOfTie(slots, i) || parts[i]?.kind === 'syllable');
}

function isSecondOfTie(slots: readonly RawNote[], index: number): boolean {
  const before = slots[index - 1];
  return before?.tied === true && before.midi === slots[index]?.midi;
}

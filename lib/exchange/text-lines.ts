import { itemAt } from '../base';
import type { Meter } from '../time';
import { type ChordLine, isChordWord, readChordLine, type Span } from './text-chords';
import { columnsOf } from './text-columns';
import { type Fact, readFacts } from './text-facts';

/** A heading: `[Verse 2]`, `Chorus:`, `Intro: G C G` (its chords are a line of their own). */
export interface Heading {
  /** As written, without brackets, colon and count. */
  readonly name: string;
  /** The name without its number, in small letters: what verses have in common. */
  readonly base: string;
  readonly times: number;
  /** It says that the part is sung again. */
  readonly again: boolean;
}

/** A chord of a line that stands over a column of the words. */
export interface WordLine {
  readonly at: number;
  readonly text: string;
  readonly column: (index: number) => number;
}

/** Chords, words, or both of them over one another. */
export interface SongLine {
  readonly at: number;
  readonly chords: ChordLine | null;
  readonly words: WordLine | null;
}

export type TextItem =
  | { readonly kind: 'blank' }
  | { readonly kind: 'heading'; readonly at: number; readonly heading: Heading }
  | { readonly kind: 'facts'; readonly at: number; readonly facts: readonly Fact[] }
  | { readonly kind: 'line'; readonly line: SongLine }
  | { readonly kind: 'other'; readonly at: number; readonly one: string; readonly many: string };

const PARTS =
  'verse|chorus|refrain|bridge|middle eight|pre-?\\s?chorus|intro(?:duction)?|outro|ending|end|tag(?: line)?|turnaround|break|solo|instrumental|interlude|kick-?\\s?off|coda|strophe|stanza|vamp|part|section';
const TIMES = '(?:\\(?\\s*(?:[x×]\\s*(\\d{1,2})|(\\d{1,2})\\s*[x×])\\s*\\)?)';
const NAMED = new RegExp(
  `^(repeat\\s+)?((?:(?:[\\p{L}]+\\s+){0,2})(?:${PARTS})\\b[^:\\]|]{0,24}?)\\s*(\\((?:repeat|again)\\)|again)?\\s*${TIMES}?$`,
  'iu',
);

/** A heading that stands alone in a line, with chords after its colon at most; null where the line is none. */
export function readHeading(line: string): { readonly heading: Heading; readonly rest: string } | null {
  const text = line.trim();
  if (text.length > 100) return null;
  const bracketed =
    /^\[([^[\]]{1,60})\]\s*:?\s*(.*)$/.exec(text) ?? /^\(([^()]{1,60})\)\s*:?\s*()$/.exec(text);
  if (bracketed) {
    const inner = (bracketed[1] ?? '').trim().replace(/:$/, '');
    const rest = (bracketed[2] ?? '').trim();
    const square = text.startsWith('[');
    const times = new RegExp(`^${TIMES}$`, 'i').exec(rest);
    if (isChordWord(inner) || (!square && !NAMED.test(inner))) return null;
    return { heading: headingOf(inner, countOf(times?.[1] ?? times?.[2])), rest: times ? '' : rest };
  }
  const colon = /^([^:|]{1,40}):\s*(.*)$/.exec(text);
  if (colon) {
    const name = (colon[1] ?? '').trim();
    const rest = (colon[2] ?? '').trim();
    const named = NAMED.test(name) || (rest === '' && name.split(/\s+/).length <= 3 && /^\p{Lu}/u.test(name));
    return named ? { heading: headingOf(name, 1), rest } : null;
  }
  return NAMED.test(text) && text.split(/\s+/).length <= 5 && !/[.,;!?]$/.test(text) && isTitleCase(text)
    ? { heading: headingOf(text, 1), rest: '' }
    : null;
}

/** Without brackets or colon, a line is a heading only where every word begins with a capital or is a number or count. */
function isTitleCase(text: string): boolean {
  return text.split(/\s+/).every((word) => /^[\p{Lu}\d(x×#]/u.test(word) || word === 'again');
}

function headingOf(text: string, times: number): Heading {
  const match = NAMED.exec(text);
  const name = (match?.[2] ?? text).trim().slice(0, 70);
  const base = name
    .toLowerCase()
    .replace(/[#.]/g, ' ')
    .replace(/\b(?:\d{1,2}|[ivx]{1,4}|one|two|three|four|five|six)\b/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();
  return {
    name,
    base: base === '' ? name.toLowerCase() : base,
    times: Math.max(times, countOf(match?.[4] ?? match?.[5])),
    again: Boolean(match?.[1] || match?.[3]),
  };
}

function countOf(text: string | undefined): number {
  const count = Number(text ?? 1);
  return count >= 1 && count <= 16 ? count : 1;
}

/** A line of tablature: a string's name at most, then mostly hyphens and frets. */
function isTablature(text: string): boolean {
  const match = /^(?:[A-Ga-g][#b]?)? ?[|:]?([-0-9hpbxs/\\~^()<>|=* ]{8,})$/.exec(text.trim());
  return match !== null && ((match[1] ?? '').match(/-/g)?.length ?? 0) >= 5 && !/\p{L}{3}/u.test(text);
}

/** Reads every line of a text for what it is; a line of chords and the line of words right below it are one. */
export function readLines(text: string, meter: Meter): TextItem[] {
  const items: TextItem[] = [];
  let pending: { at: number; chords: ChordLine } | null = null;
  let begun = false;
  const push = (line: SongLine) => {
    items.push({ kind: 'line', line });
    begun ||= line.chords !== null;
  };
  const flush = () => {
    if (pending) push({ ...pending, words: null });
    pending = null;
  };
  let at = 0;
  const inlineChords = /\[[^[\]\n]*\][ \t]*[^\s[]/.test(text.replace(/^[ \t]*\[[^[\]\n]*\][ \t]*$/gm, ''));
  for (const raw of text.split('\n')) {
    const start = at;
    at += raw.length + 1;
    if (raw.trim() === '') {
      flush();
      items.push({ kind: 'blank' });
      continue;
    }
    const inline = readInline(raw, start, meter, inlineChords);
    if (inline) {
      flush();
      push(inline);
      continue;
    }
    const other = otherLine(raw, start);
    if (other) {
      flush();
      items.push(other);
      continue;
    }
    const chords = readChordLine(raw, meter);
    if (chords) {
      flush();
      pending = { at: start, chords };
      continue;
    }
    const facts = pending ? null : readFacts(raw);
    if (facts && (!begun || facts.every((fact) => fact.kind !== 'unread'))) {
      items.push({ kind: 'facts', at: start, facts });
      continue;
    }
    const headed = readHeading(raw);
    if (headed) {
      const rest = headed.rest === '' ? null : readChordLine(headed.rest, meter);
      if (rest || headed.rest === '' || headed.heading.name.length < 30) {
        flush();
        items.push({ kind: 'heading', at: start, heading: headed.heading });
        begun = true;
        if (rest) push({ at: start + raw.indexOf(headed.rest), chords: withoutColumns(rest), words: null });
        else if (headed.rest !== '') push(wordsOnly(headed.rest, start + raw.indexOf(headed.rest)));
        continue;
      }
    }
    const before: { at: number; chords: ChordLine } | null = pending;
    pending = null;
    const numbered = /^\s*(\d{1,2})[.)]\s+(?=\S)/.exec(raw);
    if (numbered) {
      const name = `Verse ${numbered[1]}`;
      items.push({ kind: 'heading', at: start, heading: { name, base: 'verse', times: 1, again: false } });
    }
    const own = numbered ? ' '.repeat(numbered[0].length) + raw.slice(numbered[0].length) : raw;
    const words = { at: start, text: own.replace(/\|/g, ' '), column: columnsOf(own) };
    push({ at: start, chords: null, ...before, words });
  }
  flush();
  return items;
}

function wordsOnly(text: string, at: number): SongLine {
  return { at, chords: null, words: { at, text, column: columnsOf(text) } };
}

const withoutColumns = (line: ChordLine): ChordLine => ({
  ...line,
  spans: line.spans.map((span): Span => ({ ...span, column: null })),
});

function otherLine(raw: string, at: number): TextItem | null {
  if (/^\s*\{[^{}]*\}\s*$/.test(raw))
    return { kind: 'other', at, one: 'a line in curly brackets', many: 'lines in curly brackets' };
  if (isTablature(raw)) return { kind: 'other', at, one: 'a line of tablature', many: 'lines of tablature' };
  if (/^\s*[-=_*#~]{3,}\s*$/.test(raw)) return { kind: 'blank' };
  if (/^\s*(?:https?:\/\/|www\.)\S+\s*$/i.test(raw))
    return { kind: 'other', at, one: 'a web address', many: 'web addresses' };
  return null;
}

/** A line with chords in square brackets among its words; each chord a bar, or marked as in a line of chords. */
function readInline(raw: string, at: number, meter: Meter, inlineChords: boolean): SongLine | null {
  const marks = [...raw.matchAll(/\[([^[\]]{1,40})\]/g)];
  if (marks.length === 0) return null;
  const lines = marks.map((mark) => readChordLine(itemAt(mark, 1), meter));
  if (lines.some((line) => line === null)) return null;
  if (!inlineChords && marks.length === 1 && raw.trim() === marks[0]?.[0] && /^\[[A-G]\]$/.test(raw.trim()))
    return null;
  let text = '';
  let last = 0;
  const spans: Span[] = [];
  let marked = false;
  marks.forEach((mark, i) => {
    text += raw.slice(last, mark.index);
    last = mark.index + mark[0].length;
    const line = itemAt(lines, i);
    marked ||= line?.marked ?? false;
    for (const span of line?.spans ?? [])
      spans.push({ ...span, column: text.length, index: mark.index + 1 + span.index });
  });
  text += raw.slice(last);
  const chords: ChordLine = { spans, barlines: false, times: 1, marked, leftOut: [] };
  const words = text.replace(/\|/g, ' ');
  if (!/[\p{L}\p{N}]/u.test(words)) return { at, chords: withoutColumns(chords), words: null };
  // Columns here are places in the words themselves, and each sign counts one.
  return { at, chords, words: { at, text: words, column: (index) => index } };
}

/** Whether words above a staff name a part of a song: `Chorus`, `Verse 2`. */
export function isPartName(text: string): boolean {
  return text.length <= 40 && NAMED.test(text.replace(/[[\]:]/g, '').trim());
}

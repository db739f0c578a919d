import { itemAt } from '../base';
import { parseChord } from '../theory';
import { barTicks, beatTicks, type Meter, type Ticks } from '../time';
import { columnsOf } from './text-columns';

/** A chord for as long as a line of chords gives it; `symbol` is null where the chord before goes on. */
export interface Span {
  readonly symbol: string | null;
  readonly ticks: Ticks;
  /** The column at which the chord stands; null where none is written. */
  readonly column: number | null;
  /** Index in the line. */
  readonly index: number;
}

/** A line of chords, read. */
export interface ChordLine {
  readonly spans: readonly Span[];
  readonly barlines: boolean;
  /** How often the line is to be played by a mark such as `x2` at its end; 1 where there is none. */
  readonly times: number;
  /** Marks that say how long a chord lasts were written. */
  readonly marked: boolean;
  /** Remarks in parentheses and signs of repeat, which are left out. */
  readonly leftOut: readonly { readonly what: string; readonly index: number }[];
}

const CHORD =
  /^[A-G](?:#|b|♯|♭)?(?:maj|min|mi|ma|m|M|dim|aug|sus|add|no|alt|°|o(?=7)|ø|Δ|\+|-(?=\d)|\d{1,2}|[#b♯♭](?=\d)|\([^()\s]*\))*(?:\/[A-G](?:#|b|♯|♭)?)?$/;
const NO_CHORD = /^\(?n\.?\s?c\.?\)?$/i;

/** Whether a word is a chord symbol, or looks so much like one that it was meant as one. */
export function isChordWord(word: string): boolean {
  const plain = word.replace(/[*'!]+$/, '').replace(/^\((.*)\)$/, '$1');
  if (NO_CHORD.test(plain)) return true;
  return CHORD.test(plain) && (parseChord(plain) !== null || /\d/.test(plain));
}

type Token =
  | { kind: 'chord'; symbol: string; index: number }
  | { kind: 'bar'; repeat: boolean; index: number }
  | { kind: 'beats'; count: number; index: number }
  | { kind: 'same'; index: number }
  | { kind: 'length'; bars: number | null; beats: number | null; index: number }
  | { kind: 'times'; count: number; index: number }
  | { kind: 'remark'; text: string; index: number }
  | { kind: 'dash'; index: number };

/** The signs of a line of chords; null where the line is none: something else stands in it, or no chord at all. */
function tokensOf(line: string): Token[] | null {
  const tokens: Token[] = [];
  for (const match of line.matchAll(/:?\|[|\]:]*|\([^()]*\)(?!\S)|[^\s|]+/g)) {
    const index = match.index;
    const token = tokenOf(match[0], index);
    if (!token) return null;
    tokens.push(...token);
  }
  return tokens.some((token) => token.kind === 'chord') ? tokens : null;
}

function tokenOf(word: string, index: number): Token[] | null {
  if (word.includes('|')) return [{ kind: 'bar', repeat: word.includes(':'), index }];
  if (isChordWord(word)) return [{ kind: 'chord', symbol: symbolOf(word), index }];
  if (/^[/.]+$/.test(word)) return [{ kind: 'beats', count: word.length, index }];
  if (word === '%' || word === '𝄎') return [{ kind: 'same', index }];
  if (/^[-–—~]+$/.test(word)) return [{ kind: 'dash', index }];
  const times = /^\(?(?:[x×]\s?(\d{1,2})|(\d{1,2})\s?[x×])\)?[.:]?$/i.exec(word);
  if (times) return [{ kind: 'times', count: Number(times[1] ?? times[2]), index }];
  const length = /^\((\d{1,2})(?:\/(\d))?\s*(bars?|beats?)?\)$/i.exec(word);
  if (length) {
    const value = Number(length[1]) / Number(length[2] ?? 1);
    const inBeats = /^beat/i.test(length[3] ?? '');
    return value > 0 && value <= 64
      ? [{ kind: 'length', bars: inBeats ? null : value, beats: inBeats ? value : null, index }]
      : null;
  }
  const held = /^(.+?)([/.]+)$/.exec(word);
  if (held && isChordWord(held[1] ?? ''))
    return [
      { kind: 'chord', symbol: symbolOf(held[1] ?? ''), index },
      { kind: 'beats', count: (held[2] ?? '').length, index },
    ];
  const joined = word.split(/(?<=.)[-–,](?=[A-G])/);
  if (joined.length > 1 && joined.every(isChordWord)) {
    let at = index;
    return joined.map((symbol) => {
      const token: Token = { kind: 'chord', symbol: symbolOf(symbol), index: at };
      at += symbol.length + 1;
      return token;
    });
  }
  return /^\([^()]*\)$/.test(word) ? [{ kind: 'remark', text: word, index }] : null;
}

function symbolOf(word: string): string {
  const plain = word.replace(/[*'!]+$/, '').replace(/^\((.*)\)$/, '$1');
  return NO_CHORD.test(plain) ? 'N.C.' : plain.replace(/♯/g, '#').replace(/♭/g, 'b');
}

/**
 * Reads a line of chords; null where it is none. With barlines, what stands between two of them is a bar: slashes and dots are beats, two
 * chords halve it, more share it beat by beat, the first longest; an empty bar and `%` go on with the chord before. Without
 * barlines a chord lasts a bar, unless slashes or dots after it count its beats, or a number in parentheses its bars.
 */
export function readChordLine(line: string, meter: Meter): ChordLine | null {
  const tokens = tokensOf(line);
  if (!tokens) return null;
  const column = columnsOf(line);
  const barlines = tokens.some((token) => token.kind === 'bar');
  const times = tokens.reduce(
    (most, token) => (token.kind === 'times' ? Math.max(most, token.count) : most),
    1,
  );
  const leftOut = tokens.flatMap((token) =>
    token.kind === 'remark'
      ? [{ what: `a remark among the chords: "${token.text.slice(0, 60)}"`, index: token.index }]
      : token.kind === 'bar' && token.repeat
        ? [{ what: 'a sign of repeat among the chords; the line is read once', index: token.index }]
        : [],
  );
  const music = tokens.filter((token) => token.kind !== 'times' && token.kind !== 'remark');
  const marked = music.some((token) => token.kind === 'beats' || token.kind === 'length');
  const spans = barlines ? spansOfBars(music, meter, column) : spansOfChords(music, meter, column);
  return { spans, barlines, times: Math.min(16, Math.max(1, times)), marked, leftOut };
}

function spansOfChords(tokens: readonly Token[], meter: Meter, column: (index: number) => number): Span[] {
  const bar = barTicks(meter);
  const beat = beatTicks(meter);
  const spans: Span[] = [];
  for (let i = 0; i < tokens.length; i++) {
    const token = itemAt(tokens, i);
    const before = spans[spans.length - 1];
    if (token.kind === 'same') spans.push({ symbol: null, ticks: bar, column: null, index: token.index });
    if (token.kind !== 'chord') continue;
    let beats = 1;
    let dashes = 0;
    let ticks = bar;
    for (
      let next = tokens[i + 1];
      next && next.kind !== 'chord' && next.kind !== 'same';
      next = tokens[i + 1]
    ) {
      if (next.kind === 'beats') beats += next.count;
      if (next.kind === 'dash') dashes += 1;
      if (next.kind === 'length')
        ticks = Math.max(1, Math.round(next.bars === null ? (next.beats ?? 1) * beat : next.bars * bar));
      i += 1;
    }
    if (dashes > 1) beats += dashes;
    if (beats > 1) ticks = beats * beat;
    const same = before && before.symbol === token.symbol && before.column === null;
    spans.push({
      symbol: same ? null : token.symbol,
      ticks,
      column: column(token.index),
      index: token.index,
    });
  }
  return spans;
}

function spansOfBars(tokens: readonly Token[], meter: Meter, column: (index: number) => number): Span[] {
  const cells: Token[][] = [[]];
  for (const token of tokens) {
    if (token.kind === 'bar') cells.push([]);
    else itemAt(cells, cells.length - 1).push(token);
  }
  // What stands before the first barline and after the last is a bar where something stands there.
  return cells.flatMap((cell, i) =>
    cell.length === 0 && (i === 0 || i === cells.length - 1) ? [] : spansOfBar(cell, meter, column),
  );
}

function spansOfBar(cell: readonly Token[], meter: Meter, column: (index: number) => number): Span[] {
  const bar = barTicks(meter);
  const beat = beatTicks(meter);
  const beats = Math.max(1, Math.round(bar / beat));
  const parts: { symbol: string | null; count: number; column: number | null; index: number }[] = [];
  for (const token of cell) {
    const before = parts[parts.length - 1];
    if (token.kind === 'chord')
      parts.push({ symbol: token.symbol, count: 1, column: column(token.index), index: token.index });
    else if (token.kind === 'beats' && before) before.count += token.count;
    else if (token.kind === 'beats' || token.kind === 'same')
      parts.push({
        symbol: null,
        count: token.kind === 'beats' ? token.count : 1,
        column: null,
        index: token.index,
      });
  }
  if (parts.length === 0) return [{ symbol: null, ticks: bar, column: null, index: cell[0]?.index ?? 0 }];
  const total = parts.reduce((sum, part) => sum + part.count, 0);
  const counted = cell.some((token) => token.kind === 'beats');
  let left = bar;
  return parts.map((part, i) => {
    const rest = parts.length - 1 - i;
    const own =
      rest === 0
        ? left
        : counted
          ? Math.round((bar * part.count) / total)
          : parts.length > beats
            ? Math.round(bar / parts.length)
            : (Math.floor(beats / parts.length) + (i < beats % parts.length ? 1 : 0)) * beat;
    const ticks = Math.max(1, Math.min(own, left - rest));
    left -= ticks;
    return { symbol: part.symbol, ticks, column: part.column, index: part.index };
  });
}

import { itemAt } from '../base';
import { barTicks, beatTicks, type Meter, type Ticks } from '../time';
import type { Part, PartLine } from './text-parts';
import { type LineSyllable, syllablesOf, type Tongue } from './text-syllables';

/** Words of one stanza under one line, with the chords that stand over its syllables. */
export interface LaidWords {
  readonly syllables: readonly LineSyllable[];
  /** By syllable, the tick (from the line's start) of the chord over it. */
  readonly anchors: ReadonlyMap<number, Ticks>;
  /** Syllables before the first chord: they lead into the line. */
  readonly leading: number;
  /** The tick (from the line's start) of the first chord that stands behind all words: they have begun by then. Null: none does. */
  readonly trailing: Ticks | null;
}

/** A line of a part, laid along its bars; ticks from the part's first full bar. */
export interface LaidLine {
  readonly line: PartLine;
  readonly from: Ticks;
  readonly to: Ticks;
  readonly chords: readonly { readonly symbol: string; readonly tick: Ticks; readonly index: number }[];
  /** By stanza. */
  readonly words: readonly (LaidWords | null)[];
  /** How long before the line its words may begin. */
  readonly pickup: Ticks;
}

export interface LaidPart {
  readonly part: Part;
  readonly lines: readonly LaidLine[];
  readonly ticks: Ticks;
  /** Lines of words that no chord gave a length. */
  readonly unmeasured: number;
}

/** Two beats more than its syllables take, in whole bars: time to hold the last one and to breathe. Common practice, no source. */
function usualTicks(syllables: number, meter: Meter): Ticks {
  return (
    Math.max(1, Math.ceil((syllables * beatTicks(meter) + 2 * beatTicks(meter)) / barTicks(meter))) *
    barTicks(meter)
  );
}

/**
 * The lines of a part along its bars. A line lasts as long as its chords; a line of words without chords as long as most lines of its part
 * that have some, else as many whole bars as its syllables take at one to a beat. A line's words may begin before it by a
 * beat for every two syllables that stand before its first chord.
 */
export function layPart(part: Part, meter: Meter, tongue: Tongue): LaidPart {
  const lengths = part.lines.map(({ spans }) => spans?.reduce((sum, span) => sum + span.ticks, 0) ?? null);
  const known = lengths.filter((length) => length !== null).sort((a, b) => a - b);
  const median = known.length > 0 ? itemAt(known, known.length >> 1) : null;
  let at = 0;
  let unmeasured = 0;
  const lines = part.lines.map((line, i): LaidLine => {
    const words = line.words.map((own) => {
      if (!own) return null;
      const syllables = syllablesOf(own.line.text, own.line.column, tongue);
      return syllables.length === 0 ? null : layWords(syllables, own.spans ?? null);
    });
    const most = words.reduce((count, each) => Math.max(count, each?.syllables.length ?? 0), 0);
    const from = at;
    const own = itemAt(lengths, i);
    if (own === null) unmeasured += 1;
    at += own ?? median ?? usualTicks(most, meter);
    const leading = words.reduce((count, each) => Math.max(count, each?.leading ?? 0), 0);
    const pickup = Math.min(Math.ceil(leading / 2) * beatTicks(meter), barTicks(meter) - beatTicks(meter));
    return { line, from, to: at, chords: chordsOf(line, from), words, pickup: Math.max(0, pickup) };
  });
  return { part, lines, ticks: at, unmeasured };
}

function chordsOf(line: PartLine, from: Ticks): LaidLine['chords'] {
  let tick = from;
  return (line.spans ?? []).flatMap((span) => {
    const at = tick;
    tick += span.ticks;
    return span.symbol === null ? [] : [{ symbol: span.symbol, tick: at, index: line.at + span.index }];
  });
}

function layWords(syllables: readonly LineSyllable[], spans: PartLine['spans']): LaidWords {
  const anchors = new Map<number, Ticks>();
  let tick = 0;
  let leading = 0;
  let last = -1;
  let trailing: Ticks | null = null;
  for (const span of spans ?? []) {
    if (span.column !== null && span.symbol !== null) {
      const index = syllableUnder(syllables, span.column);
      if (index === null && tick > 0) trailing ??= tick;
      if (index !== null && index > last) {
        if (last < 0 && tick === 0) leading = index;
        anchors.set(index, tick);
        last = index;
      }
    }
    tick += span.ticks;
  }
  return { syllables, anchors, leading, trailing };
}

/** The syllable that a chord's column falls on, or the next one after a blank; null beyond the words. */
function syllableUnder(syllables: readonly LineSyllable[], column: number): number | null {
  const index = syllables.findIndex(({ to }) => column < to);
  return index < 0 ? null : index;
}

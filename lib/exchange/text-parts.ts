import { itemAt } from '../base';
import type { Findings } from './report';
import type { Span } from './text-chords';
import type { Heading, SongLine, TextItem, WordLine } from './text-lines';

/** A sung line with the chords over it and its words by stanza. */
export interface PartLine {
  readonly at: number;
  /** Null where no chords stand over it in any stanza. */
  readonly spans: readonly Span[] | null;
  /** How long its chords last is a guess: no barlines, beats or bars are written. */
  readonly isGuess: boolean;
  /** By stanza; null where the stanza has no words here. */
  readonly words: ({ readonly line: WordLine; readonly spans: readonly Span[] | null } | null)[];
}

/** A part of the song that is played with the same chords each time. */
export interface Part {
  name: string;
  readonly base: string | null;
  readonly lines: PartLine[];
  stanzas: number;
}

export interface PartPass {
  readonly part: Part;
  /** From 1; null where nobody sings. */
  readonly stanza: number | null;
}

interface Block {
  readonly at: number;
  heading: Heading | null;
  readonly lines: SongLine[];
}

/** Blank lines and headings part a song into blocks. */
function blocksOf(items: readonly TextItem[]): Block[] {
  const blocks: Block[] = [];
  let open: Block | null = null;
  for (const item of items) {
    if (item.kind === 'blank') {
      // A heading is of what comes next, even after a blank line.
      if (open && open.lines.length > 0) open = null;
    } else if (item.kind === 'heading') {
      open = { at: item.at, heading: item.heading, lines: [] };
      blocks.push(open);
    } else if (item.kind === 'line') {
      if (!open) {
        open = { at: item.line.at, heading: null, lines: [] };
        blocks.push(open);
      }
      open.lines.push(item.line);
    }
  }
  return blocks;
}

const layoutOf = (
  lines: readonly { readonly chords?: { readonly spans: readonly Span[] } | null }[],
): string =>
  JSON.stringify(
    lines.map(({ chords }) => chords?.spans.map(({ symbol, ticks }) => [symbol, ticks]) ?? null),
  );

const wordsOf = (lines: readonly SongLine[]): string =>
  lines.map(({ words }) => words?.text.trim().replace(/\s+/g, ' ').toLowerCase() ?? '').join('\n');

/** A part with what it is known by while blocks are matched with it. */
interface Known {
  readonly part: Part;
  readonly layout: string;
  readonly wordLines: number;
  /** The words of each stanza, and how often they were sung. */
  readonly texts: string[];
}

/**
 * Parts and the order in which they are sung. Blocks under headings of one kind (`Verse 1`, `Verse 2`), or without headings, that have
 * the same chords line by line are stanzas of one part; so is a block of words alone with as many lines of words as a part of
 * its kind. A block with the same words is that stanza again; a heading alone calls for the part of its name.
 */
export function planParts(
  items: readonly TextItem[],
  findings: Findings,
): { readonly parts: readonly Part[]; readonly passes: readonly PartPass[] } {
  const known: Known[] = [];
  const passes: PartPass[] = [];
  const again = (part: Part, stanza: number | null, times: number) => {
    for (let n = 0; n < times; n++) passes.push({ part, stanza });
  };
  let headed: Known | null = null;
  for (const block of blocksOf(items)) {
    const times = block.heading?.times ?? 1;
    const base = block.heading?.base ?? null;
    if (block.lines.length === 0) {
      const called = known.findLast(({ part }) => part.base === base);
      if (called) again(called.part, lastStanza(passes, called.part), times);
      else findings.leftOut(`a heading with nothing under it: "${block.heading?.name ?? ''}"`, block.at);
      continue;
    }
    const match = matchOf(block, base, known);
    if (match) {
      const text = wordsOf(block.lines);
      const sung = match.texts.indexOf(text);
      const silent = match.wordLines === 0 || !block.lines.some(({ words }) => words);
      if (!silent && sung < 0) addStanza(match, block, text, findings);
      if (
        !silent &&
        sung >= 0 &&
        match.part.base === null &&
        match.texts.length === 1 &&
        match.part.name === 'Section'
      )
        match.part.name = 'Chorus';
      again(match.part, silent ? null : sung < 0 ? match.part.stanzas : sung + 1, times);
      if (block.heading) headed = match;
      continue;
    }
    const goesOn =
      block.heading === null && headed !== null && passes[passes.length - 1]?.part === headed.part;
    if (goesOn && headed && headed.part.stanzas <= 1) {
      headed = extend(headed, block, known);
      if (headed.part.stanzas > 0) passes.splice(-1, 1, { part: headed.part, stanza: 1 });
      continue;
    }
    const made = newPart(block, base, known);
    known.push(made);
    if (block.heading) headed = made;
    again(made.part, made.part.stanzas === 0 ? null : 1, times);
  }
  const parts = known.map(({ part }) => part);
  nameParts(parts);
  return { parts, passes };
}

function lastStanza(passes: readonly PartPass[], part: Part): number | null {
  return passes.findLast((pass) => pass.part === part)?.stanza ?? (part.stanzas > 0 ? 1 : null);
}

function matchOf(block: Block, base: string | null, known: readonly Known[]): Known | null {
  const kin = known.filter(({ part }) => base === null || part.base === null || part.base === base);
  const own = kin.filter(({ part }) => part.base === base);
  const wordLines = block.lines.filter(({ words }) => words).length;
  if (!block.lines.some(({ chords }) => chords)) {
    const text = wordsOf(block.lines);
    const among = base === null ? known : own;
    return (
      among.find(({ texts }) => texts.includes(text)) ??
      among.findLast((each) => each.wordLines === wordLines && wordLines > 0 && fitsKind(each, base)) ??
      null
    );
  }
  const layout = layoutOf(block.lines);
  const same = (base === null ? known : own).filter((each) => each.layout === layout && fitsKind(each, base));
  return same.find((each) => each.wordLines === wordLines || wordLines === 0) ?? null;
}

/** Without a heading, a stanza is one of a verse; a chorus has a heading or the same words. */
function fitsKind({ part }: Known, base: string | null): boolean {
  return base !== null || part.base === null || /verse|strophe|stanza/.test(part.base);
}

function newPart(block: Block, base: string | null, known: readonly Known[]): Known {
  const wordLines = block.lines.filter(({ words }) => words).length;
  const part: Part = {
    name:
      block.heading?.name ??
      (known.some(({ part: { base: other } }) => other === null) ? 'Section' : 'Verse'),
    base,
    lines: block.lines.map((line) => lineOf(line)),
    stanzas: wordLines > 0 ? 1 : 0,
  };
  return {
    part,
    layout: layoutOf(block.lines),
    wordLines,
    texts: wordLines > 0 ? [wordsOf(block.lines)] : [],
  };
}

function lineOf({ at, chords, words }: SongLine): PartLine {
  const spans = chords?.spans ?? null;
  const isGuess = chords !== null && !chords.barlines && !chords.marked;
  return { at, spans, isGuess, words: words ? [{ line: words, spans }] : [] };
}

function addStanza(known: Known, block: Block, text: string, findings: Findings): void {
  const { part } = known;
  part.stanzas += 1;
  const stanza = part.stanzas - 1;
  const worded = block.lines.filter(({ words }) => words);
  part.lines
    .filter((line) => line.words.length > 0)
    .forEach((line, i) => {
      const own = worded[i];
      while (line.words.length < stanza) line.words.push(null);
      line.words.push(own?.words ? { line: own.words, spans: own.chords?.spans ?? null } : null);
    });
  known.texts.push(text);
  if (!block.lines.some(({ chords }) => chords))
    findings.guessed(
      `words without chords are sung to the chords of "${part.name}", line by line (${findings.sayPlace(block.at)})`,
    );
}

/** Lines after a blank line, under no heading of their own, go on with the part before. */
function extend(headed: Known, block: Block, known: Known[]): Known {
  const { part } = headed;
  part.lines.push(...block.lines.map((line) => lineOf(line)));
  part.stanzas = part.lines.some((line) => line.words.length > 0) ? 1 : 0;
  const at = known.indexOf(headed);
  const lines = part.lines.map(({ spans }) => ({ chords: spans ? { spans } : null }));
  const longer: Known = {
    part,
    layout: layoutOf(lines),
    wordLines: headed.wordLines + block.lines.filter(({ words }) => words).length,
    texts: [[...headed.texts, wordsOf(block.lines)].join('\n')],
  };
  known[at] = longer;
  return longer;
}

/** Parts of one kind whose chords differ keep their own names; a part of several stanzas is named without a number. */
function nameParts(parts: readonly Part[]): void {
  const used = new Map<string, number>();
  for (const part of parts) {
    const kin = parts.filter((other) => other.base === part.base);
    const plain =
      part.base !== null && kin.length === 1 ? part.name.replace(/[\s#.]*\d{1,2}\s*$/, '') : part.name;
    const name = plain === '' ? part.name : capital(plain);
    const count = (used.get(name) ?? 0) + 1;
    used.set(name, count);
    part.name = count > 1 ? `${name} (${count})` : name;
  }
}

const capital = (name: string): string =>
  name === name.toUpperCase() && name.length > 2
    ? itemAt(name, 0) + name.slice(1).toLowerCase()
    : itemAt(name, 0).toUpperCase() + name.slice(1);

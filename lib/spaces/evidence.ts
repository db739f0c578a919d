import { itemAt, type Reason } from '../base';
import type { PlacedBar, PlacedNote, Song, SungNote, Timeline } from '../song';
import { barTicks, beatTicks, type Ticks } from '../time';
import { countUpTo } from './stretches';
import type { PHRASE_WEIGHTS } from './weights';

export type Weights = { readonly [rule in keyof typeof PHRASE_WEIGHTS]: number };

/** What speaks for or against a phrase end after a note, before the lengths of phrases are weighed. */
export interface BoundaryEvidence {
  readonly reasons: readonly Reason[];
  readonly points: number;
  /** Where the note after it begins. */
  readonly nextPlace: BarPlace;
}

/** A bar by its number and an offset in it; a pickup's notes stand at the end of the bar before the first full one. */
export interface BarPlace {
  readonly bar: number;
  readonly offset: Ticks;
}

/** Words that are written with a capital wherever they stand. */
const ALWAYS_CAPITAL = /^(i|i['’](m|ll|ve|d)|o|oh)$/i;

/** Words of the song that stand somewhere without a capital: at these, a capital says that a line begins. */
export function wordsSeenSmall(song: Song): ReadonlySet<string> {
  const small = new Set<string>();
  for (const note of song.notes) {
    for (const syllable of note.syllables) {
      const word = syllable ? lettersOf(syllable.text) : '';
      if (word !== '' && word === word.toLowerCase()) small.add(word);
    }
  }
  return small;
}

/** A syllable without the marks around it and without the number of its stanza. */
function lettersOf(text: string): string {
  return text.replace(/^[^\p{L}]+/u, '').replace(/[^\p{L}]+$/u, '');
}

/** The signs after the letters of a syllable, quotes and brackets left out. */
function signsAfter(text: string): string {
  return (/[^\p{L}\p{N}]*$/u.exec(text)?.[0] ?? '').replace(/["'’”“‘)\]}\s~_*]/gu, '');
}

/** A stanza that leaves this many syllables of the others unanswered does not hold its own: it is silent there. */
const HELD_AT_MOST = 4;

/**
 * By stanza, whether its words stand at each note: a refrain is often written under the first stanza alone, and
 * the other stanzas then neither speak for a phrase's end there nor hold a syllable over it.
 */
function stanzasPresent(notes: readonly PlacedNote[]): readonly Uint8Array[] {
  const stanzas = Math.max(0, ...notes.map((note) => note.note.syllables.length));
  return Array.from({ length: stanzas }, (_, stanza) => {
    const present = new Uint8Array(notes.length).fill(1);
    let from = 0;
    let unanswered = 0;
    const close = (to: number) => {
      if (unanswered > HELD_AT_MOST) present.fill(0, from, to);
    };
    notes.forEach(({ note }, i) => {
      if (note.syllables[stanza]) {
        close(i);
        from = i + 1;
        unanswered = 0;
      } else if (note.syllables.some((syllable) => syllable)) unanswered += 1;
    });
    close(notes.length);
    return present;
  });
}

interface WordSigns {
  stanzas: number;
  stop: number;
  comma: number;
  capital: number;
  lineEnd: number;
  inside: number;
  held: number;
}

/** Per stanza, the last syllable begun so far: what the signs after a note are read from. */
type Begun = (SungNote['syllables'][number] | undefined)[];

/** How large a part of the stanzas shows each sign between two notes. */
function readSigns(begun: Begun, next: SungNote, small: ReadonlySet<string>, nameShare: number): WordSigns {
  const signs: WordSigns = { stanzas: 0, stop: 0, comma: 0, capital: 0, lineEnd: 0, inside: 0, held: 0 };
  for (let stanza = 0; stanza < begun.length; stanza++) {
    const last = begun[stanza];
    if (!last) continue;
    signs.stanzas += 1;
    const first = next.syllables[stanza] ?? null;
    if (!first) {
      signs.held += 1;
      continue;
    }
    if (last.joins) {
      signs.inside += 1;
      continue;
    }
    const after = signsAfter(last.text);
    if (/[.;:!?…]/u.test(after)) signs.stop += 1;
    else if (/[,–—-]/u.test(after)) signs.comma += 1;
    if (last.endsLine) signs.lineEnd += 1;
    const word = lettersOf(first.text);
    if (/^\p{Lu}/u.test(word) && !ALWAYS_CAPITAL.test(word)) {
      signs.capital += small.has(word.toLowerCase()) ? 1 : nameShare;
    }
  }
  return signs;
}

/** What the evidence of one voice is read from. */
export interface EvidenceInput {
  readonly timeline: Timeline;
  readonly notes: readonly PlacedNote[];
  readonly ignoreWords: boolean;
  readonly small: ReadonlySet<string>;
  readonly weights: Weights;
  /** Where the leading voice's phrases end, in order, for a voice that follows them; else null. */
  readonly together: readonly Ticks[] | null;
}

/** The evidence after every note but the last of a voice. O(notes × stanzas). */
export function gatherEvidence(input: EvidenceInput): readonly BoundaryEvidence[] {
  const { notes, timeline } = input;
  const found: BoundaryEvidence[] = [];
  const begun: Begun = [];
  const present = input.ignoreWords ? [] : stanzasPresent(notes);
  const bars = new BarWalk(timeline.bars);
  const placeOf = (note: PlacedNote) => placeInBar(bars.at(note.startTick), note.startTick);
  const start = notes[0] ? placeOf(notes[0]) : null;
  for (let i = 0; i + 1 < notes.length; i++) {
    const note = itemAt(notes, i);
    const next = itemAt(notes, i + 1);
    note.note.syllables.forEach((syllable, stanza) => {
      if (syllable) begun[stanza] = syllable;
      else if (!present[stanza]?.[i]) begun[stanza] = undefined;
    });
    const heard = begun.map((last, stanza) => (present[stanza]?.[i + 1] ? last : undefined));
    const from = bars.at(note.startTick);
    const to = bars.at(next.startTick);
    const nextPlace = placeInBar(to, next.startTick);
    const reasons = [
      ...soundReasons(input, i, from),
      {
        rule: 'like the start',
        weight: nextPlace.offset === start?.offset ? input.weights.likeStart : 0,
        detail: 'the next note stands where in the bar the voice began',
      },
      ...passReasons(input, note, next, from, to),
      ...(input.ignoreWords ? [] : wordReasons(input, heard, next)),
    ].filter((reason) => reason.weight !== 0);
    found.push({
      reasons,
      points: reasons.reduce((sum, reason) => sum + reason.weight, 0),
      nextPlace,
    });
  }
  return found;
}

function placeInBar({ bar, number, startTick }: PlacedBar, tick: Ticks): BarPlace {
  const missing = bar.pickup ? Math.max(0, barTicks(bar.meter) - bar.ticks) : 0;
  return { bar: number, offset: tick - startTick + missing };
}

function soundReasons({ notes, weights }: EvidenceInput, i: number, bar: PlacedBar): Reason[] {
  const note = itemAt(notes, i);
  const next = itemAt(notes, i + 1);
  const beat = beatTicks(bar.bar.meter);
  const rest = (next.startTick - note.endTick) / beat;
  const held = Math.log2((note.endTick - note.startTick) / usualTicks(notes, i));
  return [
    {
      rule: 'rest',
      weight: weights.rest * Math.min(rest, weights.restBeats),
      detail: `a rest of ${plainNumber(rest)} ${rest === 1 ? 'beat' : 'beats'}`,
    },
    { rule: 'breath mark', weight: note.note.breath ? weights.breath : 0, detail: 'a breath is written' },
    { rule: 'fermata', weight: note.note.fermata ? weights.fermata : 0, detail: 'a fermata' },
    {
      rule: held >= 0 ? 'held' : 'not held',
      weight: weights.held * Math.max(-weights.heldMost, Math.min(held, weights.heldMost)),
      detail: held >= 0 ? 'held longer than the notes around it' : 'shorter than the notes around it',
    },
  ];
}

/** The mean length of a note's neighbours: three before it and one after. */
export function usualTicks(notes: readonly PlacedNote[], i: number): Ticks {
  let sum = 0;
  let count = 0;
  for (const j of [i - 3, i - 2, i - 1, i + 1]) {
    const note = notes[j];
    if (!note) continue;
    sum += note.endTick - note.startTick;
    count += 1;
  }
  const own = itemAt(notes, i);
  return count === 0 ? own.endTick - own.startTick : sum / count;
}

function passReasons(
  { weights, together }: EvidenceInput,
  note: PlacedNote,
  next: PlacedNote,
  from: PlacedBar,
  to: PlacedBar,
): Reason[] {
  const sectionEnds = from.sectionId !== to.sectionId || from.passId !== to.passId;
  const leadEnds = (tick: Ticks) => (together ? countUpTo(together, tick, (end) => end) : 0);
  const withLead = leadEnds(note.startTick) < leadEnds(next.startTick);
  return [
    { rule: 'section', weight: sectionEnds ? weights.section : 0, detail: 'the section ends' },
    {
      rule: 'together',
      weight: withLead ? weights.together : 0,
      detail: 'ends with the leading voice',
    },
  ];
}

function wordReasons({ weights, small }: EvidenceInput, begun: Begun, next: PlacedNote): Reason[] {
  const signs = readSigns(begun, next.note, small, weights.nameShare);
  if (signs.stanzas === 0) return [];
  const share = (count: number) => count / signs.stanzas;
  const of = (count: number) =>
    signs.stanzas === 1 ? '' : ` in ${plainNumber(count)} of ${signs.stanzas} stanzas`;
  return [
    {
      rule: 'stop',
      weight: weights.stop * share(signs.stop),
      detail: `a full stop or the like${of(signs.stop)}`,
    },
    { rule: 'comma', weight: weights.comma * share(signs.comma), detail: `a comma${of(signs.comma)}` },
    {
      rule: 'capital',
      weight: weights.capital * share(signs.capital),
      detail: `the next word has a capital${of(signs.capital)}`,
    },
    {
      rule: 'line end',
      weight: weights.lineEnd * share(signs.lineEnd),
      detail: `the written line ends${of(signs.lineEnd)}`,
    },
    {
      rule: 'inside a word',
      weight: weights.insideWord * share(signs.inside),
      detail: `the word goes on${of(signs.inside)}`,
    },
    {
      rule: 'held syllable',
      weight: weights.heldSyllable * share(signs.held),
      detail: `the syllable is held over the next note${of(signs.held)}`,
    },
  ];
}

function plainNumber(value: number): string {
  return String(Math.round(value * 100) / 100);
}

/** Finds bars for ticks that only grow, in one walk. */
class BarWalk {
  readonly #bars: readonly PlacedBar[];
  #index = 0;

  constructor(bars: readonly PlacedBar[]) {
    this.#bars = bars;
  }

  at(tick: Ticks): PlacedBar {
    while (this.#index > 0 && itemAt(this.#bars, this.#index).startTick > tick) this.#index -= 1;
    while (this.#index + 1 < this.#bars.length && itemAt(this.#bars, this.#index).endTick <= tick) {
      this.#index += 1;
    }
    return itemAt(this.#bars, this.#index);
  }
}

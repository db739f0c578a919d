import { itemAt } from '../base';
import type { PlacedNote, Song, SungNote } from '../song';
import { type Ledger, plainNumber, type Rule } from './ledger';
import { rhymeShares } from './rhyme';
import type { VoiceLine } from './voice-line';
import type { Weights } from './weights';

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
 * the other stanzas then neither speak for a phrase's end there nor hold a syllable over it. Nor do they where the note
 * is not sung in them.
 */
function stanzasPresent(notes: readonly PlacedNote[], stanzas: number): readonly Uint8Array[] {
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
    notes.forEach(({ note }, i) => {
      if (note.stanzas.length > 0 && !note.stanzas.includes(stanza + 1)) present[i] = 0;
    });
    return present;
  });
}

interface WordSigns {
  /** Stanzas that have words here, and in how many of them each sign stands. */
  stanzas: number;
  stop: number;
  comma: number;
  capital: number;
  lineEnd: number;
  /** Where a line goes on, and no full stop stands. */
  insideLine: number;
  inside: number;
  held: number;
  /** Stanzas with any sign that a line ends. */
  any: number;
}

type MaybeSyllable = SungNote['syllables'][number] | undefined;

function readSigns(
  begun: readonly MaybeSyllable[],
  next: SungNote,
  small: ReadonlySet<string>,
  nameShare: number,
): WordSigns {
  const signs = {
    stanzas: 0,
    stop: 0,
    comma: 0,
    capital: 0,
    lineEnd: 0,
    insideLine: 0,
    inside: 0,
    held: 0,
    any: 0,
  };
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
    const stop = /[.;:!?…。！？；：]/u.test(after);
    const comma = !stop && /[,–—\-،、，]/u.test(after);
    const capital = capitalShare(lettersOf(first.text), small, nameShare);
    if (stop) signs.stop += 1;
    if (comma) signs.comma += 1;
    if (last.endsLine) signs.lineEnd += 1;
    else if (!stop) signs.insideLine += 1;
    signs.capital += capital;
    if (stop || comma || last.endsLine || capital > 0) signs.any += 1;
  }
  return signs;
}

function capitalShare(word: string, small: ReadonlySet<string>, nameShare: number): number {
  if (!/^\p{Lu}/u.test(word) || ALWAYS_CAPITAL.test(word)) return 0;
  return small.has(word.toLowerCase()) ? 1 : nameShare;
}

/**
 * Enters what the words show between two notes, as the share of the stanzas that show it. Where no tune is written each stanza has a rhythm of its own, and only the
 * one that is sung is asked. O(notes × stanzas).
 *
 * @param sung the stanza that is sung in a pass, from 1
 */
export function weighWords(
  line: VoiceLine,
  ledger: Ledger,
  weights: Weights,
  small: ReadonlySet<string>,
  sung: (passId: string | null) => number,
): void {
  const { notes } = line;
  const stanzas = notes.reduce((most, note) => Math.max(most, note.note.syllables.length), 0);
  const present = stanzasPresent(notes, stanzas);
  // A sheet of words: somebody wrote lines, and no tune.
  const isSheet =
    notes.every(({ note }) => note.midi === null) &&
    notes.some(({ note }) => note.syllables.some((word) => word?.endsLine));
  if (isSheet)
    for (const [stanza, here] of present.entries())
      for (const [i, { passId }] of notes.entries()) if (sung(passId) !== stanza + 1) here[i] = 0;
  const heard = new Uint8Array(line.count);
  const rule = (name: string, row: keyof Weights, detail: string): Rule => ({
    name,
    row,
    says: (amount, i) => {
      const of = itemAt(heard, i);
      return of === 1 ? detail : `${detail} in ${plainNumber(amount * of)} of ${of} stanzas`;
    },
  });
  const add = {
    stop: ledger.open(rule('stop', 'stop', 'a full stop or the like')),
    comma: ledger.open(rule('comma', 'comma', 'a comma')),
    capital: ledger.open(rule('capital', 'capital', 'the next word has a capital')),
    lineEnd: ledger.open(rule('line end', 'lineEnd', 'the written line ends')),
    sheetLineEnd: ledger.open(
      rule('line of the sheet', 'sheetLineEnd', 'no tune is written, and the line of words ends'),
    ),
    insideLine: ledger.open(rule('inside a line', 'insideLine', 'the line of words goes on')),
    inside: ledger.open(rule('inside a word', 'insideWord', 'the word goes on')),
    held: ledger.open(rule('held syllable', 'heldSyllable', 'the syllable is held over the next note')),
    agree: ledger.open({
      name: 'stanzas agree',
      row: 'stanzasAgree',
      says: (_, i) => `all ${itemAt(heard, i)} stanzas show a line's end here`,
    }),
    rhyme: ledger.open(rule('rhyme', 'rhyme', 'the word rhymes with the end of another line')),
  };
  const rhymes = rhymeShares(notes, present, weights.rhymeNotes);
  const begun: MaybeSyllable[] = Array.from({ length: stanzas });
  const here: MaybeSyllable[] = Array.from({ length: stanzas });
  for (let i = 0; i + 1 < line.count; i++) {
    const { note } = itemAt(notes, i);
    for (let stanza = 0; stanza < stanzas; stanza++) {
      const syllable = note.syllables[stanza];
      if (syllable) begun[stanza] = syllable;
      else if (!present[stanza]?.[i]) begun[stanza] = undefined;
      here[stanza] = present[stanza]?.[i + 1] ? begun[stanza] : undefined;
    }
    const signs = readSigns(here, itemAt(notes, i + 1).note, small, weights.nameShare);
    if (signs.stanzas === 0) continue;
    heard[i] = signs.stanzas;
    const enter = (to: (i: number, amount: number) => void, count: number) => {
      if (count > 0) to(i, count / signs.stanzas);
    };
    enter(add.stop, signs.stop);
    enter(add.comma, signs.comma);
    enter(add.capital, signs.capital);
    enter(add.lineEnd, signs.lineEnd);
    if (isSheet) {
      enter(add.sheetLineEnd, signs.lineEnd);
      enter(add.insideLine, signs.insideLine);
    }
    enter(add.inside, signs.inside);
    enter(add.held, signs.held);
    if (signs.stanzas > 1 && signs.any === signs.stanzas) add.agree(i, 1);
    const rhyme = itemAt(rhymes, i);
    if (rhyme > 0) add.rhyme(i, Math.min(1, rhyme / signs.stanzas));
  }
}

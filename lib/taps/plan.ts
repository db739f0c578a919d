import { itemAt, lastOf, type MakeId } from '../base';
import {
  type ChordMark,
  type Pass,
  type PlacedNote,
  roadmapTimeline,
  type Song,
  type SungNote,
  type Syllable,
} from '../song';
import type { Ticks } from '../time';
import type { LaidLine } from './lay';
import type { SheetSyllable, TapSheet } from './sheet';

/** A chord that comes to stand elsewhere. */
export type ChordMove = Omit<ChordMark, 'symbol'>;

/** Sung notes as they are to be: new or changed ones whole, with all their words, and those that nobody sings any more. */
export interface SungChange {
  readonly put: readonly SungNote[];
  readonly remove: readonly string[];
  /** Chords that go along. */
  readonly chords?: readonly ChordMove[];
}

/** A stanza of a pass with its lines as they were laid. */
export interface LaidStanza {
  readonly sheet: TapSheet;
  readonly lines: readonly LaidLine[];
}

/** Where one stanza begins to sing. */
interface Onset {
  readonly stanza: number;
  readonly tick: Ticks;
  readonly end: Ticks;
  readonly word: Syllable | null;
  /** The note that had this word so far; null: none. */
  readonly carrier: SungNote | null;
}

/** Stanzas that sing one note. */
interface Shared {
  readonly tick: Ticks;
  readonly end: Ticks;
  readonly onsets: readonly Onset[];
}

/**
 * The least change of a song's notes by which the laid stanzas are sung as they were laid and all other stanzas as before. Stanzas that begin at the same place
 * share a note; one that holds on through another's note keeps to it without a word; where a stanza is silent, the note is the others' alone
 * (`SungNote.stanzas`). A word keeps its note where it can, moved, so that what hangs on the note stays with the word. What would lie outside the pass
 * is left as it was, by whole lines.
 */
export function planSung(song: Song, laid: readonly LaidStanza[], makeId: MakeId): SungChange {
  const first = laid[0];
  if (!first) return { put: [], remove: [] };
  const { sheet } = first;
  const byId = new Map(song.notes.map((note) => [note.id, note]));
  const stanzas = stanzasIn(song, sheet);
  const before = new Map(stanzas.map((stanza) => [stanza, sungNow(song, sheet, stanza)]));
  const now = stanzas.map((stanza) => {
    const own = laid.find((one) => one.sheet.stanza === stanza);
    const notes = before.get(stanza) ?? [];
    return own ? laidOnsets(own, notes, byId, sheet.endTick) : notes.map((note) => onsetOf(note, stanza));
  });
  const shared = share(joinHeld(now, new Set(laid.map((one) => one.sheet.stanza))));
  const known = new Set([...before.values()].flatMap((notes) => notes.map(({ note }) => note.id)));
  const notes = noted(shared, sheet, stanzas, makeId);
  const kept = new Set(notes.map(({ id }) => id));
  return {
    put: notes.filter((note) => !isSame(byId.get(note.id), note)),
    remove: [...known].filter((id) => !kept.has(id)),
  };
}

/** Indexes of the lines that begin before the pass's first bar or after its last. */
export const outsideOf = ({ endTick }: TapSheet, lines: readonly LaidLine[]): readonly number[] =>
  lines.flatMap(({ syllables }, n) => (syllables.some(({ tick }) => tick < 0 || tick >= endTick) ? [n] : []));

/** The syllables by line as a plan takes them: of a line that reaches outside, where the song has them so far. */
export const takenLines = (
  sheet: TapSheet,
  lines: readonly LaidLine[],
): readonly (readonly SheetSyllable[])[] => {
  const outside = new Set(outsideOf(sheet, lines));
  return lines.map(({ syllables }, n) => (outside.has(n) ? itemAt(sheet.lines, n).syllables : syllables));
};

/** A tick of the pass as a place in one of its bars. */
export function placeIn({ bars }: TapSheet, tick: Ticks): { readonly barId: string; readonly offset: Ticks } {
  const bar = bars.findLast(({ startTick }) => startTick <= tick) ?? itemAt(bars, 0);
  return { barId: bar.id, offset: tick - bar.startTick };
}

/** The song after a change. */
export function withSung(song: Song, { put, remove, chords = [] }: SungChange): Song {
  const gone = new Set([...remove, ...put.map(({ id }) => id)]);
  const moves = new Map(chords.map((move) => [move.id, move]));
  return {
    ...song,
    notes: [...song.notes.filter(({ id }) => !gone.has(id)), ...put],
    chords: song.chords.map((chord) => ({ ...chord, ...moves.get(chord.id) })),
  };
}

/** Every stanza that the section's words or passes have. */
function stanzasIn(song: Song, sheet: TapSheet): readonly number[] {
  const bars = new Set(sheet.bars.map(({ id }) => id));
  let most = sheet.stanza;
  for (const note of song.notes)
    if (bars.has(note.barId) && note.voiceId === sheet.voiceId)
      most = Math.max(most, note.syllables.findLastIndex((word) => word !== null) + 1, ...note.stanzas);
  for (const pass of song.passes)
    if (pass.sectionId === sheet.pass.sectionId) most = Math.max(most, pass.stanza ?? 1);
  return Array.from({ length: most }, (_, i) => i + 1);
}

function sungNow(song: Song, sheet: TapSheet, stanza: number): readonly PlacedNote[] {
  const pass: Pass = { ...sheet.pass, stanza };
  return roadmapTimeline({ ...song, passes: [pass] }).notes.get(sheet.voiceId) ?? [];
}

const onsetOf = (placed: PlacedNote, stanza: number): Onset => ({
  stanza,
  tick: placed.startTick,
  end: placed.endTick,
  word: placed.syllable,
  carrier: placed.note,
});

/** The onsets of a laid stanza; the notes of a melody that go on from a word stay in it, at their share of its length. */
function laidOnsets(
  { sheet, lines }: LaidStanza,
  before: readonly PlacedNote[],
  byId: ReadonlyMap<string, SungNote>,
  endTick: Ticks,
): readonly Onset[] {
  const onsets: Onset[] = [];
  for (const syllables of takenLines(sheet, lines)) {
    for (const { text, joins, endsLine, noteId, tick, ticks } of syllables) {
      const end = Math.min(tick + ticks, endTick);
      const carrier = byId.get(noteId) ?? null;
      const whole: Onset = { stanza: sheet.stanza, tick, end, word: { text, joins, endsLine }, carrier };
      onsets.push(...melisma(whole, before));
    }
  }
  onsets.sort((a, b) => a.tick - b.tick);
  return onsets.map((onset, i) => ({ ...onset, end: Math.min(onset.end, onsets[i + 1]?.tick ?? onset.end) }));
}

function melisma(whole: Onset, before: readonly PlacedNote[]): readonly Onset[] {
  const at = before.findIndex(({ note }) => note.id === whole.carrier?.id);
  const next = before.findIndex(({ syllable }, i) => i > at && syllable !== null);
  const tail = before.slice(at + 1, next < 0 ? undefined : next).filter(({ note }) => note.midi !== null);
  const first = before[at];
  if (!first || tail.length === 0 || whole.end - whole.tick <= tail.length) return [whole];
  const scale = (whole.end - whole.tick) / (lastOf(tail).endTick - first.startTick);
  const ticks = [first, ...tail].map(({ startTick }, i) =>
    Math.max(whole.tick + i, whole.tick + Math.round(((startTick - first.startTick) * scale) / 240) * 240),
  );
  const rises = ticks.every((tick, i) => i === 0 || tick > itemAt(ticks, i - 1)) && lastOf(ticks) < whole.end;
  const starts = rises
    ? ticks
    : ticks.map((_, i) => whole.tick + Math.floor(((whole.end - whole.tick) * i) / ticks.length));
  return starts.map((tick, i) => ({
    stanza: whole.stanza,
    tick,
    end: starts[i + 1] ?? whole.end,
    word: i === 0 ? whole.word : null,
    carrier: i === 0 ? whole.carrier : itemAt(tail, i - 1).note,
  }));
}

/** Stanzas that hold on where another has a note go on to it without a word; a note that all only hold on through is gone. */
function joinHeld(
  stanzas: readonly (readonly Onset[])[],
  laid: ReadonlySet<number>,
): readonly (readonly Onset[])[] {
  const said = new Set(
    stanzas.flatMap((onsets) =>
      onsets.flatMap(({ tick, word, carrier }, i) => {
        const before = onsets[i - 1];
        const holdsOn = word === null && carrier?.midi === null && before?.end === tick;
        return holdsOn ? [] : [tick];
      }),
    ),
  );
  return stanzas.map((onsets) => {
    const own: Onset[] = [];
    for (const onset of onsets) {
      const last = own[own.length - 1];
      if (!said.has(onset.tick) && last) own[own.length - 1] = { ...last, end: onset.end };
      else own.push(onset);
    }
    return own.flatMap((onset) => (laid.has(onset.stanza) ? cutHeld(onset, said) : [onset]));
  });
}

function cutHeld(onset: Onset, said: ReadonlySet<Ticks>): readonly Onset[] {
  const inside = [...said].filter((tick) => tick > onset.tick && tick < onset.end).sort((a, b) => a - b);
  const starts = [onset.tick, ...inside];
  return starts.map((tick, i) => ({
    ...onset,
    tick,
    end: starts[i + 1] ?? onset.end,
    word: i === 0 ? onset.word : null,
    carrier: i === 0 ? onset.carrier : null,
  }));
}

/** Onsets at one place as notes: one for all whose end is the note's or their own next onset, and one more for each other end. */
function share(stanzas: readonly (readonly Onset[])[]): readonly Shared[] {
  const nextOf = new Map<Onset, Ticks>();
  const byTick = new Map<Ticks, Onset[]>();
  for (const onsets of stanzas) {
    onsets.forEach((onset, i) => {
      nextOf.set(onset, onsets[i + 1]?.tick ?? Infinity);
      const there = byTick.get(onset.tick);
      if (there) there.push(onset);
      else byTick.set(onset.tick, [onset]);
    });
  }
  const shared: Shared[] = [];
  for (const [tick, onsets] of [...byTick].sort((a, b) => a[0] - b[0])) {
    let left: readonly Onset[] = onsets;
    while (left.length > 0) {
      const end = Math.max(...left.map((onset) => onset.end));
      const fits = (onset: Onset) => Math.min(end, nextOf.get(onset) ?? Infinity) === onset.end;
      shared.push({ tick, end, onsets: left.filter(fits) });
      left = left.filter((onset) => !fits(onset));
    }
  }
  return shared;
}

/** The notes themselves: ids are those of notes that stood there, then of notes that had the word, then new. */
function noted(
  shared: readonly Shared[],
  sheet: TapSheet,
  stanzas: readonly number[],
  makeId: MakeId,
): readonly SungNote[] {
  const placeOf = (tick: Ticks) => placeIn(sheet, tick);
  const taken = new Map<Shared, SungNote>();
  const used = new Set<string>();
  const take = (one: Shared, isFit: (carrier: SungNote) => boolean) => {
    if (taken.has(one)) return;
    const carriers = one.onsets.flatMap(({ carrier }) => carrier ?? []);
    const carrier = carriers.find((each) => !used.has(each.id) && isFit(each));
    if (!carrier) return;
    taken.set(one, carrier);
    used.add(carrier.id);
  };
  for (const one of shared) {
    const place = placeOf(one.tick);
    take(one, ({ barId, offset }) => barId === place.barId && offset === place.offset);
  }
  for (const one of shared) take(one, () => true);
  return shared.map((one): SungNote => {
    const model = taken.get(one) ?? one.onsets.find(({ carrier }) => carrier)?.carrier ?? null;
    const sung = new Set(one.onsets.map(({ stanza }) => stanza));
    const words: (Syllable | null)[] = [];
    for (const { stanza, word } of one.onsets) {
      while (words.length < stanza) words.push(null);
      words[stanza - 1] = word;
    }
    return {
      id: taken.get(one)?.id ?? makeId(),
      voiceId: sheet.voiceId,
      ...placeOf(one.tick),
      ticks: one.end - one.tick,
      midi: model?.midi ?? null,
      syllables: words.slice(0, words.findLastIndex((word) => word !== null) + 1),
      breath: model?.breath ?? false,
      fermata: model?.fermata ?? false,
      stanzas: stanzas.every((stanza) => sung.has(stanza)) ? [] : [...sung].sort((a, b) => a - b),
    };
  });
}

function isSame(before: SungNote | undefined, after: SungNote): boolean {
  if (!before) return false;
  const alike =
    before.barId === after.barId &&
    before.offset === after.offset &&
    before.ticks === after.ticks &&
    before.stanzas.join() === after.stanzas.join();
  const most = Math.max(before.syllables.length, after.syllables.length);
  const sameWords = Array.from({ length: most }, (_, i) => {
    const a = before.syllables[i] ?? null;
    const b = after.syllables[i] ?? null;
    return a === b || (a?.text === b?.text && a?.joins === b?.joins && a?.endsLine === b?.endsLine);
  });
  return alike && sameWords.every((same) => same);
}

import { itemAt, lastOf } from '../base';
import type { Key } from '../theory';
import { type TempoChange, TempoMap, type Ticks } from '../time';
import {
  type Bar,
  DEFAULT_TEMPO,
  type Pass,
  type Section,
  type Song,
  type SungNote,
  type Syllable,
} from './song';

/** A bar where it is played. */
export interface PlacedBar {
  readonly bar: Bar;
  readonly sectionId: string;
  /** Null in the song as written. */
  readonly passId: string | null;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  /** Counted from 1 over the whole timeline. A pickup is not counted: it has the number of the bar before it, 0 at the start. */
  readonly number: number;
}

/** A sung note where it sounds. */
export interface PlacedNote {
  readonly note: SungNote;
  readonly passId: string | null;
  readonly voiceId: string;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly syllable: Syllable | null;
  /** Who sings it; null: not said. */
  readonly singer: string | null;
  /** Counts the sounding notes of its voice on this timeline, from 0. */
  readonly index: number;
}

/** A chord for as long as it holds. */
export interface PlacedChord {
  readonly symbol: string;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
}

/** A pass (or, as written, a section) as a stretch of the timeline. */
export interface PlacedPass {
  readonly pass: Pass | null;
  readonly section: Section;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
}

/** A song laid along time, bar after bar, either as written or as its roadmap runs. */
export class Timeline {
  readonly song: Song;
  readonly passes: readonly PlacedPass[];
  readonly bars: readonly PlacedBar[];
  /** By voice id, in time order; the notes of a voice do not overlap. */
  readonly notes: ReadonlyMap<string, readonly PlacedNote[]>;
  readonly chords: readonly PlacedChord[];
  readonly endTick: Ticks;
  readonly tempo: TempoMap;

  constructor(song: Song, parts: Omit<Timeline, 'song' | 'barAt' | 'chordAt' | 'chordsIn'>) {
    this.song = song;
    this.passes = parts.passes;
    this.bars = parts.bars;
    this.notes = parts.notes;
    this.chords = parts.chords;
    this.endTick = parts.endTick;
    this.tempo = parts.tempo;
  }

  /** The bar that a tick lies in (the last one for the end and beyond); throws where there are no bars. */
  barAt(tick: Ticks): PlacedBar {
    return itemAt(this.bars, Math.max(0, firstAfter(this.bars, tick) - 1));
  }

  /** The chord that holds at a tick; null before the first. */
  chordAt(tick: Ticks): PlacedChord | null {
    const chord = this.chords[firstAfter(this.chords, tick) - 1];
    return chord && chord.endTick > tick ? chord : null;
  }

  /** The chords that hold anywhere in a stretch, in order. */
  chordsIn(from: Ticks, to: Ticks): readonly PlacedChord[] {
    const first = Math.max(0, firstAfter(this.chords, from) - 1);
    const found: PlacedChord[] = [];
    for (let i = first; i < this.chords.length; i++) {
      const chord = itemAt(this.chords, i);
      if (chord.startTick >= to) break;
      if (chord.endTick > from) found.push(chord);
    }
    return found;
  }
}

/** The key that holds at a tick: of the last bar up to there that changes it, else the song's. O(bars). */
export function keyAt(timeline: Timeline, tick: Ticks): Key {
  const bars = timeline.bars.slice(0, Math.max(1, firstAfter(timeline.bars, tick)));
  return bars.findLast(({ bar }) => bar.key !== null)?.bar.key ?? timeline.song.key;
}

/** How many of the items start at or before a tick. O(log n). */
function firstAfter(items: readonly { readonly startTick: Ticks }[], tick: Ticks): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (itemAt(items, middle).startTick <= tick) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The voices that sound in a pass: none where nobody sings; a harmony voice only where its singer sings. */
export function soundingVoices(song: Song, pass: Pass): readonly string[] {
  if (pass.stanza === null) return [];
  return song.voices
    .filter((voice) => {
      const role = voice.playerId === null ? undefined : pass.roles[voice.playerId];
      return voice.part === 'lead' || role === undefined || role === 'lead' || role === 'harmony';
    })
    .map((voice) => voice.id);
}

/** A voice's singer as a pass runs; null: nobody sings it. */
type Singer = { readonly playerId: string | null } | null;

/** By note: who sings its voice from there on in a pass. Under an empty id, by voice: who begins. */
interface Singers {
  readonly first: ReadonlyMap<string, Singer>;
  readonly from: ReadonlyMap<string, Singer>;
}

interface Run {
  readonly pass: Pass | null;
  readonly section: Section;
  readonly bars: readonly Bar[];
  readonly stanza: number;
  readonly singers: Singers;
}

/** The song as written: every section once, every ending, one stanza. */
export function writtenTimeline(song: Song, stanza = 1): Timeline {
  const first = new Map(song.voices.map(({ id, playerId }) => [id, { playerId }]));
  const singers = { first, from: new Map<string, Singer>() };
  return layOut(
    song,
    song.sections.map((section) => ({ pass: null, section, bars: section.bars, stanza, singers })),
  );
}

/** The song as the band plays it, pass after pass, each with its own ending, words and voices. */
export function roadmapTimeline(song: Song): Timeline {
  const sections = new Map(song.sections.map((section) => [section.id, section]));
  const runs: Run[] = [];
  for (const pass of song.passes) {
    const section = sections.get(pass.sectionId);
    if (!section) continue;
    const bars = section.bars.filter((bar) => bar.endings.length === 0 || bar.endings.includes(pass.ending));
    runs.push({ pass, section, bars, stanza: pass.stanza ?? 1, singers: singersIn(song, pass) });
  }
  return layOut(song, runs);
}

/** What is said about who sings a voice goes before the roles of a pass; where nobody sings, nobody is heard. */
function singersIn(song: Song, pass: Pass): Singers {
  const first = new Map<string, Singer>(song.voices.map(({ id }) => [id, null]));
  const from = new Map<string, Singer>();
  if (pass.stanza === null) return { first, from };
  const sounding = new Set(soundingVoices(song, pass));
  for (const { id, playerId } of song.voices) if (sounding.has(id)) first.set(id, { playerId });
  for (const { passId, voiceId, noteId, playerId } of song.singing) {
    if (passId !== pass.id) continue;
    const singer = playerId === null ? null : { playerId };
    if (noteId === null) first.set(voiceId, singer);
    else from.set(noteId, singer);
  }
  return { first, from };
}

function layOut(song: Song, runs: readonly Run[]): Timeline {
  const notesByBar = groupByBar(song.notes);
  const chordsByBar = groupByBar(song.chords);
  const passes: PlacedPass[] = [];
  const bars: PlacedBar[] = [];
  const notes = new Map<string, PlacedNote[]>(song.voices.map((voice) => [voice.id, []]));
  const marks: { symbol: string; startTick: Ticks }[] = [];
  const tempos: TempoChange[] = [{ tick: 0, quartersPerMinute: song.tempo ?? DEFAULT_TEMPO }];
  let tick = 0;
  let number = 0;

  for (const run of runs) {
    const passId = run.pass?.id ?? null;
    const start = tick;
    const singers = new Map(run.singers.first);
    for (const bar of run.bars) {
      if (!bar.pickup) number += 1;
      bars.push({
        bar,
        sectionId: run.section.id,
        passId,
        startTick: tick,
        endTick: tick + bar.ticks,
        number,
      });
      if (bar.tempo !== null) tempos.push({ tick, quartersPerMinute: bar.tempo });
      for (const mark of chordsByBar.get(bar.id) ?? []) {
        marks.push({ symbol: mark.symbol, startTick: tick + mark.offset });
      }
      for (const note of notesByBar.get(bar.id) ?? []) {
        if (note.stanzas.length > 0 && !note.stanzas.includes(run.stanza)) continue;
        const change = run.singers.from.get(note.id);
        if (change !== undefined) singers.set(note.voiceId, change);
        const singer = singers.get(note.voiceId);
        if (!singer) continue;
        place(notes.get(note.voiceId), note, passId, tick + note.offset, run.stanza, singer.playerId);
      }
      tick += bar.ticks;
    }
    for (const placed of notes.values()) clipLast(placed, tick);
    passes.push({ pass: run.pass, section: run.section, startTick: start, endTick: tick });
  }

  const endTick = tick;
  const chords = marks.map((mark, i) => ({ ...mark, endTick: marks[i + 1]?.startTick ?? endTick }));
  return new Timeline(song, { passes, bars, notes, chords, endTick, tempo: new TempoMap(tempos) });
}

function groupByBar<T extends { readonly barId: string; readonly offset: Ticks }>(
  items: readonly T[],
): Map<string, T[]> {
  const groups = new Map<string, T[]>();
  for (const item of items) {
    const group = groups.get(item.barId);
    if (group) group.push(item);
    else groups.set(item.barId, [item]);
  }
  for (const group of groups.values()) group.sort((a, b) => a.offset - b.offset);
  return groups;
}

/** Adds a note to its voice; a note still sounding ends where the new one begins, the higher of two at once is kept. */
function place(
  voice: PlacedNote[] | undefined,
  note: SungNote,
  passId: string | null,
  startTick: Ticks,
  stanza: number,
  singer: string | null,
): void {
  if (!voice) return;
  const before = voice.length > 0 ? lastOf(voice) : null;
  if (before && before.startTick === startTick && before.passId === passId) {
    if ((before.note.midi ?? -1) >= (note.midi ?? -1)) return;
    voice.pop();
  } else if (before && before.endTick > startTick) {
    voice[voice.length - 1] = { ...before, endTick: startTick };
  }
  voice.push({
    note,
    passId,
    voiceId: note.voiceId,
    startTick,
    endTick: startTick + note.ticks,
    syllable: note.syllables[stanza - 1] ?? null,
    singer,
    index: voice.length,
  });
}

/** A note does not sound past the end of its pass: the next pass begins with its own. */
function clipLast(voice: PlacedNote[], endTick: Ticks): void {
  const last = voice[voice.length - 1];
  if (last && last.endTick > endTick) voice[voice.length - 1] = { ...last, endTick };
}

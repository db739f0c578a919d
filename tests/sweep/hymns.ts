import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { itemAt, makeIds, must, type Random, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import {
  type Bar,
  type ChordMark,
  type PlacedNote,
  type Song,
  type SungNote,
  writtenTimeline,
} from '../../lib/song';
import { barTicks, beatsPerBar, beatTicks } from '../../lib/time';
import { chordOf } from './chords';

/*
 * Breathing variants of hymn tunes: the melody alone, a silence of whole bars put in after each line of words, chords told from the
 * four voices. Source: tunes and metrical patterns (syllables to each line) of the Open Hymnal Project, in a folder beside the project.
 */
const FOLDER = join(import.meta.dirname, '../../../shared/data/hymns');

/** The hymns' files; none where the folder is not beside the project. */
export const HYMN_FILES: readonly string[] = existsSync(FOLDER)
  ? readdirSync(FOLDER)
      .filter((name) => name.endsWith('.abc'))
      .sort()
  : [];

interface Hymn {
  readonly song: Song;
  readonly melody: readonly PlacedNote[];
  /** Where each line of words but the last ends. */
  readonly cuts: readonly number[];
  readonly chords: readonly { readonly tick: number; readonly symbol: string }[];
}

const read = new Map<string, Hymn>();

async function hymnOf(file: string): Promise<Hymn> {
  const known = read.get(file);
  if (known) return known;
  const [pattern = '', ...rest] = readFileSync(join(FOLDER, file), 'utf8').split('\n');
  const answer = await readSongFile(file, rest.join('\n'), { makeId: makeIds(randomFrom(7)) });
  if (!answer.ok) throw new Error(`${file}: ${answer.error.what}`);
  const { song } = answer.value;
  const timeline = writtenTimeline(song);
  const melody = must(timeline.notes.get(itemAt(song.voices, 0).id), 'the melody');
  const begins = melody.flatMap((note, i) => (note.note.syllables[0] ? [i] : []));
  let sung = 0;
  const ends = (pattern.split(':')[1] ?? '')
    .trim()
    .split(/\s+/)
    .map((line) => {
      sung += Number(line);
      return (begins[sung] ?? melody.length) - 1;
    });
  const cuts = ends
    .filter((end) => end >= 0 && end < melody.length - 1)
    .map((end) => itemAt(melody, end).endTick);
  const voices = [...timeline.notes.values()].flat();
  const chords: { tick: number; symbol: string }[] = [];
  for (const { bar, startTick, endTick } of timeline.bars) {
    const beats = beatsPerBar(bar.meter);
    const step = beatTicks(bar.meter) * (beats % 2 === 0 ? 2 : beats);
    for (let tick = startTick; tick < endTick; tick += step) {
      const until = Math.min(endTick, tick + step);
      const symbol = chordOf(
        voices.flatMap(({ note, startTick: from, endTick: to }) => {
          const ticks = Math.min(to, until) - Math.max(from, tick);
          return note.midi === null || ticks <= 0 ? [] : [{ midi: note.midi, ticks }];
        }),
      );
      if (symbol !== null && symbol !== chords.at(-1)?.symbol) chords.push({ tick, symbol });
    }
  }
  const hymn = { song, melody, cuts, chords };
  read.set(file, hymn);
  return hymn;
}

export interface Breathing {
  readonly song: Song;
  /** The silences that were put in, in ticks of the song as written. */
  readonly silences: readonly (readonly [number, number])[];
}

/** A breathing variant by its seed: one or two bars of silence, the chord changing at its end or inside it, any tempo. */
export async function breathingHymn(file: string, seed: number): Promise<Breathing> {
  const hymn = await hymnOf(file);
  const random = randomFrom(seed);
  const bars: Bar[] = [];
  const shifts: { readonly cut: number; readonly by: number; readonly change: number }[] = [];
  let added = 0;
  const cuts = [...hymn.cuts];
  let tick = 0;
  const push = (bar: Bar, ticks: number, pickup: boolean) => {
    bars.push({ ...bar, id: `b${bars.length}`, ticks, pickup, endings: [], tempo: null });
    tick += ticks;
  };
  for (const { bar, startTick, endTick } of writtenTimeline(hymn.song).bars) {
    while (cuts[0] !== undefined && cuts[0] < endTick && cuts[0] >= startTick) {
      const cut = itemAt(cuts, 0);
      const full = barTicks(bar.meter);
      const count = beatsPerBar(bar.meter) >= 4 && random() < 0.6 ? 1 : 2;
      added += count * full;
      const change = changeOf(random, cut + added - count * full, cut + added, tick + count * full);
      shifts.push({ cut, by: count * full, change });
      for (let i = 0; i < count; i++) push(bar, full, false);
      cuts.shift();
    }
    push(bar, endTick - startTick, bar.pickup && startTick === 0);
  }
  const last = must(bars.at(-1), 'a bar');
  for (let i = 0; i < 2; i++) push(last, barTicks(last.meter), false);
  return laid(hymn, bars, shifts, 60 + Math.floor(random() * 150));
}

/** Where inside a silence the next line's chord begins: where the line does, or on the barline before. */
function changeOf(random: Random, from: number, to: number, barline: number): number {
  return random() < 0.5 && barline > from && barline < to ? barline : to;
}

function laid(
  { song, melody, chords }: Hymn,
  bars: readonly Bar[],
  shifts: readonly { readonly cut: number; readonly by: number; readonly change: number }[],
  tempo: number,
): Breathing {
  const starts: number[] = [];
  let end = 0;
  for (const bar of bars) {
    starts.push(end);
    end += bar.ticks;
  }
  const shifted = (tick: number) =>
    tick + shifts.reduce((sum, { cut, by }) => sum + (cut <= tick ? by : 0), 0);
  const place = (tick: number) => {
    const at = starts.findLastIndex((start) => start <= tick);
    return { barId: itemAt(bars, at).id, offset: tick - itemAt(starts, at) };
  };
  const notes: SungNote[] = melody.map(({ note, startTick, endTick }) => ({
    ...note,
    ...place(shifted(startTick)),
    ticks: endTick - startTick,
  }));
  const marks = chords.map(({ tick, symbol }) => ({ tick: shifted(tick), symbol }));
  for (const { cut, change } of shifts) {
    // The chord that the next line begins on; in the silence before it the old one goes on.
    const entry = chords.findLast(({ tick }) => tick <= cut);
    if (entry && !marks.some((mark) => mark.tick === change))
      marks.push({ tick: change, symbol: entry.symbol });
  }
  marks.sort((a, b) => a.tick - b.tick);
  const chordMarks: ChordMark[] = marks.map(({ tick, symbol }, i) => ({
    id: `c${i}`,
    ...place(tick),
    symbol,
  }));
  const silences = shifts.map(({ cut }) => {
    const next = melody.find((note) => note.startTick >= cut);
    const to = shifted(next?.startTick ?? cut);
    return [shifted(cut - 1) + 1, to] as const;
  });
  return {
    song: {
      ...song,
      voices: [itemAt(song.voices, 0)],
      tempo,
      notes,
      chords: chordMarks,
      passes: [],
      sections: [{ id: 's', name: '', bars }],
    },
    silences,
  };
}

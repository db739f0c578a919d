/**
 * Melodies of which it is known where their phrases end, for measuring what is found: hymn tunes beside the project, whose
 * lines end by their metrical patterns, and the old songs of tests/outside/old-songs.abc, whose lines of music are phrases.
 */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { itemAt, must } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { type PlacedNote, type Timeline, writtenTimeline } from '../../lib/song';

export interface PhrasedSong {
  readonly name: string;
  readonly timeline: Timeline;
  readonly melody: readonly PlacedNote[];
  /** Indexes among the melody's notes of the last one of every phrase, the song's last note too. */
  readonly ends: readonly number[];
}

const HYMNS = join(import.meta.dirname, '../../../shared/data/hymns');
/** Whether the hymns are there to be measured. */
export const HYMNS_PRESENT = existsSync(HYMNS);
const FOLK = join(import.meta.dirname, 'old-songs.abc');

/**
 * Source: metrical patterns (syllables to each line of words), Open Hymnal Project; the first line of each file. With stanza 1
 * laid under the melody, a line ends with the last note before the syllable that begins the next line. Left out is a hymn
 * whose stanza has not as many syllables as its pattern; empty where the folder is not beside the project.
 */
export async function phrasedHymns(): Promise<PhrasedSong[]> {
  if (!HYMNS_PRESENT) return [];
  const files = readdirSync(HYMNS).filter((name) => name.endsWith('.abc'));
  const songs = await Promise.all(files.sort().map((file) => phrasedHymn(file)));
  return songs.filter((song) => song !== null);
}

async function phrasedHymn(file: string): Promise<PhrasedSong | null> {
  const [first = '', ...rest] = readFileSync(join(HYMNS, file), 'utf8').split('\n');
  const { timeline, melody } = await readMelody(file, rest.join('\n'));
  const pattern = (first.split(':')[1] ?? '').trim().split(/\s+/).map(Number);
  const begins = melody.flatMap((note, i) => (note.note.syllables[0] ? [i] : []));
  if (begins.length !== pattern.reduce((sum, line) => sum + line, 0)) return null;
  let sung = 0;
  const ends = pattern.map((line) => {
    sung += line;
    return (begins[sung] ?? melody.length) - 1;
  });
  return { name: file.replace(/\.abc$/, ''), timeline, melody, ends };
}

/** Source, from memory: see the head of the file. A line of its music is a phrase; notes are counted from the text, ties joined. */
export async function phrasedFolk(): Promise<PhrasedSong[]> {
  const tunes = readFileSync(FOLK, 'utf8')
    .split(/^(?=X:)/m)
    .slice(1);
  return Promise.all(
    tunes.map(async (tune) => {
      const name = /^T:(.*)$/m.exec(tune)?.[1] ?? '';
      const { timeline, melody } = await readMelody('folk.abc', tune);
      let count = 0;
      let isTied = false;
      const ends: number[] = [];
      for (const line of tune.split('\n')) {
        if (line === '' || /^([A-Z]:|%)/.test(line)) continue;
        for (const note of line.matchAll(/[\^_=]?[A-Ga-g][,']*[\d/]*[<>]?(-?)/g)) {
          if (!isTied) count += 1;
          isTied = note[1] === '-';
        }
        ends.push(count - 1);
      }
      if (count !== melody.length) throw new Error(`${name}: ${count} notes counted, ${melody.length} read`);
      return { name, timeline, melody, ends };
    }),
  );
}

async function readMelody(file: string, text: string) {
  let count = 0;
  const read = await readSongFile(file, text, { makeId: () => `i${count++}` });
  if (!read.ok) throw new Error(`${file}: ${read.error.what}`);
  const timeline = writtenTimeline(read.value.song);
  const top = itemAt(read.value.song.voices, 0);
  return { timeline, melody: must(timeline.notes.get(top.id), 'the melody') };
}

export interface Score {
  readonly precision: number;
  readonly recall: number;
  readonly f1: number;
}

/** Of the ends inside a song: the last note's, which nobody can miss, is left out of both. */
export function scoreInside(found: readonly number[], song: PhrasedSong): Score {
  const last = song.melody.length - 1;
  const wanted = new Set(song.ends.filter((end) => end < last));
  const inside = found.filter((end) => end < last);
  const hits = inside.filter((end) => wanted.has(end)).length;
  const precision = inside.length === 0 ? Number(wanted.size === 0) : hits / inside.length;
  const recall = wanted.size === 0 ? 1 : hits / wanted.size;
  return { precision, recall, f1: hits === 0 ? 0 : (2 * precision * recall) / (precision + recall) };
}

export function meanScore(scores: readonly Score[]): Score {
  const of = (key: keyof Score) => scores.reduce((sum, score) => sum + score[key], 0) / scores.length;
  return { precision: of('precision'), recall: of('recall'), f1: of('f1') };
}

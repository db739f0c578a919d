import { readdirSync, readFileSync } from 'node:fs';
import { itemAt, makeIds, randomFrom } from '../../lib/base';
import { READ_ENDINGS, readSongFile } from '../../lib/exchange';
import { roadmapTimeline, type Timeline, writtenTimeline } from '../../lib/song';
import { findSpaces, type Space } from '../../lib/spaces';
import { generatedSong, timelineOf } from '../unit/fills/songs';
import { breathingHymn, HYMN_FILES } from './hymns';

/** A song with its spaces, and where it comes from. */
export interface Found {
  readonly name: string;
  readonly source: 'hymn' | 'tune' | 'random song';
  readonly timeline: Timeline;
  readonly spaces: readonly Space[];
  /** Silences that were put in and are not found again as a space. */
  readonly missed: readonly string[];
}

const TUNES = new URL('../tunes/', import.meta.url);

const fillable = (timeline: Timeline) =>
  findSpaces(timeline).filter((space) => space.kind !== 'instrumental');

async function tunes(): Promise<readonly Found[]> {
  const found: Found[] = [];
  for (const file of readdirSync(TUNES).sort()) {
    if (!READ_ENDINGS.some((ending) => file.endsWith(ending))) continue;
    const read = await readSongFile(file, readFileSync(new URL(file, TUNES)), {
      makeId: makeIds(randomFrom(7)),
    });
    if (!read.ok) throw new Error(`${file}: ${read.error.what}`);
    const song = read.value.song;
    for (const timeline of [writtenTimeline(song), roadmapTimeline(song)])
      found.push({ name: file, source: 'tune', timeline, spaces: fillable(timeline), missed: [] });
  }
  return found;
}

async function hymn(file: string, seed: number): Promise<Found> {
  const { song, silences } = await breathingHymn(file, seed);
  const timeline = writtenTimeline(song);
  const spaces = fillable(timeline);
  const missed = silences
    .filter(([from, to]) => !spaces.some((space) => space.startTick <= from && space.endTick >= to))
    .map(([from, to]) => `the silence from tick ${from} to ${to} is no space`);
  return { name: `${file} (${seed})`, source: 'hymn', timeline, spaces, missed };
}

function randomSong(seed: number): Found {
  const timeline = timelineOf(generatedSong(seed));
  return { name: `song ${seed}`, source: 'random song', timeline, spaces: fillable(timeline), missed: [] };
}

/**
 * At least so many spaces, from `seed` on, always the same ones: of five songs three are hymns and two made by chance (all by chance
 * where the hymns are not beside the project), with the project's own tunes spread among the first of them.
 */
export async function* songsToSweep(count: number, seed: number): AsyncGenerator<Found> {
  const own = await tunes();
  let given = 0;
  for (let i = 0; given < count; i++) {
    const at = seed + i;
    const ownHere = i % 6 === 0 ? own[i / 6] : undefined;
    const found =
      ownHere ??
      (HYMN_FILES.length > 0 && i % 5 < 3
        ? await hymn(itemAt(HYMN_FILES, (Math.floor(i / 5) * 3 + (i % 5)) % HYMN_FILES.length), at)
        : randomSong(at));
    given += found.spaces.length;
    yield found;
  }
}

import { makeIds, randomFrom } from '@/lib/base';
import { readSongFile, writeSongFile } from '@/lib/exchange';
import { type Player, type Song, writtenTimeline } from '@/lib/song';

export async function readBytes(name: string, content: Uint8Array | string): Promise<Song> {
  const read = await readSongFile(name, content, { makeId: makeIds(randomFrom(5)) });
  if (!read.ok) throw new Error(`${read.error.what} (${read.error.where})`);
  return read.value.song;
}

export function write(name: string, song: Song, players: readonly Player[] = []) {
  const written = writeSongFile(name, song, players);
  if (!written.ok) throw new Error(`${written.error.what} (${written.error.where})`);
  return { ...written.value, text: new TextDecoder().decode(written.value.content) };
}

/** What a song says, without its ids; `less` leaves out what a format cannot hold. */
export function saidBy(song: Song, less: readonly ('roadmap' | 'feel' | 'lines')[] = []) {
  const timeline = writtenTimeline(song);
  const sections = song.sections.map(({ id }) => id);
  return {
    title: song.title,
    key: song.key,
    tempo: song.tempo,
    ...(less.includes('feel') ? {} : { feel: Math.round(song.feel.ratio * 100) / 100 }),
    bars: timeline.bars.map(({ bar, startTick }) => ({
      startTick,
      ticks: bar.ticks,
      meter: bar.meter,
      key: bar.key,
      tempo: bar.tempo,
      pickup: bar.pickup,
      ...(less.includes('roadmap') ? {} : { endings: bar.endings }),
    })),
    chords: timeline.chords.map(({ symbol, startTick, endTick }) => ({ symbol, startTick, endTick })),
    voices: song.voices.map(({ id }) =>
      (timeline.notes.get(id) ?? []).map(({ note, startTick, endTick }) => ({
        startTick,
        endTick,
        midi: note.midi,
        syllables: trimmed(note.syllables).map((syllable) =>
          syllable && less.includes('lines') ? { ...syllable, endsLine: null } : syllable,
        ),
        breath: note.breath,
        fermata: note.fermata,
      })),
    ),
    ...(less.includes('roadmap')
      ? {}
      : {
          sections: song.sections.map(({ name }) => name),
          passes: song.passes.map(({ sectionId, stanza, ending }) => [
            sections.indexOf(sectionId),
            stanza,
            ending,
          ]),
        }),
  };
}

function trimmed<T>(syllables: readonly (T | null)[]): readonly (T | null)[] {
  const last = syllables.findLastIndex((syllable) => syllable !== null);
  return syllables.slice(0, last + 1);
}

export const again = async (name: string, song: Song): Promise<Song> =>
  readBytes(name, write(name, song).content);

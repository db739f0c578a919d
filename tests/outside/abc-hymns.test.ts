import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { checkSong, type Song, songSchema, writtenTimeline } from '../../lib/song';
import { type MidiNote, readMidi } from './midi-reader';

/** Real input kept beside the project, where it is: 60 hymn tunes in four voices with words. */
const FOLDER = join(import.meta.dirname, '../../../shared/data/hymns');
const present = existsSync(FOLDER);
const files = present
  ? readdirSync(FOLDER)
      .filter((name) => name.endsWith('.abc'))
      .sort()
  : [];
const midiProgram = spawnSync('abc2midi', ['-ver']).error === undefined;

const textOf = (file: string): string => readFileSync(join(FOLDER, file), 'utf8');

async function songOf(file: string): Promise<Song> {
  const result = await readSongFile(file, textOf(file), { makeId: makeIds(randomFrom(1)) });
  if (!result.ok) throw new Error(`${file}: ${result.error.what}`);
  return result.value.song;
}

if (!present) console.log('checks not made: ../shared/data/hymns is not beside the project (60 hymn tunes)');
else if (!midiProgram) console.log('check not made: abc2midi is not installed (notes of 60 hymn tunes)');

describe.skipIf(!present)('hymn tunes', () => {
  it('reads all of them, whole', async () => {
    expect(files).toHaveLength(60);
    for (const file of files) {
      const song = await songOf(file);
      expect(checkSong(song), file).toEqual([]);
      expect(songSchema.safeParse(song).success, file).toBe(true);
      expect(song.voices.length, file).toBeGreaterThanOrEqual(4);
    }
  });

  // Source: the hymns' own metrical pattern (syllables to each line of words), Open Hymnal Project, first line of each file.
  it('lays as many syllables under the melody as the pattern counts, in 58 of 60', async () => {
    const differ: string[] = [];
    for (const file of files) {
      const song = await songOf(file);
      const pattern = (itemAt(textOf(file).split('\n'), 0).split(':')[1] ?? '')
        .trim()
        .split(/\s+/)
        .map(Number);
      const wanted = pattern.reduce((sum, count) => sum + count, 0);
      const top = itemAt(song.voices, 0).id;
      const found = song.notes.filter((note) => note.voiceId === top && note.syllables[0]).length;
      if (found !== wanted) differ.push(`${file}: ${found} syllables, the pattern counts ${wanted}`);
    }
    console.log(`syllables: ${files.length - differ.length} of ${files.length} agree; ${differ.join('; ')}`);
    expect(files.length - differ.length).toBeGreaterThanOrEqual(58);
  });
});

/** abc2midi delays an onset by a tick or two of 480; so does its rounding of tuplets. */
const ONSET_TICKS = 4;
const END_TICKS = 8;
/** It rolls the notes of a chord in brackets, ten ticks of 480 each; no note of a hymn is as short as two of them. */
const CHORD_TICKS = 45;

interface Comparison {
  readonly notes: number;
  readonly pitchOrOnset: number;
  readonly length: number;
}

/** Of notes that sound together the highest, as a song holds them. */
function highest(track: readonly MidiNote[], scale: number): MidiNote[] {
  const notes: MidiNote[] = [];
  for (const { onset, end, pitch } of track) {
    const note = { onset: onset * scale, end: end * scale, pitch };
    const last = notes[notes.length - 1];
    if (!last || note.onset - last.onset > CHORD_TICKS) notes.push(note);
    else if (pitch > last.pitch) notes[notes.length - 1] = { ...note, onset: last.onset };
  }
  return notes;
}

function compare(song: Song, voice: number, track: readonly MidiNote[], scale: number): Comparison {
  const own = writtenTimeline(song).notes.get(itemAt(song.voices, voice).id) ?? [];
  const theirs = highest(track, scale);
  let pitchOrOnset = Math.abs(own.length - theirs.length);
  let length = 0;
  own.slice(0, theirs.length).forEach((placed, i) => {
    const other = itemAt(theirs, i);
    if (placed.note.midi !== other.pitch || Math.abs(placed.startTick - other.onset) > ONSET_TICKS)
      pitchOrOnset += 1;
    else if (Math.abs(placed.endTick - other.end) > END_TICKS) length += 1;
  });
  return { notes: own.length, pitchOrOnset, length };
}

describe.skipIf(!present || !midiProgram)('hymn tunes against abc2midi', () => {
  // Reference library: abcmidi (Debian), run with fermatas and grace notes ignored.
  it('gives the same pitches, onsets and lengths in every voice', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'hymns-'));
    let notes = 0;
    let voices = 0;
    const dotted: string[] = [];
    const passedOver: string[] = [];
    try {
      for (const file of files) {
        const out = join(folder, 'out.mid');
        spawnSync('abc2midi', [join(FOLDER, file), '-NFER', '-NGRA', '-silent', '-o', out]);
        const midi = readMidi(readFileSync(out));
        const song = await songOf(file);
        // The first track holds the tempo; a track without notes is a voice of another name for the same staff.
        const tracks = midi.tracks.slice(1).filter((track) => track.length > 0);
        if (tracks.length !== song.voices.length) {
          passedOver.push(`${file}: ${tracks.length} tracks for ${song.voices.length} voices`);
          continue;
        }
        for (let voice = 0; voice < song.voices.length; voice++) {
          const result = compare(song, voice, itemAt(tracks, voice), 960 / midi.ticksPerQuarter);
          voices += 1;
          notes += result.notes;
          expect(result.pitchOrOnset, `${file}, voice ${voice + 1}: pitches and onsets`).toBe(0);
          // abc2midi halves notes with a staccato dot; a song keeps their written length.
          if (result.length > 0 && /\s\.[A-Ga-g]/.test(textOf(file)))
            dotted.push(`${file}: ${result.length}`);
          else expect(result.length, `${file}, voice ${voice + 1}: lengths`).toBe(0);
        }
      }
    } finally {
      rmSync(folder, { recursive: true });
    }
    console.log(
      `abc2midi: ${notes} notes of ${voices} voices agree; staccato notes not compared in length: ${dotted.join(', ') || 'none'}; passed over: ${passedOver.join(', ') || 'none'}`,
    );
    expect(passedOver.length).toBeLessThanOrEqual(2);
    expect(notes).toBeGreaterThan(10_000);
  });
});

import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import tonejs from '@tonejs/midi';
import fc from 'fast-check';
import { type MidiEvent, parseMidi, writeMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { itemAt, makeIds, must, randomFrom } from '../../lib/base';
import { readSongFile } from '../../lib/exchange';
import { type Song, writtenTimeline } from '../../lib/song';

const TUNES = join(import.meta.dirname, '../tunes');
const HYMNS = join(import.meta.dirname, '../../../shared/data/hymns');
const abc2midi = spawnSync('abc2midi', ['-ver']).error === undefined;
const hymns = existsSync(HYMNS) && abc2midi;
if (!hymns) console.log('MIDI of the hymns: not run, ../shared/data/hymns or abc2midi is not here');

async function songOf(name: string, content: Uint8Array, melody?: number): Promise<Song> {
  const read = await readSongFile(name, content, { makeId: makeIds(randomFrom(5)), melody });
  if (!read.ok) throw new Error(`${read.error.what} (${read.error.where})`);
  return read.value.song;
}

/** Quarters from the start. */
interface Heard {
  readonly from: number;
  readonly to: number;
  readonly pitch: number;
}

const own = (song: Song, voice = 0): Heard[] =>
  (writtenTimeline(song).notes.get(itemAt(song.voices, voice).id) ?? []).map(
    ({ note, startTick, endTick }) => ({
      from: startTick / 960,
      to: endTick / 960,
      pitch: must(note.midi, 'a pitch'),
    }),
  );

/** Of notes that begin together the highest, each ended where the next begins. */
function melody(notes: readonly Heard[]): Heard[] {
  const sorted = [...notes].sort((a, b) => a.from - b.from || b.pitch - a.pitch);
  const top = sorted.filter((note, i) => i === 0 || note.from - itemAt(sorted, i - 1).from > 0.03);
  return top.map((note, i) => ({ ...note, to: Math.min(note.to, top[i + 1]?.from ?? note.to) }));
}

/** The notes of one track and channel, as `midi-file` reads the events. */
function byMidiFile(bytes: Uint8Array, track: number, channel: number): Heard[] {
  const { header, tracks } = parseMidi(bytes);
  const quarter = must(header.ticksPerBeat, 'ticks to a quarter');
  const begun = new Map<number, number[]>();
  const notes: Heard[] = [];
  let tick = 0;
  for (const event of itemAt(tracks, track - 1)) {
    tick += event.deltaTime;
    if (!('noteNumber' in event) || event.channel !== channel - 1) continue;
    if (event.type === 'noteOn' && event.velocity > 0)
      begun.set(event.noteNumber, [...(begun.get(event.noteNumber) ?? []), tick]);
    else if (event.type === 'noteOff' || event.type === 'noteOn') {
      const from = begun.get(event.noteNumber)?.shift();
      if (from !== undefined)
        notes.push({ from: from / quarter, to: tick / quarter, pitch: event.noteNumber });
    }
  }
  return melody(notes);
}

/** The same by `@tonejs/midi`, which splits a track of several channels into one for each. */
function byToneJs(bytes: Uint8Array, channel: number): Heard[] {
  const midi = new tonejs.Midi(bytes);
  const notes = midi.tracks
    .filter((track) => track.channel === channel - 1)
    .flatMap((track) => track.notes)
    .map((note) => ({
      from: note.ticks / midi.header.ppq,
      to: (note.ticks + note.durationTicks) / midi.header.ppq,
      pitch: note.midi,
    }));
  return melody(notes);
}

/** Where a note begins or ends otherwise, by more than these (in quarters), or sounds otherwise. */
function differences(ours: readonly Heard[], theirs: readonly Heard[], start = 0.02, end = 0.02): string[] {
  const faults = ours.length === theirs.length ? [] : [`${ours.length} notes, not ${theirs.length}`];
  ours.slice(0, theirs.length).forEach((note, i) => {
    const other = itemAt(theirs, i);
    if (
      note.pitch !== other.pitch ||
      Math.abs(note.from - other.from) > start ||
      Math.abs(note.to - other.to) > end
    )
      faults.push(`note ${i + 1}: ${JSON.stringify(note)}, not ${JSON.stringify(other)}`);
  });
  return faults;
}

// Reference library: midi-file and @tonejs/midi, two readers that share no code.
describe('MIDI files of our own making', () => {
  it.each([
    ['ladder-song.mid', 3, 1],
    ['hay-loft.mid', 1, 4],
  ])('%s: the notes that both readers find in the track with the words', async (name, track, channel) => {
    const bytes = new Uint8Array(readFileSync(join(TUNES, name)));
    const song = own(await songOf(name, bytes));
    // Each note is let go early, by a tenth at most; a written one lasts to the next.
    expect(differences(song, byMidiFile(bytes, track, channel), 0.02, 0.31)).toEqual([]);
    expect(differences(song, byToneJs(bytes, channel), 0.02, 0.31)).toEqual([]);
    expect(song.length).toBeGreaterThan(8);
  });

  it('gives what any file of one track says, written by midi-file, on sixteenths and thirds', async () => {
    const quarter = fc.constantFrom(
      [1],
      [0.5, 0.5],
      [0.25, 0.25, 0.5],
      [1 / 3, 1 / 3, 1 / 3],
      [0.75, 0.25],
      [2],
    );
    let count = 0;
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.tuple(quarter, fc.integer({ min: 48, max: 76 }), fc.integer({ min: 0, max: 5 })), {
          minLength: 4,
          maxLength: 40,
        }),
        fc.constantFrom(96, 120, 384, 480, 960),
        async (quarters, ticksPerBeat) => {
          const events: MidiEvent[] = [];
          let rest = 0;
          let sounded = 0;
          for (const [lengths, pitch, silent] of quarters) {
            lengths.forEach((length, i) => {
              const ticks = Math.round(length * ticksPerBeat);
              if (silent === 0) {
                rest += ticks;
                return;
              }
              const noteNumber = pitch + i;
              events.push({ deltaTime: rest, type: 'noteOn', channel: 0, noteNumber, velocity: 80 });
              events.push({ deltaTime: ticks, type: 'noteOff', channel: 0, noteNumber, velocity: 0 });
              rest = 0;
              sounded += 1;
            });
          }
          if (sounded === 0) return;
          events.push({ deltaTime: 0, meta: true, type: 'endOfTrack' });
          const bytes = new Uint8Array(
            writeMidi({ header: { format: 0, numTracks: 1, ticksPerBeat }, tracks: [events] }),
          );
          const song = own(await songOf('any.mid', bytes));
          count += song.length;
          expect(differences(song, byMidiFile(bytes, 1, 1))).toEqual([]);
          expect(differences(song, byToneJs(bytes, 1))).toEqual([]);
        },
      ),
      { numRuns: 80 },
    );
    expect(count).toBeGreaterThan(1000);
  });
});

describe.skipIf(!hymns)('hymns, as abc2midi plays them', () => {
  // Reference library: abcmidi (Debian) makes the files; midi-file reads their notes.
  it('reads the top voice as midi-file does, and its words as abc2midi wrote them', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'midi-'));
    let notes = 0;
    let far = 0;
    let words = 0;
    let alike = 0;
    const odd: string[] = [];
    try {
      for (const file of readdirSync(HYMNS).filter((name) => name.endsWith('.abc'))) {
        const out = join(folder, 'out.mid');
        spawnSync('abc2midi', [join(HYMNS, file), '-NFER', '-NGRA', '-silent', '-o', out]);
        const bytes = new Uint8Array(readFileSync(out));
        const { tracks } = parseMidi(bytes);
        // abc2midi writes words as karaoke texts: a line begins with a slash.
        const texts = (index: number) => {
          const found = itemAt(tracks, index).flatMap((event) => (event.type === 'text' ? [event.text] : []));
          return found.slice(found.findIndex((text) => /^\/./.test(text)));
        };
        const top =
          tracks.findIndex((track) =>
            track.some((event) => event.type === 'text' && /^\/./.test(event.text)),
          ) + 1;
        if (top === 0) continue;
        const channels = new Set(
          itemAt(tracks, top - 1).flatMap((event) => ('noteNumber' in event ? [event.channel + 1] : [])),
        );
        const theirs = byMidiFile(bytes, top, must([...channels][0], 'a channel'));
        const song = await songOf(file.replace('.abc', '.mid'), bytes);
        const ours = own(song);
        notes += theirs.length;
        const faults = differences(ours, theirs, 0.03, 0.3);
        far += faults.length;
        if (faults.length > 0) odd.push(`${file}: ${faults.length}, ${faults[0]}`);
        // Words without the marks of lines and holds, which a song keeps otherwise.
        const plain = (text: string) => text.replace(/[-_*~\s\r\n/\\]/g, '');
        const written = texts(top - 1)
          .filter((text) => !/^[%@]/.test(text))
          .map((text) => plain(Buffer.from(text, 'latin1').toString('utf8')))
          .join('');
        const sung = song.notes.flatMap((note) => plain(note.syllables[0]?.text ?? '')).join('');
        words += 1;
        if (sung !== '' && written.startsWith(sung)) alike += 1;
        else odd.push(`${file}: ${sung.slice(0, 60)}, not ${written.slice(0, 60)}`);
      }
    } finally {
      rmSync(folder, { recursive: true });
    }
    console.log(
      `hymns as MIDI: ${notes - far} of ${notes} notes alike; words of ${alike} of ${words} hymns alike; ${odd.join('; ')}`,
    );
    expect(notes).toBeGreaterThan(2000);
    expect(far / notes).toBeLessThan(0.01);
    expect(alike / words).toBeGreaterThan(0.9);
  });
});

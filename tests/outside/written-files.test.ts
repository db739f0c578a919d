import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import tonejs from '@tonejs/midi';
import { parseMidi } from 'midi-file';
import { VerovioToolkit } from 'verovio/esm';
import createVerovioModule from 'verovio/wasm';
import { beforeAll, describe, expect, it } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { itemAt, must } from '../../lib/base';
import { type Song, writtenTimeline } from '../../lib/song';
import { demoBand } from '../../server/demo';
import { readBytes, write } from '../unit/exchange/round-trip';
import { readMidi } from './midi-reader';

const TUNES = join(import.meta.dirname, '../tunes');
const HYMNS = join(import.meta.dirname, '../../../shared/data/hymns');
const SCHEMA = join(import.meta.dirname, '../../../shared/data/musicxml');
const hasHymns = existsSync(HYMNS);
const abc2midi = spawnSync('abc2midi', ['-ver']).error === undefined;
if (!hasHymns) console.log('written hymns: not run, ../shared/data/hymns is not here');
if (!abc2midi) console.log('written ABC against abc2midi: not run, abc2midi is not here');

/** Quarters from the start, as written. */
interface Heard {
  readonly from: number;
  readonly to: number;
  readonly pitch: number;
}

const songs: { name: string; song: Song }[] = [];
beforeAll(async () => {
  const files = readdirSync(TUNES).filter((name) => /\.(?:abc|musicxml|mid)$/.test(name));
  for (const name of files)
    songs.push({ name, song: await readBytes(name, new Uint8Array(readFileSync(join(TUNES, name)))) });
  const hymns = hasHymns ? readdirSync(HYMNS).filter((_, i) => i % 3 === 0) : [];
  for (const name of hymns)
    songs.push({ name, song: await readBytes(name, readFileSync(join(HYMNS, name), 'utf8')) });
  // As written once: what players were given is looked at in written-players.test.ts.
  for (const song of (await demoBand()).songs)
    songs.push({ name: song.title, song: { ...song, settled: [] } });
});

const order = (notes: readonly Heard[]) =>
  [...notes].sort((a, b) => a.from - b.from || a.pitch - b.pitch || a.to - b.to);

const ours = (song: Song, voice?: number): Heard[] => {
  const timeline = writtenTimeline(song);
  const voices = voice === undefined ? song.voices : [itemAt(song.voices, voice)];
  return order(
    voices.flatMap(({ id }) =>
      (timeline.notes.get(id) ?? []).map(({ note, startTick, endTick }) => ({
        from: startTick / 960,
        to: endTick / 960,
        pitch: must(note.midi, 'a pitch'),
      })),
    ),
  );
};

/** Rounded, and tied pieces of one pitch joined, so that readers that keep them apart can be compared. */
function plain(notes: readonly Heard[]): string[] {
  return order(notes).map(({ from, to, pitch }) => `${pitch} ${from.toFixed(2)} ${to.toFixed(2)}`);
}

// Reference library: verovio's timemap, of the score without its repeats: each part is heard once, as it is written.
describe('a MusicXML score', () => {
  let toolkit: VerovioToolkit;
  beforeAll(async () => {
    toolkit = new VerovioToolkit(await createVerovioModule());
    toolkit.setOptions({ transposeToSoundingPitch: true });
  });

  function heardByVerovio(xml: string): Heard[] {
    const once = xml.replace(/<repeat [^>]*\/>/g, '').replace(/<ending [^>]*\/>/g, '');
    if (!toolkit.loadData(once)) throw new Error('verovio does not read it');
    const begun = new Map<string, number>();
    const heard: Heard[] = [];
    for (const { qstamp, on = [], off = [] } of toolkit.renderToTimemap({})) {
      for (const id of off)
        heard.push({
          from: must(begun.get(id), 'its start'),
          to: qstamp,
          pitch: toolkit.getMIDIValuesForElement(id).pitch,
        });
      for (const id of on) begun.set(id, qstamp);
    }
    return heard;
  }

  it('has the notes, onsets and lengths of the song, as verovio reads it', () => {
    let notes = 0;
    for (const { name, song } of songs) {
      const own = ours(song);
      const heard = heardByVerovio(write('a.musicxml', song).text);
      // A note over a barline is heard in its pieces: each stands within one note of ours of that pitch, and they fill it.
      const left = [...heard];
      for (const note of own) {
        let at = note.from;
        while (at < note.to - 0.01) {
          const i = left.findIndex(
            (each) =>
              each.pitch === note.pitch && Math.abs(each.from - at) < 0.01 && each.to <= note.to + 0.01,
          );
          if (i < 0) throw new Error(`${name}: no ${note.pitch} at quarter ${at}`);
          at = itemAt(left, i).to;
          left.splice(i, 1);
        }
      }
      expect(left, name).toEqual([]);
      notes += own.length;
    }
    console.log(`MusicXML by verovio: ${notes} notes of ${songs.length} songs agree`);
    expect(notes).toBeGreaterThan(300);
  });

  // Source: MusicXML 4.0, its published schema; by xmllint. Every hymn and every tune, the ones of words and chords alone too.
  const schema = existsSync(SCHEMA);
  if (!schema) console.log('written MusicXML by its schema: not run, ../shared/data/musicxml is not here');
  it.skipIf(!schema)('is valid MusicXML 4.0', async () => {
    const local = (file: string) =>
      readFileSync(join(SCHEMA, file), 'utf8').replace(
        /schemaLocation="http[^"]*\/(\w+\.xsd)"/g,
        'schemaLocation="$1"',
      );
    const taken = new Set(songs.map(({ name }) => name));
    const more = [
      ...readdirSync(TUNES)
        .filter((name) => name.endsWith('.txt'))
        .map((name) => join(TUNES, name)),
      ...(hasHymns ? readdirSync(HYMNS) : []).map((name) => join(HYMNS, name)),
    ].filter((file) => !taken.has(basename(file)));
    const every = [...songs];
    for (const file of more)
      every.push({ name: basename(file), song: await readBytes(basename(file), readFileSync(file, 'utf8')) });
    const xml = every.map(({ song }, i) => ({
      fileName: `score-${i}.xml`,
      contents: write('a.musicxml', song).text.replace(/<!DOCTYPE[^>]*>/, ''),
    }));
    const result = await validateXML({
      xml,
      schema: [{ fileName: 'musicxml.xsd', contents: local('musicxml.xsd') }],
      preload: ['xlink.xsd', 'xml.xsd'].map((fileName) => ({ fileName, contents: local(fileName) })),
    });
    expect(result.errors).toEqual([]);
    console.log(`MusicXML by its schema: ${xml.length} scores are valid`);
  });
});

// Reference library: midi-file and @tonejs/midi, and a small reader of the tests' own.
describe('a MIDI file', () => {
  it('has the notes of every voice, by three readers', () => {
    for (const { name, song } of songs) {
      const straight = { ...song, feel: { ratio: 1 } };
      const { content } = write('a.mid', straight);
      const parsed = parseMidi(content);
      expect(parsed.header.ticksPerBeat, name).toBe(960);
      // It keeps tracks with notes alone.
      const byTone = new tonejs.Midi(content).tracks.filter(({ notes }) => notes.length > 0);
      let toned = 0;
      const byReader = readMidi(content);
      song.voices.forEach((_voice, v) => {
        const own = plain(ours(song, v));
        const reader = itemAt(byReader.tracks, v + 1).map(({ onset, end, pitch }) => ({
          from: onset / 960,
          to: end / 960,
          pitch,
        }));
        expect(plain(reader), name).toEqual(own);
        const ons = itemAt(parsed.tracks, v + 1).filter((event) => event.type === 'noteOn');
        expect(ons, name).toHaveLength(own.length);
        if (own.length === 0) return;
        const tone = itemAt(byTone, toned++).notes.map((note) => ({
          from: note.ticks / 960,
          to: (note.ticks + note.durationTicks) / 960,
          pitch: note.midi,
        }));
        expect(plain(tone), name).toEqual(own);
      });
    }
  });
});

// Reference library: abc2midi (abcMIDI), of the tune without its repeats.
describe('an ABC tune', () => {
  it.skipIf(!abc2midi)('has the notes of every voice, as abc2midi plays it', () => {
    const folder = mkdtempSync(join(tmpdir(), 'breathmark-own-'));
    let notes = 0;
    try {
      for (const { name, song } of songs) {
        const plainSigns = song.notes.map((note) => ({ ...note, fermata: false, breath: false }));
        const text = write('a.abc', { ...song, notes: plainSigns }).text;
        const once = text.replace(/^(?![A-Za-z]:).*$/gm, (line) =>
          line
            .replace(/:\||\|:|::/g, '|')
            .replace(/\[\d[\d,]*/g, '')
            .replace(/"[^"]*"/g, ''),
        );
        const [from, to] = [join(folder, 'a.abc'), join(folder, 'a.mid')];
        writeFileSync(from, once.replace(/^w:.*\n/gm, '').replace(/^P:.*\n/gm, ''));
        spawnSync('abc2midi', [from, '-o', to, '-quiet']);
        const heard = readMidi(new Uint8Array(readFileSync(to)));
        const tracks = heard.tracks.filter((track) => track.length > 0);
        const scale = heard.ticksPerQuarter;
        const voices = song.voices.filter((_, v) => ours(song, v).length > 0);
        expect(tracks, name).toHaveLength(voices.length);
        voices.forEach((voice, t) => {
          const own = ours(song, song.voices.indexOf(voice));
          const theirs = order(
            itemAt(tracks, t).map(({ onset, end, pitch }) => ({
              from: onset / scale,
              to: end / scale,
              pitch,
            })),
          );
          const starts = (list: readonly Heard[]) =>
            list.map(({ from: at, pitch }) => `${pitch} ${at.toFixed(1)}`);
          expect(starts(theirs), `${name}, ${voice.name}`).toEqual(starts(own));
          notes += own.length;
        });
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
    console.log(`ABC by abc2midi: ${notes} notes of ${songs.length} songs agree in pitch and onset`);
  });
});

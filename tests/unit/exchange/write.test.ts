import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { WRITE_ENDINGS, writeSongFile } from '@/lib/exchange';
import type { Song } from '@/lib/song';
import { demoBand } from '@/server/demo';
import { again, readBytes, saidBy, write } from './round-trip';

const TUNES = join(import.meta.dirname, '../../tunes');
const names = readdirSync(TUNES).filter((name) => /\.(?:abc|musicxml|mid|txt)$/.test(name));
const tune = (name: string) => readBytes(name, new Uint8Array(readFileSync(join(TUNES, name))));
/** Songs whose order stands in the sections' order, with words by stanza: signs can say it. */
const bySigns = [
  'two-endings.abc',
  'pickup.abc',
  'crooked.abc',
  'five-beats.abc',
  'held-tail-two-stanzas.abc',
];

describe('a song that is written and read again', () => {
  it.each(names.filter((name) => !name.endsWith('.txt')))('%s: as MusicXML', async (name) => {
    const song = await tune(name);
    const less = bySigns.includes(name) ? [] : (['roadmap'] as const);
    expect(saidBy(await again('a.musicxml', song), less)).toEqual(saidBy(song, less));
  });

  it.each(names.filter((name) => !name.endsWith('.txt')))(
    '%s: as ABC (where each line of words ends a line)',
    async (name) => {
      const song = await tune(name);
      const less = bySigns.includes(name)
        ? (['feel', 'lines'] as const)
        : (['roadmap', 'feel', 'lines'] as const);
      expect(saidBy(await again('a.abc', song), less)).toEqual(saidBy(song, less));
    },
  );

  it.each(names)('%s: as a band file, whole', async (name) => {
    const song = await tune(name);
    expect(await again('a.breathmark.json', song)).toEqual(song);
  });

  it.each(names)('%s: packed, the same as plain', async (name) => {
    const song = await tune(name);
    expect(saidBy(await again('a.mxl', song))).toEqual(saidBy(await again('a.musicxml', song)));
  });

  it('with words alone keeps its words, chords and parts as text', async () => {
    const song = await tune('washline.txt');
    const back = await again('a.txt', song);
    const wordsOf = ({ notes, voices }: Song) =>
      notes
        .filter(({ voiceId }) => voiceId === voices[0]?.id)
        .map(({ syllables }) => syllables.map((syllable) => syllable?.text ?? '').join('|'));
    expect(wordsOf(back).join(' ').split(/[ |]+/).sort()).toEqual(
      wordsOf(song).join(' ').split(/[ |]+/).sort(),
    );
    expect(back.key).toEqual(song.key);
    expect(back.tempo).toEqual(song.tempo);
    expect(new Set(back.chords.map(({ symbol }) => symbol))).toEqual(
      new Set(song.chords.map(({ symbol }) => symbol)),
    );
  });
});

describe('what a format cannot hold', () => {
  let washline: Song;
  let twoVoices: Song;
  beforeAll(async () => {
    washline = await tune('washline.txt');
    twoVoices = await tune('two-voices.abc');
  });

  it('is listed: the order of the song', () => {
    expect(write('a.musicxml', washline).leftOut.join()).toMatch(/order of the song \(Intro, Verse, Chorus/);
  });

  it('is listed: swing in ABC, breaths and further stanzas in MIDI, the tune in text', () => {
    const swung = { ...twoVoices, feel: { ratio: 2 } };
    expect(write('a.abc', swung).leftOut.join()).toMatch(/swing/);
    expect(write('a.abc', twoVoices).leftOut.join()).not.toMatch(/swing/);
    expect(write('a.mid', washline).leftOut.join()).toMatch(
      /stanzas after the first of 3.*tune is not written/s,
    );
    expect(write('a.txt', twoVoices).leftOut.join()).toMatch(/the tune.*voices beside/s);
  });

  it('is listed: signs within words that mean something else in ABC', () => {
    const notes = twoVoices.notes.map((note, i) =>
      i === 0 ? { ...note, syllables: [{ text: 'a*b', joins: false, endsLine: false }] } : note,
    );
    expect(write('a.abc', { ...twoVoices, notes }).leftOut.join()).toMatch(/signs/);
  });
});

describe('swing in MIDI', () => {
  it('sounds the second eighth of a beat two thirds in, and leaves compound meters even', async () => {
    const read = (feel: number, meter: string) =>
      readBytes('a.abc', `X:1\nT:t\nM:${meter}\nL:1/8\nQ:1/4=100\nK:C\nc2 d e f g |`).then((song) =>
        write('a.mid', { ...song, feel: { ratio: feel } }),
      );
    const { default: tonejs } = await import('@tonejs/midi');
    const ticks = (bytes: Uint8Array) =>
      new tonejs.Midi(bytes).tracks.flatMap(({ notes }) => notes.map((note) => note.ticks));
    // A quarter is 960 ticks; a swung "and" begins at 640.
    expect(ticks((await read(2, '3/4')).content)).toEqual([0, 960, 1600, 1920, 2560]);
    expect(ticks((await read(1, '3/4')).content)).toEqual([0, 960, 1440, 1920, 2400]);
    expect(ticks((await read(2, '6/8')).content)).toEqual([0, 960, 1440, 1920, 2400]);
  });
});

describe('a name', () => {
  it('with an ending that nobody writes is refused with those that are written', async () => {
    const refused = writeSongFile('song.docx', await tune('pickup.abc'));
    expect(refused.ok ? '' : refused.error.mend).toContain(WRITE_ENDINGS.join(', '));
  });

  it('of a band file that is none says so', async () => {
    await expect(readBytes('a.breathmark.json', '{"songs":[]}')).rejects.toThrow('no band file');
    await expect(readBytes('a.breathmark.json', 'X:1')).rejects.toThrow('not JSON');
    await expect(
      readBytes('a.breathmark.json', '{"format":"breathmark band file","version":9}'),
    ).rejects.toThrow('version 9');
  });
});

describe('the demo band', () => {
  it('goes through MusicXML with its notes, words and chords', async () => {
    const { songs } = await demoBand();
    for (const demo of songs) {
      const song = { ...demo, settled: [] };
      expect(saidBy(await again('a.musicxml', song), ['roadmap'])).toEqual(saidBy(song, ['roadmap']));
    }
  });
});

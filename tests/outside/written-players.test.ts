import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import tonejs from '@tonejs/midi';
import { VerovioToolkit } from 'verovio/esm';
import createVerovioModule from 'verovio/wasm';
import { beforeAll, describe, expect, it } from 'vitest';
import { validateXML } from 'xmllint-wasm';
import { itemAt, must } from '../../lib/base';
import { type Answer, type FillNote, type Player, roadmapTimeline, type Song } from '../../lib/song';
import { tickOfPlace } from '../../lib/spaces';
import { demoBand } from '../../server/demo';
import { readBytes, write } from '../unit/exchange/round-trip';
import { everybodyPlays, SIX } from './everybody-plays';
import { readMidi } from './midi-reader';

const SCHEMA = join(import.meta.dirname, '../../../shared/data/musicxml');

interface Written {
  readonly song: Song;
  readonly players: readonly Player[];
  readonly xml: string;
  readonly parts: readonly string[];
}

/** The demo's two songs, and tunes and hymns in which six players take all spaces in turn. */
const TUNES = join(import.meta.dirname, '../tunes');
const HYMNS = join(import.meta.dirname, '../../../shared/data/hymns');
const hasHymns = existsSync(HYMNS);
if (!hasHymns) console.log('hymns with fills: not run, ../shared/data/hymns is not here');
const written: Written[] = [];
const others: string[] = [];
beforeAll(async () => {
  const demo = await demoBand();
  const songs = demo.songs.map((song) => ({ song, players: demo.band.players }));
  const files = [
    ...readdirSync(TUNES)
      .filter((name) => /\.(?:abc|musicxml|mid)$/.test(name))
      .map((name) => join(TUNES, name)),
    ...(hasHymns ? readdirSync(HYMNS) : []).filter((_, i) => i % 3 === 0).map((name) => join(HYMNS, name)),
  ];
  others.push(
    ...readdirSync(TUNES)
      .filter((name) => name.endsWith('.txt'))
      .map((name) => join(TUNES, name)),
    ...(hasHymns ? readdirSync(HYMNS) : []).filter((_, i) => i % 3 !== 0).map((name) => join(HYMNS, name)),
  );
  for (const file of files) {
    const song = await readBytes(basename(file), new Uint8Array(readFileSync(file)));
    songs.push({ song: everybodyPlays(song), players: SIX });
  }
  for (const { song, players } of songs) {
    const xml = write('a.musicxml', song, players).text;
    written.push({
      song,
      players,
      xml,
      parts: [...xml.matchAll(/<part id=[\s\S]*?<\/part>/g)].map(([part]) => part),
    });
  }
});

/** The fills of a song by player, straight from what was settled. */
function settledNotes(song: Song): ReadonlyMap<string, readonly FillNote[]> {
  const timeline = roadmapTimeline(song);
  const byPlayer = new Map<string, FillNote[]>();
  const inOrder = (a: Answer, b: Answer) =>
    must(tickOfPlace(timeline, a.place), 'a place') +
    a.extent.from -
    must(tickOfPlace(timeline, b.place), 'a place') -
    b.extent.from;
  for (const { holding, place } of [...song.settled].sort(inOrder)) {
    if (holding.kind === 'left open') continue;
    const own = byPlayer.get(holding.playerId) ?? [];
    byPlayer.set(holding.playerId, own);
    if (holding.kind !== 'fill') continue;
    const origin = must(tickOfPlace(timeline, place), 'a place');
    own.push(...holding.fill.notes.map((note) => ({ ...note, tick: note.tick + origin })));
  }
  return byPlayer;
}

const semitones: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const numberIn = (xml: string, name: string): number | null => {
  const found = new RegExp(`<${name}>(-?[\\d.]+)</${name}>`).exec(xml)?.[1];
  return found === undefined ? null : Number(found);
};
const pitchIn = (xml: string, of: 'tuning-' | ''): number | null => {
  const step = new RegExp(`<${of}step>([A-G])</${of}step>`).exec(xml)?.[1];
  if (step === undefined) return null;
  const octave = must(numberIn(xml, `${of}octave`), 'an octave');
  return 12 * (octave + 1) + (semitones[step] ?? 0) + (numberIn(xml, `${of}alter`) ?? 0);
};

/** A part's notes on one staff with their onsets, by the durations and `backup` of the file alone. */
function notesOf(part: string, staff: number | null) {
  const notes: { onset: number; pitch: number; xml: string; tiedBack: boolean }[] = [];
  let at = 0;
  let last = 0;
  for (const [one] of part.matchAll(/<note[ >][\s\S]*?<\/note>|<backup>[\s\S]*?<\/backup>/g)) {
    const duration = must(numberIn(one, 'duration'), 'a duration');
    if (one.startsWith('<backup>')) {
      at -= duration;
      continue;
    }
    if (one.includes('<chord/>')) at = last;
    const pitch = pitchIn(one, '');
    if (pitch !== null && (staff === null || numberIn(one, 'staff') === staff))
      notes.push({ onset: at, pitch, xml: one, tiedBack: one.includes('<tie type="stop"/>') });
    last = at;
    at += duration;
  }
  return notes.sort((a, b) => a.onset - b.onset || a.pitch - b.pitch);
}

const byOnset = <T extends { readonly onset: number; readonly pitch: number }>(
  notes: readonly T[],
): string[] => notes.map(({ onset, pitch }) => `${onset} ${pitch}`).sort();

describe('a score with what players were given', () => {
  it('has every settled note of every player, at its tick, and nothing else', () => {
    let count = 0;
    for (const { song, parts } of written) {
      const players = settledNotes(song);
      const own = parts.slice(song.voices.length);
      expect(own).toHaveLength(players.size);
      [...players.values()].forEach((notes, p) => {
        const heard = notesOf(itemAt(own, p), itemAt(own, p).includes('<staves>') ? 1 : null);
        expect(byOnset(heard.filter(({ tiedBack }) => !tiedBack))).toEqual(
          byOnset(notes.map(({ tick, midi }) => ({ onset: tick, pitch: midi }))),
        );
        count += notes.length;
      });
    }
    console.log(`${count} settled notes in ${written.length} scores`);
    expect(count).toBeGreaterThan(100);
  });

  // Source: MusicXML 4.0, staff-tuning, capo and fret: a string's open pitch, raised by the capo, and by a semitone a fret.
  it('has tablature in which string, fret, tuning and capo give the pitch that is written', () => {
    let checked = 0;
    for (const { parts } of written) {
      for (const part of parts) {
        const tunings = [...part.matchAll(/<staff-tuning line="(\d+)">[\s\S]*?<\/staff-tuning>/g)];
        if (tunings.length === 0) continue;
        const capo = numberIn(part, 'capo') ?? 0;
        // The lowest line is the last string.
        const open = new Map(
          tunings.map(([xml, line]) => [
            tunings.length + 1 - Number(line),
            must(pitchIn(xml, 'tuning-'), 'a pitch'),
          ]),
        );
        for (const { xml, pitch, tiedBack } of notesOf(part, 2)) {
          if (tiedBack) continue;
          const string = must(numberIn(xml, 'string'), 'a string');
          const fret = must(numberIn(xml, 'fret'), 'a fret');
          expect(must(open.get(string), 'its line') + capo + fret).toBe(pitch);
          expect(xml).toContain('dynamics="0"');
          checked += 1;
        }
        expect(byOnset(notesOf(part, 2))).toEqual(byOnset(notesOf(part, 1)));
      }
    }
    expect(checked).toBeGreaterThan(50);
  });

  it('has each stroke by its sign: down, up, thumb, index, middle', () => {
    for (const { song, xml } of written) {
      const strokes = [...settledNotes(song).values()].flat().map(({ stroke }) => stroke);
      const signs = {
        down: '<down-bow/>',
        up: '<up-bow/>',
        thumb: '<pluck>p<',
        index: '<pluck>i<',
        middle: '<pluck>m<',
      };
      for (const [stroke, sign] of Object.entries(signs))
        expect(xml.split(sign).length - 1, stroke).toBe(strokes.filter((each) => each === stroke).length);
    }
  });

  // Source: MusicXML 4.0, its published schema; by xmllint.
  const schema = existsSync(SCHEMA);
  if (!schema)
    console.log('scores with players by their schema: not run, ../shared/data/musicxml is not here');
  it.skipIf(!schema)('is valid MusicXML 4.0', async () => {
    const local = (file: string) =>
      readFileSync(join(SCHEMA, file), 'utf8').replace(
        /schemaLocation="http[^"]*\/(\w+\.xsd)"/g,
        'schemaLocation="$1"',
      );
    // The other hymns and tunes too: only for the schema, so that every score that can be written has been through it.
    const scores = written.map(({ xml }) => xml);
    for (const file of others) {
      const song = await readBytes(basename(file), new Uint8Array(readFileSync(file)));
      scores.push(write('a.musicxml', everybodyPlays(song), SIX).text);
    }
    console.log(`scores with players by their schema: ${scores.length} are looked at`);
    const result = await validateXML({
      xml: scores.map((xml, i) => ({
        fileName: `score-${i}.xml`,
        contents: xml.replace(/<!DOCTYPE[^>]*>/, ''),
      })),
      schema: [{ fileName: 'musicxml.xsd', contents: local('musicxml.xsd') }],
      preload: ['xlink.xsd', 'xml.xsd'].map((fileName) => ({ fileName, contents: local(fileName) })),
    });
    expect(result.errors).toEqual([]);
  });

  // Reference library: verovio's timemap.
  it('sounds, as verovio reads it, with each settled note at its beat', async () => {
    const toolkit = new VerovioToolkit(await createVerovioModule());
    toolkit.setOptions({ transposeToSoundingPitch: true });
    for (const { song, xml } of written.slice(0, 12)) {
      if (!toolkit.loadData(xml)) throw new Error('verovio does not read it');
      const heard = new Set<string>();
      for (const { qstamp, on = [] } of toolkit.renderToTimemap({}))
        for (const id of on) heard.add(`${qstamp.toFixed(2)} ${toolkit.getMIDIValuesForElement(id).pitch}`);
      for (const notes of settledNotes(song).values())
        for (const { tick, midi } of notes) expect(heard).toContain(`${(tick / 960).toFixed(2)} ${midi}`);
    }
  });
});

// Reference library: @tonejs/midi, and a small reader of the tests' own.
describe('a MIDI file with what players were given', () => {
  it('has a track for each player with the settled notes, by two readers', () => {
    for (const { song } of written) {
      const { content } = write('a.mid', { ...song, feel: { ratio: 1 } });
      const tracks = readMidi(content).tracks.slice(1 + song.voices.length);
      const toned = new tonejs.Midi(content).tracks.filter(
        ({ name, notes }) => name.startsWith('Player ') && notes.length > 0,
      );
      const players = [...settledNotes(song).values()];
      expect(tracks).toHaveLength(players.length);
      const sounding = players.filter((notes) => notes.length > 0);
      for (const [p, notes] of players.entries())
        expect(byOnset(itemAt(tracks, p))).toEqual(settledOnsets(notes));
      sounding.forEach((notes, p) => {
        const heard = itemAt(toned, p).notes.map(({ ticks, midi }) => ({ onset: ticks, pitch: midi }));
        expect(byOnset(heard)).toEqual(settledOnsets(notes));
      });
    }
  });

  it('has everybody in the band behind the singer too, and no key struck while it sounds', () => {
    let behind = 0;
    for (const { song, players } of written) {
      const { content } = write('a.mid', { ...song, feel: { ratio: 1 } }, players);
      const toned = new tonejs.Midi(content).tracks;
      const settled = settledNotes(song);
      for (const { id, name } of players) {
        const track = toned.find((each) => each.name.startsWith(`${name},`)) ?? { notes: [] };
        const heard = new Set(byOnset(track.notes.map(({ ticks, midi }) => ({ onset: ticks, pitch: midi }))));
        const own = settledOnsets(settled.get(id) ?? []);
        expect(own.filter((each) => !heard.has(each))).toEqual([]);
        behind += track.notes.length - own.length;
        const ends = new Map<number, number>();
        for (const { ticks, durationTicks, midi } of [...track.notes].sort((a, b) => a.ticks - b.ticks)) {
          expect(ticks).toBeGreaterThanOrEqual(ends.get(midi) ?? 0);
          ends.set(midi, ticks + durationTicks);
        }
      }
    }
    console.log(`${behind} notes of backup in ${written.length} MIDI files`);
    expect(behind).toBeGreaterThan(5000);
  });
});

const settledOnsets = (notes: readonly FillNote[]): string[] =>
  byOnset(notes.map(({ tick, midi }) => ({ onset: tick, pitch: midi })));

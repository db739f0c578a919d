import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Result } from '../../../lib/base';
import { readBand, readSong } from '../../../lib/document';
import { type BandFile, readBandFile, wholeBand, writeBandFile } from '../../../lib/exchange';
import { plainSong } from '../../faults/songs';
import { ANSWERING, act, BANDING, bandCrowd, moves, SHAPING, songCrowd } from '../document/crowd';
import { BAND, SONG } from '../document/sample';

const must = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(`${result.error.what}, ${result.error.where}`);
  return result.value;
};
const [first] = BAND.songs;
if (!first) throw new Error('the sample band has songs');
const whole: BandFile = {
  band: BAND,
  songs: [
    { ...SONG, id: first.id, title: first.title },
    ...BAND.songs.slice(1).map(({ id }) => plainSong(id)),
  ],
};

describe('a band file', () => {
  it('gives back every band and song that people can make by edits', () => {
    fc.assert(
      fc.property(moves(1, 30), moves(1, 30), (ofBand, ofSong) => {
        const band = bandCrowd(1)[0];
        const song = songCrowd(1)[0];
        if (!band || !song) throw new Error('one of each');
        for (const move of ofBand) act(band, BANDING, move);
        for (const move of ofSong) act(song, [...SHAPING, ...ANSWERING], move);
        const file: BandFile = {
          band: readBand(band.doc).band,
          songs: [readSong(song.doc).song, plainSong('other')],
        };
        const text = writeBandFile(file);
        expect(must(readBandFile(text))).toEqual(file);
      }),
      { numRuns: 60 },
    );
  });

  // Source, from memory: RFC 8259: a JSON text is read by any reader of JSON. The names are those that its docstring documents.
  it('is open JSON that says what it is, of which version', () => {
    const { format, version, band, songs } = JSON.parse(writeBandFile(whole));
    expect({ format, version }).toEqual({ format: 'breathmark band file', version: 1 });
    expect(band.players[0].name).toBe(BAND.players[0]?.name);
    expect(songs.map(({ id }: { id: string }) => id)).toEqual(BAND.songs.map(({ id }) => id));
  });

  it('that was cut off anywhere is refused with where and how to mend it, and never half read', () => {
    const text = writeBandFile(whole).trimEnd();
    fc.assert(
      fc.property(fc.nat(text.length - 1), (length) => {
        const read = readBandFile(text.slice(0, length));
        expect(read.ok).toBe(false);
        if (!read.ok) for (const part of Object.values(read.error)) expect(part).not.toBe('');
      }),
      { numRuns: 60 },
    );
  });

  it('of a newer version, of another kind, or with a value that cannot be is refused by what is wrong', () => {
    const raw = JSON.parse(writeBandFile(whole));
    const why = (value: unknown) => {
      const read = readBandFile(JSON.stringify(value));
      return read.ok ? null : `${read.error.what} | ${read.error.where}`;
    };
    expect(why({ ...raw, version: 2 })).toMatch(/version 2; up to 1/);
    expect(why({ ...raw, format: 'something else' })).toMatch(/no band file/);
    expect(why([])).toMatch(/no band file/);
    expect(why({ ...raw, band: { ...raw.band, openShare: 3 } })).toMatch(/band\.openShare/);
    expect(why({ ...raw, songs: [...raw.songs, { ...raw.songs[0], tempo: 'quick' }] })).toMatch(
      /songs\.3\.tempo/,
    );
  });
});

describe('a whole band', () => {
  it('holds each song of its list once; others come to the end of the list', () => {
    expect(must(wholeBand(whole))).toEqual({ band: BAND, songs: whole.songs });
    const more = must(wholeBand({ ...whole, songs: [...whole.songs, plainSong('extra')] }));
    expect(more.band.songs.map(({ id }) => id)).toEqual([...BAND.songs.map(({ id }) => id), 'extra']);
    expect(more.band.songs.slice(0, -1)).toEqual(BAND.songs);
  });

  it('with a song missing, twice, or without a band is none, and says which', () => {
    const what = (file: BandFile) => {
      const read = wholeBand(file);
      return read.ok ? null : read.error.what;
    };
    expect(what({ ...whole, songs: whole.songs.slice(1) })).toContain(`"${first.title}"`);
    expect(what({ ...whole, songs: [...whole.songs, plainSong(first.id)] })).toMatch(/twice/);
    expect(what({ ...whole, band: null })).toMatch(/songs alone/);
    const [ann] = BAND.players;
    expect(what({ ...whole, band: { ...BAND, players: ann ? [ann, ann] : [] } })).toMatch(/two players/);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt } from '@/lib/base';
import { newSongDocument, readSong } from '@/lib/document';
import {
  likelyWho,
  NOTHING_LEFT,
  playersNamedIn,
  setForBand,
  songForBand,
  songsForBand,
  songsOfFile,
  type Who,
} from '@/lib/exchange';
import {
  checkSong,
  type SetList,
  type Song,
  setListSchema,
  songSchema,
  USUAL_ENTRY,
  USUAL_SONG,
} from '@/lib/song';
import { plainSong } from '../../faults/songs';
import { ANSWERING, act, moves, SHAPING, songCrowd } from '../document/crowd';
import { BAND, SONG } from '../document/sample';
import { somebody } from '../players/somebody';

/** Everybody whom the songs made here can name. */
const THEIRS = ['ann', 'bo', 'cy', 'player-0'];
const someone = fc.constantFrom(...THEIRS, null);

/** A song as people make one, with all of whom it can name. */
const songs: fc.Arbitrary<Song> = fc
  .record({ made: moves(1, 30), starts: someone, counts: someone, ends: someone })
  .map(({ made, starts, counts, ends }) => {
    const one = itemAt(songCrowd(1), 0);
    for (const move of made) act(one, [...SHAPING, ...ANSWERING], move);
    const { song } = readSong(one.doc);
    return {
      ...song,
      start: { ...song.start, playerId: starts, counts },
      ending: { ...song.ending, signalBy: ends },
    };
  });

/** Each of theirs is one of ours or nobody; `ours` may be the same for two. */
const whos = (ours: fc.Arbitrary<string | null>): fc.Arbitrary<Who> =>
  fc
    .tuple(...THEIRS.map(() => ours))
    .map((is) => (id: string) => (THEIRS.includes(id) ? (is[THEIRS.indexOf(id)] ?? null) : null));

/** Every text and every field's name in a value, wherever it stands: knows nothing of what a song is. */
function textsIn(value: unknown): readonly string[] {
  if (typeof value === 'string') return [value];
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]) => [
    ...(Array.isArray(value) ? [] : [key]),
    ...textsIn(inner),
  ]);
}

describe('a song that comes into another band', () => {
  it('names nobody of the file any more, and holds to every rule of a song, whoever is who', () => {
    const ours = fc.constantFrom('our-1', 'our-2', 'our-3', null);
    fc.assert(
      fc.property(songs, whos(ours), (song, who) => {
        const { song: moved } = songForBand(song, 'new', who);
        expect(textsIn(moved).filter((text) => THEIRS.includes(text))).toEqual([]);
        expect(moved.id).toBe('new');
        expect(songSchema.parse(moved)).toEqual(moved);
        expect(checkSong(moved)).toEqual([]);
        const stored = readSong(newSongDocument(moved));
        expect(stored.broken).toEqual([]);
        expect(stored.song).toEqual(moved);
      }),
      { numRuns: 150 },
    );
  });

  it('is the same song where everybody is who they were, and nothing is left behind', () => {
    fc.assert(
      fc.property(songs, (song) => {
        expect(songForBand(song, song.id, (id) => id)).toEqual({ song, left: NOTHING_LEFT });
      }),
      { numRuns: 60 },
    );
  });

  it('comes back as it was by the way back, where everybody is somebody else', () => {
    fc.assert(
      fc.property(songs, (song) => {
        const there = songForBand(song, 'new', (id) => `our-${id}`);
        expect(there.left).toEqual(NOTHING_LEFT);
        const back = songForBand(there.song, song.id, (id) => id.replace(/^our-/, ''));
        expect(back.song).toEqual(song);
      }),
      { numRuns: 60 },
    );
  });

  it('keeps what is nobody’s, and tells how much of what was theirs it leaves', () => {
    const put = (id: string, playerId: string | null) => ({
      id,
      place: { passId: 'pass-2', noteId: id, voiceId: 'lead' },
      extent: { from: 0, to: 960 },
      holding: playerId === null ? ({ kind: 'left open' } as const) : ({ kind: 'ad lib', playerId } as const),
      by: 'bo',
      at: 1,
    });
    const song: Song = {
      ...SONG,
      settled: [put('1', 'bo'), put('2', 'ann'), put('3', null)],
      proposals: [put('4', 'bo'), put('5', 'ann')],
      votes: [
        { proposalId: '4', playerId: 'ann', yes: true },
        { proposalId: '5', playerId: 'ann', yes: true },
        { proposalId: '5', playerId: 'bo', yes: false },
      ],
      comments: [{ id: 'c', place: null, text: 'bo likes it', by: 'bo', at: 1 }],
      start: { ...SONG.start, playerId: 'bo', counts: 'ann' },
      ending: { ...SONG.ending, signalBy: null },
      singing: [{ passId: 'pass-1', voiceId: 'tenor', noteId: null, playerId: 'bo' }],
    };
    // Bo is nobody of ours. Counted by hand: one space of his; one idea, with Ann's vote on it and his on another; his role in one pass, and
    // his banjo; that he starts it and sings in a pass; and that he said 2, 3, 5 and the comment.
    const { song: moved, left } = songForBand(song, 'new', (id) => (id === 'ann' ? 'our-ann' : null));
    expect(left).toEqual({
      spaces: 1,
      proposals: 1,
      votes: 2,
      roles: 1,
      settings: 1,
      singers: 2,
      unsigned: 4,
    });
    expect(moved.settled.map(({ id, holding, by }) => [id, holding, by])).toEqual([
      ['2', { kind: 'ad lib', playerId: 'our-ann' }, null],
      ['3', { kind: 'left open' }, null],
    ]);
    expect(moved.votes).toEqual([{ proposalId: '5', playerId: 'our-ann', yes: true }]);
    expect(moved.passes.map(({ roles }) => roles)).toEqual([
      { 'our-ann': 'break' },
      { 'our-ann': 'lead' },
      {},
    ]);
    expect(moved.settings.map(({ playerId }) => playerId)).toEqual(['our-ann']);
    expect(moved.comments).toEqual([{ id: 'c', place: null, text: 'bo likes it', by: null, at: 1 }]);
    expect(moved.start).toMatchObject({ playerId: null, counts: 'our-ann' });
    // Nobody is not the same as silence: the voice goes on being sung.
    expect(moved.singing).toEqual([]);
  });

  it('takes the first word where two of the file are one of ours', () => {
    const { song: moved } = songForBand(SONG, 'new', () => 'our-ann');
    expect(moved.passes.map(({ roles }) => roles)).toEqual([
      { 'our-ann': 'break' },
      { 'our-ann': 'lead' },
      {},
    ]);
    expect(moved.settings).toEqual([{ ...SONG.settings[0], playerId: 'our-ann' }]);
  });

  it('names those whom its text names, and no others', () => {
    fc.assert(
      fc.property(songs, (song) => {
        const found = new Set(textsIn(song).filter((text) => THEIRS.includes(text)));
        expect([...playersNamedIn(song)].sort()).toEqual([...found].sort());
      }),
      { numRuns: 60 },
    );
  });
});

describe('a set list that comes into another band', () => {
  const set: SetList = {
    id: 'set',
    name: 'Friday',
    targetSeconds: 2700,
    entries: [
      { ...USUAL_ENTRY, id: 'e1', songId: 'a', linkBars: 2, hold: 'first' },
      { ...USUAL_ENTRY, id: 'e2', songId: 'b', linkBars: 4, breakAfter: true },
      { ...USUAL_ENTRY, id: 'e3', songId: 'c', hold: 3, note: 'slowly' },
      { ...USUAL_ENTRY, id: 'e4', songId: 'a', linkBars: 1 },
    ],
    pairs: [
      { songs: ['a', 'b'], wanted: 'apart' },
      { songs: ['a', 'c'], wanted: 'near' },
    ],
  };
  const same = { setId: set.id, entryId: ({ id }: { id: string }) => id };

  it('is the same where every song is the one it was', () => {
    expect(setForBand(set, (id) => id, same)).toEqual(set);
  });

  it('leaves out what has no song, and what leaned on it', () => {
    // By hand: without b, a goes over to nothing, and the break that came after b comes after a; c is no longer the third.
    const moved = setForBand(set, (id) => (id === 'b' ? null : ({ a: 'z', c: 'y' }[id] ?? null)), same);
    expect(moved.entries).toEqual([
      { ...USUAL_ENTRY, id: 'e1', songId: 'z', hold: 'first', breakAfter: true },
      { ...USUAL_ENTRY, id: 'e3', songId: 'y', note: 'slowly' },
      { ...USUAL_ENTRY, id: 'e4', songId: 'z', linkBars: 1 },
    ]);
    // A pair names its songs by id, in order.
    expect(moved.pairs).toEqual([{ songs: ['y', 'z'], wanted: 'near' }]);
    expect(setForBand(set, () => null, same)).toEqual({ ...set, entries: [], pairs: [] });
  });

  it('names no song and has no id of the file any more, and passes its schema', () => {
    const wanted = fc.uniqueArray(fc.constantFrom<string[]>('a', 'b', 'c'));
    fc.assert(
      fc.property(wanted, (coming) => {
        let made = 0;
        const moved = setForBand(set, (id) => (coming.includes(id) ? `new-${id}` : null), {
          setId: 'new',
          entryId: () => `entry-${made++}`,
        });
        const theirs = ['a', 'b', 'c', 'set', 'e1', 'e2', 'e3', 'e4'];
        expect(textsIn(moved).filter((text) => theirs.includes(text))).toEqual([]);
        expect(setListSchema.parse(moved)).toEqual(moved);
        expect(moved.entries.map(({ songId }) => songId)).toEqual(
          set.entries.filter(({ songId }) => coming.includes(songId)).map(({ songId }) => `new-${songId}`),
        );
      }),
      { numRuns: 30 },
    );
  });
});

describe('the songs of a band file', () => {
  const file = {
    band: { ...BAND, songs: BAND.songs.slice(1) },
    songs: ['unlisted', 'late', 'hay'].map((id) => ({ ...plainSong(id), title: `Song ${id}` })),
  };

  it('stand in the order of its list, with what it says of them; what it does not name comes last', () => {
    const read = songsOfFile(file);
    expect(read.ok && read.value.map(({ song, entry }) => [song.id, entry])).toEqual([
      ['hay', BAND.songs[1]],
      ['late', BAND.songs[2]],
      ['unlisted', { ...USUAL_SONG, id: 'unlisted', title: 'Song unlisted' }],
    ]);
    const alone = songsOfFile({ ...file, band: null });
    expect(alone.ok && alone.value.map(({ song }) => song.id)).toEqual(['unlisted', 'late', 'hay']);
  });

  it('are a problem where one stands in it twice', () => {
    const read = songsOfFile({ ...file, songs: [...file.songs, plainSong('hay')] });
    expect(read.ok ? null : read.error.what).toBe('the song "Song hay" stands in it twice');
  });

  it('get ids that nothing has, and their entries with them', () => {
    const read = songsOfFile(file);
    if (!read.ok) throw new Error(read.error.what);
    let made = 0;
    const moved = songsForBand(
      read.value,
      () => null,
      () => `new-${made++}`,
    );
    expect(moved.map(({ from, song, entry }) => [from, song.id, entry.id, entry.archived])).toEqual([
      ['hay', 'new-0', 'new-0', false],
      ['late', 'new-1', 'new-1', true],
      ['unlisted', 'new-2', 'new-2', false],
    ]);
    for (const { song, entry } of moved) expect(entry.title).toBe(song.title);
  });
});

describe('who of the file is most likely who', () => {
  const player = (id: string, name: string, main: 'guitar' | 'banjo' | 'fiddle') =>
    somebody(id, { name, instruments: [main] });

  it('is told by the same id, else by name and main instrument, each of ours once', () => {
    const ours = [
      player('1', 'Ann', 'guitar'),
      player('2', 'Ben', 'banjo'),
      player('3', 'Cal', 'fiddle'),
      player('4', 'Ben', 'fiddle'),
    ];
    const theirs = [
      player('a', ' ann ', 'guitar'),
      player('b', 'Ben', 'fiddle'),
      player('c', 'Ann', 'guitar'),
      player('d', 'Cal', 'banjo'),
      // Has taken another name since; the file is the band's own.
      player('2', 'Benjamin', 'guitar'),
    ];
    expect([...likelyWho(theirs, ours)].sort()).toEqual([
      ['2', '2'],
      ['a', '1'],
      ['b', '4'],
    ]);
  });
});

import { describe, expect, it } from 'vitest';
import { must } from '../../../lib/base';
import { readAbc } from '../../../lib/exchange';
import { openStrings } from '../../../lib/instruments';
import { findClashes } from '../../../lib/plan';
import { whoIsFree } from '../../../lib/players';
import { bandSchema, checkSong, roadmapTimeline, type Song, songSchema } from '../../../lib/song';
import { findSpaces, spaceAt } from '../../../lib/spaces';
import { demoBand } from '../../../server/demo';
import { BEES_IN_THE_BOXCAR } from '../../../server/demo/bees-in-the-boxcar';
import { NORTH_SIDE_SNOW } from '../../../server/demo/north-side-snow';

const { band, songs } = await demoBand();
const [waltz, fast] = songs as readonly [Song, Song];

describe('the demo', () => {
  it('is the same every time, and another one with other ids', async () => {
    expect(await demoBand()).toEqual({ band, songs });
    let count = 0;
    const other = await demoBand(() => `id ${count++}`);
    expect(other.band.name).toBe(band.name);
    expect(other.band.id).not.toBe(band.id);
    expect(other.songs.map((song) => song.id)).toEqual(other.band.songs.map((song) => song.id));
  });

  it('is valid', () => {
    expect(bandSchema.safeParse(band).error).toBeUndefined();
    for (const song of songs) {
      expect(songSchema.safeParse(song).error).toBeUndefined();
      expect(checkSong(song)).toEqual([]);
    }
  });

  it('has five players, each with an ink, initials and a part of their own', () => {
    expect(band.players.map((player) => player.instruments[0])).toEqual([
      'guitar',
      'banjo',
      'mandolin',
      'fiddle',
      'bass',
    ]);
    expect(band.players.map((player) => player.ink)).toEqual([0, 1, 2, 3, 4]);
    expect(new Set(band.players.map((player) => player.initials)).size).toBe(5);
    expect(band.players.map((player) => player.sings)).toEqual(['lead', 'tenor', 'baritone', 'none', 'none']);
  });

  it.each([
    ['the waltz', NORTH_SIDE_SNOW],
    ['the fast song', BEES_IN_THE_BOXCAR],
  ])('reads the text of %s without anything guessed, left out or doubted', async (_name, abc) => {
    const read = await readAbc(abc, { makeId: counting(), title: 'none' });
    if (!read.ok) throw new Error(read.error.what);
    expect(read.value.report).toMatchObject({ guessed: [], leftOut: [], warnings: [] });
  });

  // Common practice, no source: counted by hand from the page.
  it('is one slow waltz with swing and one fast song in four', () => {
    expect(waltz).toMatchObject({ key: { tonic: 'G', mode: 'major' }, tempo: 84, feel: { ratio: 2 } });
    expect(fast).toMatchObject({ key: { tonic: 'A', mode: 'major' }, tempo: 208, feel: { ratio: 1 } });
    const shape = (song: Song) =>
      song.sections.map(({ name, bars }) => [name, bars.filter((bar) => !bar.pickup).length]);
    expect(shape(waltz)).toEqual([
      ['Kick-off', 8],
      ['Verse', 16],
      ['Chorus', 18],
      ['Tag', 6],
    ]);
    expect(shape(fast)).toEqual([
      ['Verse', 16],
      ['Chorus', 16],
      ['Tag', 6],
    ]);
  });

  // Common practice, no source: counted by hand from the page. A pickup completes the short bar before it.
  it('loses no beat from one pass into the next', () => {
    for (const [song, quarters] of [
      [waltz, 8 * 3 + 4 * 16 * 3 + 3 * 18 * 3 + 8 * 3 + 6 * 3 + 1],
      [fast, 6 * 16 * 4 + 3 * 16 * 4 + 6 * 4 + 1],
    ] as const) {
      expect(roadmapTimeline(song).endTick).toBe(quarters * 960);
    }
  });

  it('gives every player a role in every pass and a setup that exists', () => {
    for (const song of songs) {
      for (const pass of song.passes)
        expect(Object.keys(pass.roles)).toEqual(band.players.map(({ id }) => id));
      for (const setting of song.settings) expect(openStrings(setting).ok).toBe(true);
      expect(song.settings.map((setting) => setting.playerId)).toEqual(band.players.map(({ id }) => id));
    }
    expect(fast.settings.slice(0, 2)).toMatchObject([{ capo: 2 }, { capo: 2, fifthCapo: 2 }]);
  });

  // Common practice, no source: counted by hand from the page, the beats from the voice's letting go to its coming in.
  it('has the spaces that its page shows', () => {
    const beats = (song: Song, passName: string) => {
      const pass = must(
        song.passes.find((each) => each.name === passName),
        passName,
      );
      return findSpaces(roadmapTimeline(song))
        .filter((space) => space.place.passId === pass.id)
        .map((space) => (space.kind === 'between' ? space.beats : space.kind));
    };
    expect(beats(waltz, 'Verse 1')).toEqual([3, 2, 4]);
    expect(beats(waltz, 'Chorus 1')).toEqual([4, 'under-tail', 5, 6]);
    expect(beats(waltz, 'Break, mandolin')).toEqual(['instrumental']);
    expect(beats(fast, 'Verse 1')).toEqual([5, 4, 6, 4]);
    expect(beats(fast, 'Chorus 1')).toEqual(['half-open', 'under-tail', 5, 4]);
  });

  it('settles at least two fills, one ad lib and one space left open in each song', () => {
    for (const song of songs) {
      const kinds = song.settled.map((answer) => answer.holding.kind);
      expect(kinds.filter((kind) => kind === 'fill').length).toBeGreaterThanOrEqual(2);
      expect(kinds).toContain('ad lib');
      expect(kinds).toContain('left open');
      const unclaimed = findSpaces(roadmapTimeline(song)).length - kinds.length;
      expect(unclaimed).toBeGreaterThan(5);
    }
  });

  it('hangs every answer on a space of its own, with a holder who is free for it', () => {
    for (const song of songs) {
      const timeline = roadmapTimeline(song);
      const spaces = findSpaces(timeline);
      const context = { timeline, players: band.players, spaces, settled: song.settled };
      const found = song.settled.map((answer) =>
        must(spaceAt(spaces, answer.place, timeline), `the space of ${answer.id}`),
      );
      expect(new Set(found.map((space) => space.id)).size).toBe(song.settled.length);
      song.settled.forEach(({ holding, extent }, i) => {
        const space = must(found[i], 'the space');
        expect(extent.to - extent.from).toBe(space.endTick - space.startTick);
        if (holding.kind === 'left open') return;
        const freedom = whoIsFree(space, context).find((each) => each.playerId === holding.playerId);
        expect(freedom?.free).toBe(true);
        if (holding.kind !== 'fill') return;
        expect(holding.fill.notes.length).toBeGreaterThan(2);
        for (const note of holding.fill.notes) {
          expect(note.tick).toBeGreaterThanOrEqual(extent.from);
          expect(note.tick + note.ticks).toBeLessThanOrEqual(extent.to);
        }
      });
    }
  });
});

function counting(): () => string {
  let count = 0;
  return () => `id ${count++}`;
}

describe('what the demo has settled', () => {
  it.each([
    ['the waltz', waltz],
    ['the fast song', fast],
  ])('can be played and heard as it is written: %s', (_name, song) => {
    const timeline = roadmapTimeline(song);
    const context = {
      timeline,
      players: band.players,
      spaces: findSpaces(timeline),
      settled: song.settled,
    };
    const told = findClashes(context).map(({ bar, rule, detail }) => `bar ${bar}: ${rule}, ${detail}`);
    expect(told).toEqual([]);
  });
});

import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { readAnswer } from '@/app/hooks/answers';
import { itemAt, makeIds, randomFrom } from '@/lib/base';
import { SongEdits } from '@/lib/document';
import { songDocument } from '@/lib/protocol';
import type { Band, Song } from '@/lib/song';
import { demoBand } from '@/server/demo';
import { TestServer } from './harness';

vi.setConfig({ testTimeout: 90_000, hookTimeout: 90_000 });

let server: TestServer;
let band: Band;
let song: Song;
let player = '';

beforeAll(async () => {
  const demo = await demoBand();
  server = await TestServer.start({ demo: async () => demo });
  band = demo.band;
  song = itemAt(demo.songs, 0);
  player = (await server.ask('/api/demo/enter', { body: {} })).cookie ?? '';
});
afterAll(() => server.stop());

const asked = async () => {
  const { status, body } = await server.ask('/api/bands/demo/set-songs', { cookie: player });
  expect(status).toBe(200);
  const read = readAnswer('setSongs', body);
  if (read === null) throw new Error('a page cannot read it');
  return read.value.songs;
};

describe('the songs of a band, for a set’s clock', () => {
  it('are all of them, and longer at once where somebody slows one down', async () => {
    const before = await asked();
    expect(before.map(({ id }) => id)).toEqual(band.songs.map(({ id }) => id));
    const slow = (song.tempo ?? 0) / 2;
    await server.composed.rooms.edit(songDocument('demo', song.id), (doc) => {
      const edits = new SongEdits(doc, { by: null, now: () => 0, makeId: makeIds(randomFrom(5)) });
      edits.setTempo(slow);
      edits.destroy();
    });
    const after = await asked();
    const secondsOf = (songs: typeof after) => songs.find(({ id }) => id === song.id)?.seconds ?? 0;
    // By hand: at half the tempo every beat lasts twice as long.
    expect(secondsOf(after)).toBeCloseTo(2 * secondsOf(before), 6);
    expect(after.filter(({ id }) => id !== song.id)).toEqual(before.filter(({ id }) => id !== song.id));
  });

  it('go to nobody outside the band', async () => {
    expect((await server.ask('/api/bands/demo/set-songs')).status).toBe(401);
    const { cookie } = await server.newBand();
    expect((await server.ask('/api/bands/demo/set-songs', { cookie })).status).toBe(403);
    expect((await server.ask('/api/bands/none/set-songs', { cookie: player })).status).not.toBe(200);
  });
});

import { afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { EveningAtHand, type EveningWays } from '../../../app/set/substitute/evening';
import type { openDocument } from '../../../app/sync';
import { itemAt, must } from '../../../lib/base';
import { keptIn, readSong, SongEdits } from '../../../lib/document';
import { songDocument } from '../../../lib/protocol';
import type { Player, Song } from '../../../lib/song';
import { substituteIn } from '../../../lib/substitutes';
import { demoBand } from '../../../server/demo';
import { somebody } from '../players/somebody';
import { cuttable, TestServer, until } from '../server/harness';

// An evening in other hands, on the real server. What becomes of each song is held by tests/unit/substitutes.

let demo: Awaited<ReturnType<typeof demoBand>>;
beforeAll(async () => {
  demo = await demoBand();
});
let server: TestServer;
let cookie: string;
let bandId: string;
let songIds: readonly string[];
/** Somebody else's page, with all songs open. */
let others: readonly ReturnType<typeof openDocument>[];
const banjo = (): Player =>
  must(
    demo.band.players.find(({ instruments }) => instruments[0] === 'banjo'),
    'a banjo',
  );
const lou = somebody('lou', { name: 'Lou', instruments: ['banjo'] });

beforeEach(async () => {
  server = await TestServer.start();
  const made = await server.newBand();
  ({ cookie } = made);
  bandId = made.band.bandId;
  const posted: string[] = [];
  for (const song of [itemAt(demo.songs, 0), itemAt(demo.songs, 1), itemAt(demo.songs, 1)]) {
    const id = `song${posted.length}`;
    const answer = await server.ask(`/api/bands/${bandId}/songs`, {
      cookie,
      body: { song: { ...song, id } },
    });
    expect(answer.status).toBe(201);
    posted.push(answer.body.songId);
  }
  songIds = posted;
  others = songIds.map((id) => server.open(songDocument(bandId, id), cookie));
  await Promise.all(others.map(({ settled }) => settled));
});
afterEach(() => server.stop());

const songAt = (index: number): Song => readSong(itemAt(others, index).doc).song;
const keptAt = (index: number) => keptIn(itemAt(others, index).doc).map(({ name }) => name);
const NAME = () => `Before Lou stood in for ${banjo().name}`;
/** In how many songs somebody has a role that is not laying out, or a fill. */
const songsOf = (id: string): readonly number[] =>
  songIds.flatMap((_, i) => {
    const { passes, settled } = songAt(i);
    const does = passes.some(({ roles }) => roles[id] !== undefined && roles[id] !== 'lay out');
    const holds = settled.some(({ holding }) => holding.kind !== 'left open' && holding.playerId === id);
    return does || holds ? [i] : [];
  });

let ids = 0;

function evening(ways: Partial<EveningWays> = {}) {
  const made = new EveningAtHand(
    { songIds, players: [...demo.band.players, lou], from: banjo(), to: lou },
    {
      by: 'me',
      now: () => 7,
      makeId: () => {
        ids += 1;
        return `mine${ids}`;
      },
      openSong: (songId) => server.open(songDocument(bandId, songId), cookie),
      work: async (request) => substituteIn(request),
      stopWork: () => {},
      ...ways,
    },
  );
  made.begin();
  const says = () => made.state.getSnapshot();
  const kinds = () => says().songs.map(({ state }) => state.kind);
  return { made, says, kinds };
}

describe('an evening in other hands', () => {
  it('is looked over first, taken with one step in each song, and given back with what others did meanwhile left alone', async () => {
    const { made, says, kinds } = evening();
    await until(() => says().ahead === 0);
    expect(kinds()).toEqual(['worked out', 'worked out', 'worked out']);
    const before = songIds.map((_, i) => songAt(i));
    expect(songsOf('lou')).toEqual([]);

    let updates = 0;
    for (const { doc } of others)
      doc.on('update', () => {
        updates += 1;
      });
    made.take();
    await until(() => says().unkept === 0 && songsOf('lou').length === 3);
    expect(updates).toBe(3);
    expect(kinds()).toEqual(['taken', 'taken', 'taken']);
    expect(songsOf(banjo().id)).toEqual([]);
    expect([0, 1, 2].map(keptAt)).toEqual([[NAME()], [NAME()], [NAME()]]);

    const page = new SongEdits(itemAt(others, 1).doc, { by: 'other', now: () => 8, makeId: () => 'o1' });
    page.setTitle('Renamed meanwhile');
    await until(() => says().songs.length === 3);
    made.giveBack();
    await until(() => songsOf('lou').length === 0 && says().unkept === 0);
    expect(kinds()).toEqual(['given back', 'given back', 'given back']);
    expect([0, 2].map(songAt)).toEqual([before[0], before[2]]);
    expect(songAt(1)).toEqual({ ...before[1], title: 'Renamed meanwhile' });
    expect([0, 1, 2].map(keptAt)).toEqual([[], [], []]);
    expect(made.mayLeave()).toBe(true);
    made.leave();
  });

  it('is given back later, from another page, out of what was kept', async () => {
    const first = evening();
    await until(() => first.says().ahead === 0);
    const before = songIds.map((_, i) => songAt(i));
    first.made.take();
    // Left at once: what the server has not got yet still goes.
    first.made.leave();
    await until(() => songsOf('lou').length === 3);

    const later = evening();
    await until(() => later.says().ahead === 0);
    expect(later.says().canTake).toBe(0);
    expect(later.says().canGiveBack).toBe(3);
    later.made.giveBack();
    await until(() => songsOf('lou').length === 0);
    expect(songIds.map((_, i) => songAt(i))).toEqual(before);
    expect(keptAt(0)).toEqual([`Before going back to ${NAME()}`]);
    later.made.leave();
  });

  it('passes over a song that cannot be had, says so, and takes it in when it can', async () => {
    const line = cuttable(cookie);
    line.down(true);
    const far = must(songIds[1], 'a song');
    const { made, says, kinds } = evening({
      openSong: (songId) =>
        server.open(songDocument(bandId, songId), cookie, songId === far ? { sockets: line.sockets } : {}),
    });
    await until(() => says().ahead === 0);
    expect(kinds()).toEqual(['worked out', 'out of reach', 'worked out']);
    made.take();
    await until(() => songsOf('lou').length === 2);
    line.down(false);
    await until(() => kinds()[1] === 'worked out');
    made.take();
    await until(() => songsOf('lou').length === 3);
    expect(kinds()).toEqual(['taken', 'taken', 'taken']);
    made.leave();
  });

  it('says of a song that is not there why it cannot be had', async () => {
    const { made, says } = evening({
      openSong: (songId) =>
        server.open(songDocument(bandId, songId === songIds[2] ? 'gone' : songId), cookie),
    });
    await until(() => says().ahead === 0);
    expect(says().songs[2]?.state.kind).toBe('out of reach');
    expect(says().canTake).toBe(2);
    made.leave();
  });

  it('works out anew a song that somebody changes after it was worked out', async () => {
    let asked = 0;
    const { made, says } = evening({
      work: async (request) => {
        asked += 1;
        return substituteIn(request);
      },
    });
    await until(() => says().ahead === 0);
    expect(asked).toBe(3);
    const fill = must(
      songAt(1).settled.find(({ holding }) => holding.kind === 'fill' && holding.playerId === banjo().id),
      'a fill',
    );
    const page = new SongEdits(itemAt(others, 1).doc, { by: 'other', now: () => 8, makeId: () => 'o1' });
    page.unsettle(fill.place);
    await until(() => asked > 3 && says().ahead === 0);
    const state = says().songs[1]?.state;
    const writes = state?.kind === 'worked out' ? state.substitute.writes.answers : [];
    expect(writes.some(({ answerId }) => answerId === fill.id)).toBe(false);
    expect(writes.length).toBeGreaterThan(0);
    made.leave();
  });

  it('stops at a word, keeps what there is, and goes on from there', async () => {
    let letGo: (() => void) | null = null;
    let asked = 0;
    const { made, says, kinds } = evening({
      work: async (request) => {
        asked += 1;
        if (asked !== 2) return substituteIn(request);
        // The second is long at work, until it is stopped.
        await new Promise<void>((done) => {
          letGo = done;
        });
        return null;
      },
      stopWork: () => letGo?.(),
    });
    await until(() => asked === 2 && kinds().includes('being worked out'));
    made.stop();
    await until(() => !kinds().includes('being worked out'));
    expect(says().canTake).toBe(1);
    expect(says().ahead).toBe(2);
    made.goOn();
    await until(() => says().ahead === 0);
    expect(says().canTake).toBe(3);
    made.leave();
  });
});

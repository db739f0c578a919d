import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { makeIds, randomFrom } from '@/lib/base';
import { BandEdits, SongEdits } from '@/lib/document';
import { type BookJob, bandDocument, songDocument } from '@/lib/protocol';
import type { Band, Song } from '@/lib/song';
import { demoBand } from '@/server/demo';
import { attachmentNamed } from '@/server/http/file-answer';
import { fileNameOf } from '@/server/print';
import { TestServer } from './harness';

// Threads from the sources are slow to begin on a busy machine.
vi.setConfig({ testTimeout: 90_000, hookTimeout: 90_000 });

let server: TestServer;
let band: Band;
let song: Song;
let player = '';
let listener = '';

beforeAll(async () => {
  const demo = await demoBand();
  server = await TestServer.start({ demo: async () => demo });
  band = demo.band;
  const [first] = demo.songs;
  if (first === undefined) throw new Error('the demo has no songs');
  song = first;
  player = (await server.ask('/api/demo/enter', { body: {} })).cookie ?? '';
  const given = await server.ask('/api/bands/demo/links', { cookie: player, body: { kind: 'listener' } });
  listener = await server.enterBy(given.body.path);
});
afterAll(() => server.stop());

const get = (path: string, cookie: string | null) =>
  fetch(`${server.url}/api/bands/demo${path}`, { headers: cookie === null ? {} : { Cookie: cookie } });

const bytesOf = async (response: Response) => new Uint8Array(await response.arrayBuffer());
const opening = (bytes: Uint8Array, count: number) =>
  Buffer.from(bytes.subarray(0, count)).toString('latin1');

/** Asks until a book is no longer being made. */
async function ended(bookId: string): Promise<BookJob> {
  let job: BookJob | null = null;
  await vi.waitFor(
    async () => {
      job = (await server.ask(`/api/bands/demo/books/${bookId}`, { cookie: listener })).body;
      expect(['waiting', 'at work']).not.toContain(job?.state);
    },
    { interval: 150, timeout: 60_000 },
  );
  if (job === null) throw new Error('no answer');
  return job;
}

const start = (body: unknown, setId = band.sets[0]?.id ?? '') =>
  server.ask(`/api/bands/demo/sets/${setId}/books`, { cookie: listener, body });

describe('a part as PDF', () => {
  it('goes to a listener, under the names of song and player, stamped with its day', async () => {
    const [one] = band.players;
    const answer = await get(`/songs/${song.id}/parts/${one?.id}.pdf?paper=letter`, listener);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toBe('application/pdf');
    expect(answer.headers.get('content-disposition')).toContain(
      `"${fileNameOf(`${song.title} - ${one?.name}`)}.pdf"`,
    );
    expect(answer.headers.get('cache-control')).toBe('no-store');
    const bytes = await bytesOf(answer);
    expect(answer.headers.get('content-length')).toBe(String(bytes.length));
    // ISO 32000: a file begins with its version and ends with the mark of its end; from memory.
    expect(opening(bytes, 5)).toBe('%PDF-');
    expect(Buffer.from(bytes.subarray(-7)).toString('latin1').trim()).toBe('%%EOF');
  });

  it('goes to nobody else', async () => {
    const path = `/songs/${song.id}/parts/${band.players[0]?.id}.pdf`;
    expect((await get(path, null)).status).toBe(401);
    const { cookie } = await server.newBand();
    expect((await get(path, cookie)).status).toBe(403);
  });

  it('is refused for what is not there, and for a look that there is not', async () => {
    const id = band.players[0]?.id;
    for (const [path, status] of [
      [`/songs/none/parts/${id}.pdf`, 404],
      [`/songs/${song.id}/parts/none.pdf`, 404],
      [`/songs/${song.id}/parts/${id}`, 404],
      [`/songs/${song.id}/parts/${id}.pdf?paper=a0`, 400],
      [`/songs/${song.id}/parts/${id}.pdf?density=thick`, 400],
      [`/songs/${song.id}/parts/${id}.pdf?chords=letters`, 400],
      [`/songs/${song.id}/parts/%00.pdf`, 404],
    ] as const)
      expect((await get(path, player)).status, path).toBe(status);
  });
});

describe('a crib and a sheet to practise', () => {
  it('go to whoever may read the band, and to nobody else', async () => {
    const [one] = band.players;
    const fill = song.settled.find(({ holding }) => holding.kind === 'fill');
    for (const path of [
      `/cribs/${one?.id}.pdf`,
      '/cribs/new.pdf?instrument=resonator%20guitar&paper=letter',
      `/practice/${fill?.id}.pdf`,
      `/parts/${one?.id}.pdf?chords=degrees`,
    ]) {
      const answer = await get(`/songs/${song.id}${path}`, listener);
      expect(answer.status, path).toBe(200);
      expect(opening(await bytesOf(answer), 5), path).toBe('%PDF-');
      expect((await get(`/songs/${song.id}${path}`, null)).status, path).toBe(401);
    }
  });

  it('are refused where there is no such player, instrument or fill', async () => {
    const open = song.settled.find(({ holding }) => holding.kind !== 'fill');
    for (const [path, status] of [
      ['/cribs/none.pdf', 404],
      ['/cribs/new.pdf?instrument=kazoo', 400],
      ['/cribs/new', 404],
      ['/practice/none.pdf', 404],
      [`/practice/${open?.id}.pdf`, 404],
    ] as const)
      expect((await get(`/songs/${song.id}${path}`, player)).status, path).toBe(status);
  });
});

describe('a song as a file', () => {
  it('is given in each format with its type, and said what it leaves out', async () => {
    // Sources: MusicXML 4.0 (W3C) for its packed type; PKWARE's APPNOTE for how a zip begins; the ABC standard 2.1 and IANA; from memory.
    const kinds = [
      ['mxl', 'application/vnd.recordare.musicxml', 'PK'],
      ['abc', 'text/vnd.abc; charset=utf-8', 'X:1'],
      ['breathmark.json', 'application/json; charset=utf-8', '{'],
    ] as const;
    for (const [ending, type, first] of kinds) {
      const answer = await get(`/songs/${song.id}/file.${ending}`, listener);
      expect(answer.status, ending).toBe(200);
      expect(answer.headers.get('content-type'), ending).toBe(type);
      expect(answer.headers.get('content-disposition'), ending).toContain(`${song.title}.${ending}`);
      const bytes = await bytesOf(answer);
      expect(Buffer.from(bytes).toString('utf8').trimStart().startsWith(first), ending).toBe(true);
    }
    expect((await get(`/songs/${song.id}/file.exe`, listener)).status).toBe(404);
    expect((await get(`/songs/${song.id}/file.constructor`, listener)).status).toBe(404);
    expect((await get(`/songs/${song.id}/file.mid`, null)).status).toBe(401);
    const { body } = await server.ask(`/api/bands/demo/songs/${song.id}/left-out`, { cookie: listener });
    expect(Object.keys(body.byEnding).sort()).toEqual([
      'abc',
      'breathmark.json',
      'mid',
      'musicxml',
      'mxl',
      'txt',
    ]);
    expect(body.byEnding.txt.length).toBeGreaterThan(0);
    expect(body.byEnding['breathmark.json']).toEqual([]);
  });
});

describe('the evening books', () => {
  it('are one PDF for one player', async () => {
    const begun = await start({ playerIds: [band.players[1]?.id] });
    expect(begun.status).toBe(202);
    const job = await ended(begun.body.bookId);
    expect(job).toMatchObject({ state: 'ready', done: 2, of: 2, problem: null });
    const file = await get(`/books/${job.bookId}/file`, listener);
    expect(file.headers.get('content-type')).toBe('application/pdf');
    expect(opening(await bytesOf(file), 5)).toBe('%PDF-');
  });

  it('are an archive for all, while two ask at once and a third edits', async () => {
    const asked = [start({ density: 'cues' }), start({ density: 'cues' })];
    await server.composed.rooms.edit(songDocument('demo', song.id), (doc) => {
      const edits = new SongEdits(doc, { by: null, now: () => 0, makeId: makeIds(randomFrom(3)) });
      edits.setTitle('Another name');
      edits.destroy();
    });
    for (const begun of await Promise.all(asked)) {
      const job = await ended(begun.body.bookId);
      expect(job.state).toBe('ready');
      const file = await get(`/books/${job.bookId}/file`, listener);
      expect(file.headers.get('content-type')).toBe('application/zip');
      const files = unzipSync(await bytesOf(file));
      expect(Object.keys(files).sort()).toEqual(
        [
          ...band.players.map(({ name }) => `${fileNameOf(`${band.sets[0]?.name} - ${name}`)}.pdf`),
          `${band.sets[0]?.name} - floor list.pdf`,
        ].sort(),
      );
      for (const bytes of Object.values(files)) expect(opening(bytes, 5)).toBe('%PDF-');
    }
  });

  it('say what each part is stamped with, and hold only what is asked for', async () => {
    const [one] = band.players;
    const [set] = band.sets;
    const [entry] = set?.entries ?? [];
    if (!one || !entry) throw new Error('nothing to print');
    const stampsNow = async () => {
      const begun = await start({ playerIds: [one.id], stampsOnly: true });
      const job = await ended(begun.body.bookId);
      expect((await get(`/books/${job.bookId}/file`, listener)).status).toBe(404);
      return job.stamps?.[one.id] ?? {};
    };
    const before = await stampsNow();
    expect(Object.keys(before)).toEqual([
      'set list',
      ...(set?.entries ?? []).map(({ id }) => id),
      'floor list',
    ]);
    expect(await stampsNow()).toEqual(before);
    await server.composed.rooms.edit(songDocument('demo', entry.songId), (doc) => {
      const edits = new SongEdits(doc, { by: null, now: () => 0, makeId: makeIds(randomFrom(4)) });
      edits.setTempo(77);
      edits.destroy();
    });
    const after = await stampsNow();
    // A tempo stands on the song's own part and the set list, and moves the clock; the floor list has none.
    expect(Object.keys(after).filter((name) => after[name] !== before[name])).toEqual(['set list', entry.id]);

    const whole = await ended((await start({ playerIds: [one.id] })).body.bookId);
    expect(whole.stamps?.[one.id]).toEqual(after);
    const some = await ended(
      (await start({ playerIds: [one.id], only: { [one.id]: [entry.id] } })).body.bookId,
    );
    expect(some).toMatchObject({ state: 'ready', done: 1, of: 1 });
    expect(some.stamps?.[one.id]).toEqual({ [entry.id]: after[entry.id] });
    const pagesIn = async (bookId: string) => {
      const bytes = await bytesOf(await get(`/books/${bookId}/file`, listener));
      return (
        Buffer.from(bytes)
          .toString('latin1')
          .match(/\/Type \/Page\b/g)?.length ?? 0
      );
    };
    const [few, all] = [await pagesIn(some.bookId), await pagesIn(whole.bookId)];
    expect(few).toBeGreaterThan(0);
    expect(few).toBeLessThan(all);
  });

  it('can be stopped, and another comes to its turn', async () => {
    const first = await start({});
    const second = await start({ playerIds: [band.players[0]?.id] });
    const stopped = await server.ask(`/api/bands/demo/books/${first.body.bookId}/stop`, {
      cookie: listener,
      method: 'POST',
    });
    expect(stopped.body.state).toBe('stopped');
    expect((await get(`/books/${first.body.bookId}/file`, listener)).status).toBe(404);
    expect((await ended(second.body.bookId)).state).toBe('ready');
  });

  it('are made of a set of none, too', async () => {
    let setId = '';
    await server.composed.rooms.edit(bandDocument('demo'), (doc) => {
      const edits = new BandEdits(doc, { by: null, now: () => 0, makeId: makeIds(randomFrom(4)) });
      const added = edits.addSet('Nothing yet');
      if (added.ok) setId = added.value;
      edits.destroy();
    });
    const begun = await start({}, setId);
    expect((await ended(begun.body.bookId)).state).toBe('ready');
  });

  it('are refused to others, and for what is not there', async () => {
    const path = `/api/bands/demo/sets/${band.sets[0]?.id}/books`;
    expect((await server.ask(path, { body: {} })).status).toBe(401);
    expect((await start({}, 'none')).status).toBe(404);
    expect((await start({ playerIds: ['none'] })).status).toBe(404);
    expect((await start({ playerIds: [] })).status).toBe(400);
    expect((await start({ paper: 'a0' })).status).toBe(400);
    const begun = await start({ playerIds: [band.players[0]?.id] });
    const { cookie, band: other } = await server.newBand();
    const elsewhere = `/api/bands/${other.bandId}/books/${begun.body.bookId}`;
    expect((await server.ask(elsewhere, { cookie })).status).toBe(404);
    expect((await server.ask(`/api/bands/demo/books/${begun.body.bookId}`, { cookie })).status).toBe(403);
    await ended(begun.body.bookId);
  });
});

describe('limits', () => {
  it('of time and memory end what is being made, with a reason', async () => {
    const demo = await demoBand();
    for (const printing of [{ milliseconds: 1 }, { megabytes: 4 }]) {
      const small = await TestServer.start({ demo: async () => demo, limits: { printing } });
      try {
        const cookie = (await small.ask('/api/demo/enter', { body: {} })).cookie;
        const path = `/api/bands/demo/songs/${demo.songs[0]?.id}/parts/${demo.band.players[0]?.id}.pdf`;
        const { status, body } = await small.ask(path, { cookie });
        expect(status).toBe(422);
        expect(body.error.code).toBe('printing failed');
      } finally {
        await small.stop();
      }
    }
  });
});

describe('names of files', () => {
  it('are safe on every system', () => {
    expect(fileNameOf('a/b\\c:d*e?f"g<h>i|j\u0000k')).toBe('a b c d e f g h i j k');
    expect(fileNameOf('..')).toBe('untitled');
    expect(fileNameOf('CON')).toBe('CON_');
    expect(fileNameOf('\ud800x')).toBe('x');
    expect(fileNameOf('𝄞'.repeat(200))).toMatch(/^(𝄞){30,80}$/u);
  });

  it('go along in UTF-8 and in plain letters', () => {
    // Source: RFC 6266, section 5, and RFC 8187, section 3.2.3, whose example for the euro sign is %e2%82%ac; from memory.
    expect(attachmentNamed('€ rates.pdf')).toBe(
      'attachment; filename="_ rates.pdf"; filename*=UTF-8\'\'%E2%82%AC%20rates.pdf',
    );
    expect(attachmentNamed('Łódź "é" 50%.pdf')).toMatch(
      /^attachment; filename="[\x20-\x7e]+"; filename\*=UTF-8''[\w.%-]+$/,
    );
    expect(attachmentNamed('x\r\nSet-Cookie: y.pdf')).not.toMatch(/[\r\n]/);
  });
});

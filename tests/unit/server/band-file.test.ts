import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { BandEdits, newSongDocument } from '../../../lib/document';
import { writeBandFile } from '../../../lib/exchange';
import { bandDocument, songDocument } from '../../../lib/protocol';
import { plainSong } from '../../faults/songs';
import { BAND, SONG } from '../document/sample';
import { TestServer } from './harness';

let server: TestServer;
beforeEach(async () => {
  server = await TestServer.start();
});
afterEach(() => server.stop());

const [first, ...others] = BAND.songs;
if (!first) throw new Error('the sample band has songs');
const songs = [{ ...SONG, id: first.id, title: first.title }, ...others.map(({ id }) => plainSong(id))];
const file = writeBandFile({ band: BAND, songs });

describe('a band as one file', () => {
  it('goes in and comes out the same, but for the id of the band', async () => {
    const made = await server.ask('/api/bands/from-file', { raw: file });
    expect(made.status).toBe(201);
    const { bandId, links } = made.body;
    expect(bandId).not.toBe(BAND.id);
    const out = await server.ask(`/api/bands/${bandId}/file`, { cookie: made.cookie });
    expect(out.status).toBe(200);
    expect(out.headers.get('content-disposition')).toContain('The Weir Street Five.breathmark.json');
    expect(out.body).toEqual({ ...JSON.parse(file), band: { ...JSON.parse(file).band, id: bandId } });

    // Once more, beside the first, which stays as it is; listeners may take it too.
    const again = await server.ask('/api/bands/from-file', {
      raw: JSON.stringify(out.body),
      cookie: made.cookie,
    });
    expect(again.body.bandId).not.toBe(bandId);
    const listener = await server.enterBy(links.listener.path);
    expect((await server.ask(`/api/bands/${bandId}/file`, { cookie: listener })).body).toEqual(out.body);
  });

  it('is for those who are in the band alone', async () => {
    const { band } = await server.newBand();
    const stranger = await server.newBand();
    expect((await server.ask(`/api/bands/${band.bandId}/file`)).status).toBe(401);
    expect((await server.ask(`/api/bands/${band.bandId}/file`, { cookie: stranger.cookie })).status).toBe(
      403,
    );
  });

  it('that is bad makes nothing, and says what, where and how to mend it', async () => {
    const { cookie } = await server.newBand();
    const raw = JSON.parse(file);
    // What else can be wrong with one stands in the tests of lib/exchange; each reading here is a thread of its own.
    const bad: readonly (readonly [string, RegExp])[] = [
      [file.slice(0, -20), /not JSON/],
      [
        JSON.stringify({ ...raw, band: { ...raw.band, songs: [] }, songs: [{ ...raw.songs[0], id: 'a/b' }] }),
        /the id of the song/,
      ],
    ];
    for (const [text, what] of bad) {
      const { status, body } = await server.ask('/api/bands/from-file', { raw: text, cookie });
      expect(body.error.what).toMatch(what);
      expect(status).toBe(400);
      expect(body.error.where).not.toBe('');
      expect(body.error.mend).not.toBe('');
    }
    expect((await server.ask('/api/session', { cookie })).body.bands).toHaveLength(1);
  });

  it('holds what was edited since', async () => {
    const { band, cookie } = await server.newBand();
    const { bandId } = band;
    const { rooms } = server.composed;
    const song = { ...plainSong('new-one'), title: 'New One' };
    await rooms.create(songDocument(bandId, song.id), newSongDocument(song));
    await rooms.edit(bandDocument(bandId), (doc) => {
      const edits = new BandEdits(doc, { by: null, now: () => 1, makeId: () => 'x' });
      edits.addSong({ id: song.id, title: song.title });
      // A song of the list that was never stored.
      edits.addSong({ id: 'lost', title: 'Lost' });
      edits.destroy();
    });
    const out = (await server.ask(`/api/bands/${bandId}/file`, { cookie })).body;
    expect(out.band.songs.map(({ title }: { title: string }) => title)).toEqual(['New One']);
    expect(out.songs).toEqual([song]);
  });
});

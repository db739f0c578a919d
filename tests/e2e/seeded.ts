import type { APIRequestContext, Page } from '@playwright/test';
import { z } from 'zod';
import { blankPlayer, initialsFor } from '../../app/band/words';
import { openDocument } from '../../app/sync';
import { makeIds, type Result } from '../../lib/base';
import { BandEdits, readBand } from '../../lib/document';
import { readPastedSong } from '../../lib/exchange';
import { bandDocument } from '../../lib/protocol';
import { socketsWith } from '../sockets';

const given = z.object({ path: z.string() });
const bandMade = z.object({
  bandId: z.string(),
  playerId: z.string(),
  links: z.object({ player: given, listener: given }),
});
const songMade = z.object({ songId: z.string() });

/** A band with its songs, which the browsers of two of its players know already. */
export interface SeededBand {
  /** Addresses: of the band's page, of its songs' boards in the order asked for, of its set where one was asked for. */
  readonly band: string;
  readonly boards: readonly string[];
  readonly set: string | null;
  /** The band's links for players and for listeners. */
  readonly link: string;
  readonly listenerLink: string;
}

function done<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.error.what} (${result.error.where})`);
  return result.value;
}

/** One browser's way to the server, by its own cookie. */
const asking =
  (requests: APIRequestContext) =>
  async (path: string, body: unknown): Promise<{ readonly origin: string; readonly answer: unknown }> => {
    const response = await requests.post(path, { data: body });
    const answer: unknown = await response.json();
    if (!response.ok()) throw new Error(`${path}: ${response.status()} ${JSON.stringify(answer)}`);
    return { origin: new URL(response.url()).origin, answer };
  };

/** Edits the band's document over a socket as a page does, and waits until that is kept. */
async function editBand<T>(
  origin: string,
  page: Page,
  bandId: string,
  change: (edits: BandEdits) => T,
): Promise<T> {
  const cookies = await page.context().cookies(origin);
  const cookie = cookies.map(({ name, value }) => `${name}=${value}`).join('; ');
  const open = openDocument(bandDocument(bandId), {
    origin: origin.replace('http', 'ws'),
    sockets: socketsWith(cookie),
  });
  await open.settled;
  const edits = new BandEdits(open.doc, { by: null, now: Date.now, makeId: makeIds(Math.random) });
  const result = change(edits);
  await new Promise<void>((kept) => {
    const look = () => {
      if (open.status.getSnapshot().state === 'kept') kept();
    };
    open.status.subscribe(look);
    look();
  });
  edits.destroy();
  open.destroy();
  return result;
}

/** Adds songs to a band by the request that pages make; gives their ids. */
export async function seedSongs(page: Page, bandId: string, tunes: readonly string[]): Promise<string[]> {
  const ask = asking(page.request);
  const ids: string[] = [];
  for (const tune of tunes) {
    const { song } = done(await readPastedSong(tune, { makeId: makeIds(Math.random), title: 'Untitled' }));
    ids.push(songMade.parse((await ask(`/api/bands/${bandId}/songs`, { song })).answer).songId);
  }
  return ids;
}

/**
 * Puts a band on the server by the requests that pages make, but without pages: for tests of what comes after. The ways through
 * the pages are walked in home.spec, band.spec, songs.spec and actions.spec. Ann, who leads, has the guitar; Ben has the banjo.
 *
 * @param tunes a song for each, as it could be pasted
 * @param setName a set list of all these songs, in this order
 */
export async function seedBand(
  ann: Page,
  ben: Page,
  tunes: readonly string[],
  setName: string | null = null,
): Promise<SeededBand> {
  const asAnn = asking(ann.request);
  const made = await asAnn('/api/bands', {
    name: 'Weir Street',
    yourName: 'Ann',
    yourInstrument: 'guitar',
  });
  const { origin } = made;
  const { bandId, playerId, links } = bandMade.parse(made.answer);
  const songIds = await seedSongs(ann, bandId, tunes);
  const { benId, setId } = await editBand(origin, ann, bandId, (edits) => {
    done(edits.setPlayer(playerId, { sings: 'lead' }));
    const { players } = readBand(edits.doc).band;
    const benId = done(
      edits.addPlayer({
        ...blankPlayer('', players, ['banjo']),
        name: 'Ben',
        initials: initialsFor('Ben', []),
      }),
    );
    if (setName === null) return { benId, setId: null };
    const setId = done(edits.addSet(setName));
    for (const songId of songIds) done(edits.addToSet(setId, songId));
    return { benId, setId };
  });
  const asBen = asking(ben.request);
  await asBen('/api/enter', { secret: links.player.path.split('#')[1] });
  await asBen('/api/you', { bandId, playerId: benId });
  const band = `${origin}/band/${bandId}`;
  return {
    band,
    boards: songIds.map((id) => `${band}/song/${id}`),
    set: setId === null ? null : `${band}/set/${setId}`,
    link: `${origin}${links.player.path}`,
    listenerLink: `${origin}${links.listener.path}`,
  };
}

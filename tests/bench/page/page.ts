/**
 * The board in a browser whose processor is slowed four times, told by the browser's own instruments: when the words stand, how long
 * a key takes until the next frame while eight others edit, which lines an edit of somebody else draws anew, how much
 * of the page's time it takes, and whether 300 lines scroll. Beside it, in the same run, the same lines as a plain page:
 * thresholds from a file are ratios to that; exits 1 beyond them.
 */
import { readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { type Browser, type BrowserContext, type CDPSession, chromium, type Page } from '@playwright/test';
import { z } from 'zod';
import { itemAt, must } from '../../../lib/base';
import { arrange } from '../../../lib/parts';
import { type Band, bandSchema, type Song, songSchema } from '../../../lib/song';
import { OwnServer } from '../../e2e/server';
import { percentile } from '../measure';
import { type Bandmate, bandmates } from './bandmates';
import { longSong } from './long-song';
import { plainAt } from './plain';
import { busy, noted, watchChanges, watchFrames, watchFromTheStart } from './watching';

const thresholds = z
  .object({
    page: z.object({
      wordsTimesPlainAtMost: z.number(),
      keyWorkTimesPlainAtMost: z.number(),
      scrollWorkTimesPlainAtMost: z.number(),
      linesDrawnForAnEditAtMost: z.number(),
      aims: z.object({
        wordsMilliseconds: z.number(),
        keyP95Milliseconds: z.number(),
        frameP95Milliseconds: z.number(),
      }),
    }),
  })
  .parse(JSON.parse(readFileSync(new URL('../thresholds.json', import.meta.url), 'utf8'))).page;

/** How many times slower than it is the browser's processor is made. */
const SLOWED = 4;
const OTHERS = 8;
/** Each of the others makes one edit in so many milliseconds. */
const BETWEEN_EDITS = 1000;
const KEYS = 60;
/** Looks at a page for the first time, by somebody who has nothing of it yet: the middle one counts. */
const LOOKS = 5;
const KEPT = '[data-state="kept"]';
const LONG_LINES = 300;
/** Of a long song as it is sung: a ballad's verses of eight lines. */
const LINES_IN_A_PASS = 8;
/** The shortest time that Event Timing tells, in milliseconds: a key that it does not tell of took less. */
const SHORTEST_TOLD = 16;

let beyond = 0;
function hold(what: string, value: number, most: number, unit: string): void {
  const holds = value <= most;
  if (!holds) beyond += 1;
  console.log(`${holds ? 'holds ' : 'BEYOND'}  ${what}: ${value.toFixed(1)}${unit} (at most ${most}${unit})`);
}

/** Milliseconds of a machine's clock hang on the machine: they are told beside what is aimed at, and ratios decide. */
const tell = (what: string, value: number, aim: number): void =>
  console.log(`${value <= aim ? 'met   ' : 'not met here'}  ${what}: ${value.toFixed(0)} ms (aim ${aim} ms)`);

/** The song that a page's first data holds, and its band. */
async function songsOf(
  origin: string,
  cookie: string,
  bandId: string,
): Promise<{ band: Band; songs: readonly Song[] }> {
  const { openDocument } = await import('../../../app/sync');
  const { readBand, readSong } = await import('../../../lib/document');
  const { bandDocument, songDocument } = await import('../../../lib/protocol');
  const { socketsWith } = await import('../../sockets');
  const read = async <T>(name: string, reading: (doc: Parameters<typeof readSong>[0]) => T): Promise<T> => {
    const open = openDocument(name, { origin: origin.replace('http', 'ws'), sockets: socketsWith(cookie) });
    await open.settled;
    const value = reading(open.doc);
    open.destroy();
    return value;
  };
  const { band } = await read(bandDocument(bandId), readBand);
  const songs = await Promise.all(
    band.songs.map(async ({ id }) => (await read(songDocument(bandId, id), readSong)).song),
  );
  return { band: bandSchema.parse(band), songs: songs.map((song) => songSchema.parse(song)) };
}

const linesOf = (song: Song): number =>
  arrange(song).passes.reduce((sum, { lines }) => sum + lines.length, 0);

type Slowed = readonly [Page, CDPSession];

/** A page with its processor slowed, once it is ready. */
async function open(context: BrowserContext, address: string, ready: string): Promise<Slowed> {
  const page = await context.newPage();
  // What the loader wraps around functions, for those that are handed into the page.
  await page.addInitScript('globalThis.__name = (wrapped) => wrapped');
  await page.addInitScript(watchFromTheStart);
  const session = await context.newCDPSession(page);
  await session.send('Performance.setTimeDomain', { timeDomain: 'threadTicks' });
  await session.send('Performance.enable');
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  await page.goto(address, { waitUntil: 'commit' });
  await page.locator(ready).last().waitFor({ state: 'attached' });
  return [page, session];
}

/** The others edit, each at moments of their own, until told to stop. */
function editing(others: readonly Bandmate[]): () => void {
  const timers = others.map((other, i) => {
    let timer = setTimeout(
      function again() {
        other.edit();
        timer = setTimeout(again, BETWEEN_EDITS);
      },
      (BETWEEN_EDITS * i) / others.length,
    );
    return () => clearTimeout(timer);
  });
  return () => {
    for (const stop of timers) stop();
  };
}

/** From space to space, opening some, going through who can take them: the keys of somebody who arranges. */
async function pressKeys(page: Page): Promise<void> {
  const round = ['ArrowDown', 'ArrowDown', 'Enter', 'ArrowDown', 'ArrowUp', 'Escape'];
  for (let i = 0; i < KEYS; i++) {
    await page.keyboard.press(itemAt(round, i % round.length));
    await page.waitForTimeout(120);
  }
}

/** What a page took: p95 of keys and of frames, and work of its own thread for a key and for a scroll, in milliseconds. */
interface Taken {
  readonly key: number;
  readonly slowest: number;
  readonly keyWork: number;
  readonly frame: number;
  readonly scrollWork: number;
}

/** Keys while others edit; then, once the page has rested, somebody who scrolls through all of it. */
async function takenBy([page, session]: Slowed, end: () => void): Promise<Taken> {
  await page.evaluate(() => {
    window.watching.keys = [];
  });
  const atFirst = await busy(session);
  await pressKeys(page);
  const told = (await noted(page)).keys;
  const afterKeys = await busy(session);
  end();
  const keys = [
    ...Array.from({ length: Math.max(0, KEYS - told.length) }, () => SHORTEST_TOLD),
    ...told,
  ].sort((a, b) => a - b);
  await page.evaluate(() => window.scrollTo(0, 0));
  // A plain page has laid out all of it before it is shown; ours does while it rests, but for a pass of very many lines.
  // Asked seldom: a page that is asked with every frame does not rest.
  await page.waitForFunction(
    () =>
      [...document.querySelectorAll('.lines')].every(
        (pass) => pass.childElementCount > 40 || pass.querySelector('.line:not([data-laid])') === null,
      ),
    undefined,
    { polling: 300 },
  );
  await watchFrames(page);
  await page.mouse.move(600, 500);
  const beforeScroll = await busy(session);
  for (let i = 0; i < 60; i++) await page.mouse.wheel(0, 240);
  const frames = [...(await noted(page)).frames].sort((a, b) => a - b);
  return {
    key: percentile(keys, 0.95),
    slowest: itemAt(keys, keys.length - 1),
    keyWork: ((afterKeys - atFirst) * 1000) / KEYS,
    frame: percentile(frames, 0.95),
    scrollWork: ((await busy(session)) - beforeScroll) * 1000,
  };
}

/** When the words stand for somebody who opens it with nothing of it on their device, in milliseconds. */
async function firstLook(enter: () => Promise<BrowserContext>, at: At): Promise<number> {
  const context = await enter();
  const [page] = await open(context, await at.address(context), at.ready);
  await page.waitForFunction(() => window.watching.words !== null);
  const { words } = await noted(page);
  await context.close();
  return must(words, 'a frame in which words stand');
}

/** A page to look at, and what stands in it once it is ready. */
interface At {
  readonly address: (context: BrowserContext) => Promise<string>;
  readonly ready: string;
}

/** The middle of several looks at each of two pages, by turns, so that what else the machine does falls on both. */
async function firstLooks(enter: () => Promise<BrowserContext>, ours: At, plain: At) {
  const taken: [ours: number, plain: number][] = [];
  for (let i = 0; i < LOOKS; i++) taken.push([await firstLook(enter, ours), await firstLook(enter, plain)]);
  const middle = (which: 0 | 1) =>
    percentile(
      taken.map((one) => one[which]).sort((a, b) => a - b),
      0.5,
    );
  return { ours: middle(0), plain: middle(1), all: taken.map(([one]) => one.toFixed(0)).join(', ') };
}

/** The same lines on a page that knows nothing: what this machine takes for any. */
async function measurePlain(context: BrowserContext, address: string): Promise<Taken> {
  const slowed = await open(context, address, '.line');
  await slowed[0].waitForTimeout(1000);
  const taken = await takenBy(slowed, () => undefined);
  await slowed[0].close();
  return taken;
}

async function measure(
  context: BrowserContext,
  name: string,
  address: string,
  others: readonly Bandmate[],
  song: Song,
) {
  const [page, session] = await open(context, address, KEPT);

  // One edit of somebody else, on its own.
  const { spaces } = arrange(song);
  const space = itemAt(spaces, Math.floor(spaces.length / 2));
  await page.waitForTimeout(1000);
  await watchChanges(page);
  const before = await busy(session);
  itemAt(others, 0).take(space);
  await page.locator(`[data-space="${space.id}"][aria-label*="ad lib"]`).waitFor({ state: 'attached' });
  const work = (await busy(session)) - before;
  const { lines } = await noted(page);

  const taken = await takenBy([page, session], editing(others));
  await page.close();
  console.log(
    `${name}: somebody else's edit draws ${lines.length} of ${linesOf(song)} lines anew (${lines.join(', ')}), ${(work * 1000).toFixed(0)} ms of work`,
  );
  return { ...taken, lines: lines.length };
}

const inWords = ({ key, slowest, keyWork, frame, scrollWork }: Taken): string =>
  `a key p95 ${key.toFixed(0)} ms, slowest ${slowest.toFixed(0)} ms of ${KEYS}, ${keyWork.toFixed(0)} ms of work each; frames while scrolling p95 ${frame.toFixed(0)} ms, ${scrollWork.toFixed(0)} ms of work`;

console.log(
  `The board in Chromium, its processor slowed ${SLOWED} times, ${availableParallelism()} cores shared with server and ${OTHERS} others who edit once a second each`,
);
const server = new OwnServer();
let browser: Browser | null = null;
try {
  await server.start();
  const { origin } = server;
  const port = Number(new URL(origin).port);
  const entered = await fetch(`${origin}/api/demo/enter`, {
    method: 'POST',
    headers: { origin, 'content-type': 'application/json' },
    body: '{}',
  });
  const cookie = entered.headers
    .getSetCookie()
    .map((one) => one.split(';')[0])
    .join('; ');
  const { bandId } = z.object({ bandId: z.string() }).parse(await entered.json());
  const { band, songs } = await songsOf(origin, cookie, bandId);
  const longer = must([...songs].sort((a, b) => linesOf(b) - linesOf(a))[0], 'a song in the demo');
  const post = async (song: Song): Promise<Song> => {
    const posted = await fetch(`${origin}/api/bands/${bandId}/songs`, {
      method: 'POST',
      headers: { origin, cookie, 'content-type': 'application/json' },
      body: JSON.stringify({ song }),
    });
    if (!posted.ok) throw new Error(`the long song was not taken: ${await posted.text()}`);
    return song;
  };
  const long = await post(await longSong(LONG_LINES, LINES_IN_A_PASS, band.players));
  // Nobody sings for twenty minutes without a verse's end: told beside it, and not held to anything.
  const inOne = await post(await longSong(LONG_LINES, null, band.players));

  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM_PATH ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
  });
  const enter = async (): Promise<BrowserContext> => {
    const entered = await must(browser, 'a browser').newContext({ viewport: { width: 1440, height: 900 } });
    await entered.addCookies(
      cookie.split('; ').map((one) => {
        const [name = '', value = ''] = one.split('=');
        return { name, value, url: origin };
      }),
    );
    return entered;
  };
  const context = await enter();
  for (const song of [longer, long, inOne]) {
    const isLong = song !== longer;
    const { length: passes } = arrange(song).passes;
    const others = await bandmates(OTHERS, { port, cookie, band, song, spaces: arrange(song).spaces });
    const name = isLong
      ? `${linesOf(song)} lines in ${passes} passes`
      : `the demo's longer song, ${linesOf(song)} lines`;
    const lines = arrange(song).passes.flatMap((pass) => pass.lines);
    const address = `${origin}/band/${bandId}/song/${song.id}`;
    // A server that has shown the page before, as one that has been up since Saturday.
    await fetch(address, { headers: { cookie } });
    const plain = await measurePlain(context, await plainAt(context, origin, song.id, lines));
    const found = await measure(context, name, address, others, song);
    for (const other of others) other.leave();
    console.log(`  ours: ${inWords(found)}\n  the same lines as a plain page: ${inWords(plain)}`);
    if (song === inOne) continue;
    if (!isLong) {
      const looks = await firstLooks(
        enter,
        { address: async () => address, ready: KEPT },
        { address: (into) => plainAt(into, origin, song.id, lines), ready: '.line' },
      );
      console.log(
        `  words at a first look: ${looks.all} ms; a plain page's: ${looks.plain.toFixed(0)} ms in the middle`,
      );
      const times = looks.ours / looks.plain;
      hold('words, to those of a plain page', times, thresholds.wordsTimesPlainAtMost, '×');
      tell('words of the longer demo song', looks.ours, thresholds.aims.wordsMilliseconds);
    }
    const keyTimes = found.keyWork / plain.keyWork;
    hold(`work for a key, to a plain page's, ${name}`, keyTimes, thresholds.keyWorkTimesPlainAtMost, '×');
    tell(`a key, 95th percentile, ${name}`, found.key, thresholds.aims.keyP95Milliseconds);
    hold(`lines drawn for an edit, ${name}`, found.lines, thresholds.linesDrawnForAnEditAtMost, '');
    if (isLong) {
      const scrollTimes = found.scrollWork / plain.scrollWork;
      hold(
        "work for a scroll through it, to a plain page's",
        scrollTimes,
        thresholds.scrollWorkTimesPlainAtMost,
        '×',
      );
      tell('frames while scrolling, 95th percentile', found.frame, thresholds.aims.frameP95Milliseconds);
    }
  }
} finally {
  await browser?.close();
  await server.end();
}
process.exit(beyond > 0 ? 1 : 0);

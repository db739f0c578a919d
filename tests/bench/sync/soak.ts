/**
 * An hour of bands at work, pressed into a few minutes (`--minutes N`, by default 4), against ours in a process of its
 * own: people edit, point, lose the line, come back, close pages and open new ones; whole bands go and return, so that
 * rooms close and load. In each quarter of the hour they work on other songs, and between two quarters everybody is away,
 * so that what is compared are documents of one age: what the server holds, its rubbish gone, has to be flat from quarter
 * to quarter after the first, with the people there and with all of them away. Exits 1 beyond the thresholds.
 */
import { readFileSync } from 'node:fs';
import { parseArgs } from 'node:util';
import { WebsocketProvider } from 'y-websocket';
import * as Y from 'yjs';
import { z } from 'zod';
import { itemAt, randomFrom } from '../../../lib/base';
import { KEPT, RIGHTS, SYNC_PATH, songDocument } from '../../../lib/protocol';
import { socketsWith } from '../../sockets';
import { median } from '../measure';
import { type Door, ours } from './peers';
import { Served } from './server';

const thresholds = z
  .object({ soak: z.object({ growthAtMost: z.number(), awayGrowthAtMost: z.number() }) })
  .parse(JSON.parse(readFileSync(new URL('../thresholds.json', import.meta.url), 'utf8'))).soak;
const { values: asked } = parseArgs({
  args: process.argv.slice(3),
  options: { minutes: { type: 'string', default: '4' } },
});

const QUARTERS = 4;
const SONGS = 24;
const EACH = 5;
/** Samples of each quarter. */
const SAMPLES = 5;
const HOUR_SECONDS = 3600;
/** In an hour, by one person: an edit each ten seconds, a pointer's move each three, a lost line or a new page each five minutes. */
const EDITS = HOUR_SECONDS / 10;
const MOVES = HOUR_SECONDS / 3;
const LEAVINGS = HOUR_SECONDS / 300;
/** In an hour, by a whole band: up and away, and back. */
const BREAKS = 4;
const BARS = 40;
const COMMENTS = 30;

// Each client of the protocol's library listens for the end of the process.
process.setMaxListeners(0);
const random = randomFrom(4);
const upTo = (count: number): number => Math.floor(random() * count);

class Page {
  readonly #door: Door;
  #song: number;
  #doc = new Y.Doc();
  #provider: WebsocketProvider | null = null;
  edits = 0;

  constructor(door: Door, song: number) {
    this.#door = door;
    this.#song = song;
  }

  get isOpen(): boolean {
    return this.#provider?.synced ?? false;
  }

  get doc(): Y.Doc {
    return this.#doc;
  }

  /** Turns to the next quarter's song. The page is closed. */
  turn(): void {
    this.#song += SONGS;
  }

  /** Comes: with the page it had, or with a new one. */
  come(anew: boolean): void {
    if (this.#provider !== null) return;
    if (anew) {
      this.#doc.destroy();
      this.#doc = new Y.Doc();
    }
    const { port, bandId, cookie } = this.#door;
    const name = songDocument(bandId, `r${this.#song}`);
    const provider = new WebsocketProvider(`ws://127.0.0.1:${port}${SYNC_PATH}`, name, this.#doc, {
      WebSocketPolyfill: socketsWith(cookie),
      disableBc: true,
    });
    for (const type of [KEPT, RIGHTS]) provider.messageHandlers[type] = () => {};
    this.#provider = provider;
  }

  go(): void {
    const provider = this.#provider;
    if (provider === null) return;
    this.#provider = null;
    provider.destroy();
    provider.awareness.destroy();
  }

  edit(): void {
    if (!this.isOpen) return;
    this.edits += 1;
    const bars = this.#doc.getMap<string>('bars');
    const comments = this.#doc.getArray<string>('comments');
    const bar = `bar ${upTo(BARS)}`;
    const what = random();
    if (what < 0.7) bars.set(bar, `${this.edits} c4 d4 e4 f4 g4 a4 b4 c5`);
    else if (what < 0.8) bars.delete(bar);
    else
      this.#doc.transact(() => {
        comments.push([`the second time ${this.edits} quieter`]);
        if (comments.length > COMMENTS) comments.delete(0, comments.length - COMMENTS);
      });
  }

  point(): void {
    if (this.isOpen) this.#provider?.awareness.setLocalState({ bar: upTo(BARS), beat: upTo(4) });
  }
}

const served = await Served.start(ours, SONGS * QUARTERS);
const pages = Array.from({ length: SONGS * EACH }, (_page, i) => new Page(served.door, i % SONGS));
/** What the server holds with everybody away: at first, and after each quarter. */
const empty = [await served.holds()];

const minutes = Number(asked.minutes);
const milliseconds = minutes * 60_000;
/** So many of a kind, spread over the run. */
const plan = (count: number, act: () => void) => ({ count, act, done: 0 });
const away: { page: Page; until: number }[] = [];
/** The share of the hour that has passed, without the times in which all are away. */
let start = performance.now();
const now = (): number => (performance.now() - start) / milliseconds;
const anybody = (): Page => itemAt(pages, upTo(pages.length));
/** Up to half a minute of the hour. */
const leave = (page: Page): void => {
  page.go();
  away.push({ page, until: now() + random() / 120 });
};
const doings = [
  plan(EDITS * pages.length, () => anybody().edit()),
  plan(MOVES * pages.length, () => anybody().point()),
  plan(LEAVINGS * pages.length, () => leave(anybody())),
  plan(BREAKS * SONGS, () => {
    const song = upTo(SONGS);
    for (const [i, page] of pages.entries()) if (i % SONGS === song) leave(page);
  }),
];

interface Sample {
  readonly objects: number;
  readonly resident: number;
}

async function quarter(which: number): Promise<readonly Sample[]> {
  const samples: Sample[] = [];
  for (const page of pages) page.come(true);
  for (let time = now(); time < (which + 1) / QUARTERS; time = now()) {
    for (const doing of doings) for (; doing.done < doing.count * time; doing.done++) doing.act();
    for (let i = away.length - 1; i >= 0; i--) {
      const one = itemAt(away, i);
      if (one.until > time) continue;
      away.splice(i, 1);
      one.page.come(random() < 0.5);
    }
    if (samples.length < Math.floor((time * QUARTERS - which) * (SAMPLES + 1)))
      samples.push(await served.holds());
    await new Promise((done) => setTimeout(done, 10));
  }
  return samples;
}

// Pages may know the bars in another order.
const state = ({ doc }: Page): string =>
  JSON.stringify([
    Object.entries(doc.getMap('bars').toJSON()).sort(([a], [b]) => (a < b ? -1 : 1)),
    doc.getArray('comments').toJSON(),
  ]);
const agree = (): boolean =>
  pages.every((page, i) => page.isOpen && state(page) === state(itemAt(pages, i % SONGS)));
/** In the end all pages of a song are the same. Then everybody goes. */
async function breakUp(): Promise<void> {
  for (const { page } of away) page.come(false);
  away.length = 0;
  const patience = performance.now() + 30_000;
  while (!agree()) {
    if (performance.now() > patience) {
      const closed = pages.filter((page) => !page.isOpen).length;
      throw new Error(`the pages of a song differ in the end, or are not open: ${closed}`);
    }
    await new Promise((done) => setTimeout(done, 50));
  }
  for (const page of pages) page.go();
  for (const page of pages) page.turn();
  // Rooms close as soon as they are empty; their last compaction may take a moment.
  await new Promise((done) => setTimeout(done, 1500));
}

const quarters: (readonly Sample[])[] = [];
for (let which = 0; which < QUARTERS; which++) {
  quarters.push(await quarter(which));
  const stopped = performance.now();
  await breakUp();
  empty.push(await served.holds());
  start += performance.now() - stopped;
}
const edits = pages.reduce((sum, page) => sum + page.edits, 0);
await served.stop();

const megabytes = (bytes: number): string => `${(bytes / 2 ** 20).toFixed(1)} MB`;
const line = (samples: readonly Sample[], figure: keyof Sample): string =>
  samples.map((sample) => megabytes(sample[figure])).join(', ');
console.log(
  `soak: an hour of ${SONGS} songs with ${EACH} people each in ${minutes} minutes: ${edits} edits kept in step; asked for: ${doings.map((doing) => doing.done).join(' / ')} edits, moves, leavings, breaks`,
);
for (const [i, samples] of quarters.entries())
  console.log(`quarter ${i + 1}: objects ${line(samples, 'objects')}; resident ${line(samples, 'resident')}`);
console.log(`all away (before, then after each quarter): objects ${line(empty, 'objects')}`);

const middle = (samples: readonly Sample[], figure: keyof Sample): number =>
  median(samples.map((sample) => sample[figure]).sort((a, b) => a - b));
const growth = (figure: keyof Sample): number =>
  middle(itemAt(quarters, QUARTERS - 1), figure) / middle(itemAt(quarters, 1), figure);
let failed = 0;
const check = (what: string, value: number, most: number): void => {
  const holds = value <= most;
  if (!holds) failed += 1;
  console.log(`${holds ? 'holds ' : 'BEYOND'}  ${what}: ${value.toFixed(3)} (at most ${most})`);
};
check('objects, last quarter to second', growth('objects'), thresholds.growthAtMost);
check('resident, last quarter to second', growth('resident'), thresholds.growthAtMost);
check(
  'objects with all away, after the last quarter to after the second',
  itemAt(empty, QUARTERS).objects / itemAt(empty, 2).objects,
  thresholds.awayGrowthAtMost,
);
process.exit(failed > 0 ? 1 : 0);

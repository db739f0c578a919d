import type { Socket } from 'node:net';
import * as Y from 'yjs';
import { itemAt, randomFrom } from '../../../lib/base';
import { bandDocument } from '../../../lib/protocol';
import { memoryStore } from '../../../server/store';
import { mergeUpdates } from '../../../server/sync/merge';
import { gated, lineThrough, neverReads, TestServer } from '../../unit/server/harness';
import type { Report, Suite } from '../suite';

/**
 * Bad lines: pages whose lines fall silent without being closed, are cut while both sides go on editing, and are mended;
 * sockets that never read; a disk that hesitates or refuses; a server that goes and comes. A sign of life is asked for each
 * 60 ms in the place of 12 s, so that a cut of a second or two here is one of minutes. In the end every edit that was
 * called kept is in the store, and all pages are equal to it.
 */
const PAGES = 4;
const STEPS = 120;
const SIGN_OF_LIFE_MILLISECONDS = 60;
/** Long enough for anything but a loss, on a busy machine. */
const PATIENCE_MILLISECONDS = 30_000;

const words = (doc: Y.Doc) => doc.getMap<string>('test');
const pause = (milliseconds: number) => new Promise((done) => setTimeout(done, milliseconds));

async function within(holds: () => boolean, what: string): Promise<void> {
  const end = performance.now() + PATIENCE_MILLISECONDS;
  while (!holds()) {
    if (performance.now() > end) throw new Error(`not within half a minute: ${what}`);
    await pause(2);
  }
}

type Line = Awaited<ReturnType<typeof lineThrough>>;

/** A page on a line of its own; it notes which of its edits it was told are kept. */
class Page {
  readonly name: string;
  readonly line: Line;
  readonly opened: ReturnType<TestServer['open']>;
  readonly kept = new Set<string>();
  #made: string[] = [];
  #count = 0;

  constructor(name: string, line: Line, opened: ReturnType<TestServer['open']>) {
    this.name = name;
    this.line = line;
    this.opened = opened;
    opened.status.subscribe(() => this.note());
  }

  note(): void {
    if (this.opened.status.getSnapshot().state !== 'kept') return;
    for (const key of this.#made) this.kept.add(key);
    this.#made = [];
  }

  edit(): void {
    this.#count += 1;
    const key = `${this.name} ${this.#count}`;
    words(this.opened.doc).set(key, key);
    this.#made.push(key);
  }

  get isKept(): boolean {
    return this.opened.status.getSnapshot().state === 'kept' && this.#made.length === 0;
  }
}

async function run(seed: number, report: Report): Promise<void> {
  const random = randomFrom(seed);
  const upTo = (count: number): number => Math.floor(random() * count);
  const gate = gated(memoryStore(mergeUpdates));
  const options = { store: gate.store, signOfLifeMilliseconds: SIGN_OF_LIFE_MILLISECONDS };
  let server = await TestServer.start(options);
  const { port } = server;
  const { band, cookie } = await server.newBand();
  const name = bandDocument(band.bandId);
  const first = server;
  const pages: Page[] = [];
  const dead: Socket[] = [];
  try {
    for (let i = 0; i < PAGES; i++) {
      const line = await lineThrough(port);
      pages.push(new Page(`page ${i}`, line, first.open(name, cookie, { origin: line.origin })));
    }
    await within(() => pages.every((page) => page.isKept), 'all pages are open');
    for (let step = 0; step < STEPS; step++) {
      const page = itemAt(pages, upTo(PAGES));
      const what = random();
      if (what < 0.7) page.edit();
      else if (what < 0.76) {
        page.line.hush();
        report.count('lines silent');
      } else if (what < 0.82) {
        page.line.cut();
        report.count('lines cut');
      } else if (what < 0.9) page.line.mend();
      else if (what < 0.93) {
        dead.push(await neverReads(port, name, cookie));
        report.count('sockets that never read');
      } else if (what < 0.96) {
        gate.breakDown(true);
        await pause(upTo(30));
        gate.breakDown(false);
        report.count('disks refusing');
      } else if (what < 0.98) {
        gate.shut();
        await pause(upTo(60));
        gate.open();
      } else {
        await server.pullThePlug();
        report.kill();
        server = await TestServer.start(options, port);
      }
      // A second edit of the same page at once, now and then; and time for signs of life to be missed.
      await pause(random() < 0.3 ? 0 : upTo(SIGN_OF_LIFE_MILLISECONDS));
    }
    for (const page of pages) page.line.mend();
    for (const page of pages) page.opened.connect();
    await within(() => pages.every((page) => page.isKept), 'all is kept once the lines are whole');
    const asText = (doc: Y.Doc): string => JSON.stringify(Object.entries(words(doc).toJSON()).sort());
    await within(
      () => new Set(pages.map((page) => asText(page.opened.doc))).size === 1,
      'all pages are equal',
    );
    const stored = new Y.Doc();
    Y.applyUpdate(stored, mergeUpdates((await gate.store.load(name))?.updates ?? []));
    if (asText(stored) !== asText(itemAt(pages, 0).opened.doc))
      report.wrong('the store is not what the pages show');
    for (const page of pages) {
      report.kept(page.kept.size);
      const lost = [...page.kept].filter((key) => words(stored).get(key) !== key);
      report.lost(lost.length, `${page.name} was told that ${lost.join(', ')} were kept`);
    }
    // Those who never read are let go too, and then nothing is left.
    for (const page of pages) page.opened.destroy();
    await within(
      () => server.composed.sync.connectionCount === 0 && server.composed.rooms.count === 0,
      'nobody is left, also none who never read',
    );
  } finally {
    first.destroyClients();
    for (const page of pages) page.line.close();
    for (const socket of dead) socket.destroy();
    await server.stop();
  }
}

export const lines: Suite = { name: 'bad lines', runs: { short: 2, long: 40 }, run };

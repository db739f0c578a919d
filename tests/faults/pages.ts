import type { ChildProcess } from 'node:child_process';
import { isDeepStrictEqual } from 'node:util';
import * as Y from 'yjs';
import { type OpenDocument, openDocument } from '../../app/sync';
import type { Random } from '../../lib/base';
import { socketsWith } from '../sockets';
import { until } from '../unit/server/harness';
import { childFile, start } from './build';
import type { Report } from './suite';

/** A page that numbers its edits, and remembers up to which one it was told that they are kept. */
export class Page {
  readonly id: string;
  readonly opened: OpenDocument;
  count = 0;
  keptUpTo = 0;
  /** What it was refused with since it was last asked. */
  readonly refusals = new Set<string>();

  constructor(id: string, name: string, port: number, cookie: string, now: () => number = Date.now) {
    this.id = id;
    this.opened = openDocument(name, {
      origin: `ws://127.0.0.1:${port}`,
      sockets: socketsWith(cookie),
      longestWait: 60,
      now,
    });
    const look = () => {
      const { state, problem } = this.opened.status.getSnapshot();
      if (state === 'kept') this.keptUpTo = this.count;
      if (problem !== null) this.refusals.add(problem.code);
    };
    this.opened.status.subscribe(look);
  }

  get words(): Y.Map<string> {
    return this.opened.doc.getMap<string>('test');
  }

  edit(random: Random): void {
    this.count += 1;
    this.words.set(`${this.id}:${this.count}`, 'x'.repeat(Math.floor(random() * 200)));
  }

  get isKept(): boolean {
    return this.opened.status.getSnapshot().state === 'kept';
  }
}

/** A moment of nothing, mostly short. */
export const breath = (random: Random): Promise<void> =>
  new Promise((done) => {
    if (random() < 0.6) setImmediate(done);
    else setTimeout(done, random() * 4);
  });

/** What stands in a document's updates. */
export function wordsIn(updates: readonly Uint8Array[]): Record<string, unknown> {
  const doc = new Y.Doc();
  for (const update of updates) Y.applyUpdate(doc, update);
  return doc.getMap('test').toJSON();
}

/** Looks for every edit that a page was told is kept. */
export function lookFor(
  pages: readonly Page[],
  words: Readonly<Record<string, unknown>>,
  where: string,
  report: Report,
): void {
  for (const { id, keptUpTo } of pages) {
    const missing: number[] = [];
    for (let i = 1; i <= keptUpTo; i++) if (words[`${id}:${i}`] === undefined) missing.push(i);
    report.kept(keptUpTo);
    report.lost(missing.length, `${where}: page ${id}, edits ${missing.slice(0, 10).join(', ')}`);
  }
}

/** All pages and the store hold the same, and every edit that was ever made. */
export function allEqual(pages: readonly Page[], words: unknown, report: Report): void {
  for (const page of pages)
    if (!isDeepStrictEqual(page.words.toJSON(), words))
      report.wrong(`page ${page.id} and the store do not hold the same`);
  const count = pages.reduce((sum, page) => sum + page.count, 0);
  const found = Object.keys(words ?? {}).length;
  if (found !== count) report.wrong(`${count} edits were made, ${found} are there`);
}

export const allKept = (pages: readonly Page[]): Promise<void> =>
  until(() => pages.every((page) => page.isKept));

/** All have seen that the server is gone. */
export const allAway = (pages: readonly Page[]): Promise<void> =>
  until(() => pages.every((page) => page.opened.status.getSnapshot().state === 'offline'));

export interface Running {
  readonly child: ChildProcess;
  readonly port: number;
}

/** A server of its own process; port 0 for a free one. */
export async function startServer(
  file: string,
  port: number,
  env: Readonly<Record<string, string>> = {},
): Promise<Running> {
  const child = start(await childFile('server'), [file, String(port)], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, ...env },
  });
  return new Promise((done, broken) => {
    child.stdout?.once('data', (data: Buffer) => done({ child, port: Number(data.toString()) }));
    child.once('exit', (code) => broken(new Error(`the server ended with ${code}`)));
  });
}

export interface Founded {
  readonly bandId: string;
  readonly cookie: string;
}

export async function foundBand(port: number): Promise<Founded> {
  const made = await fetch(`http://127.0.0.1:${port}/api/bands`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ name: 'The Testers' }),
  });
  const { bandId } = await made.json();
  return { bandId, cookie: made.headers.get('set-cookie')?.split(';')[0] ?? '' };
}

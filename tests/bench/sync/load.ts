import { itemAt } from '../../../lib/base';
import { percentile } from '../measure';
import type { Crowd, Person } from './crowd';
import type { Served } from './server';

/** What one stretch of load has shown. */
export interface Stretch {
  readonly edits: number;
  /** Milliseconds from edit to sight, over every pair of edit and reader. */
  readonly p50: number;
  readonly p99: number;
  readonly editsEachSecond: number;
  /** Edits for each second of the server's processor time. */
  readonly editsEachCore: number;
  /** Share of one core that the server took. */
  readonly share: number;
}

/** Edits that each writer makes before a stretch begins. */
const AHEAD = 30;
const PATIENCE_MILLISECONDS = 30_000;

/** So many edits a second, whatever comes of them, by one person after the other. */
export function light(crowd: Crowd, served: Served, eachSecond: number, seconds: number): Promise<Stretch> {
  const count = Math.round(eachSecond * seconds);
  const step = Math.max(1, Math.floor(crowd.people.length / count));
  return stretch(crowd, served, crowd.people, async () => {
    const start = performance.now();
    for (let i = 0; i < count; i++) {
      const due = start + (i * 1000) / eachSecond;
      const wait = due - performance.now();
      if (wait > 0) await new Promise((done) => setTimeout(done, wait));
      const person = itemAt(crowd.people, (i * step + offset) % crowd.people.length);
      // One whose last edit is not seen everywhere yet does not hurry it.
      if (person.unseenBy === 0) person.edit();
    }
    offset += 1;
  });
}
let offset = 0;

/** As many edits as the server takes: each writer makes its next edit as soon as everybody has seen its last. */
export function saturate(
  crowd: Crowd,
  served: Served,
  writers: readonly Person[],
  seconds: number,
): Promise<Stretch> {
  return stretch(crowd, served, writers, async () => {
    crowd.onDone = (person) => person.edit();
    for (const writer of writers) writer.edit();
    await new Promise((done) => setTimeout(done, seconds * 1000));
    crowd.onDone = null;
  });
}

async function stretch(
  crowd: Crowd,
  served: Served,
  writers: readonly Person[],
  work: () => Promise<void>,
): Promise<Stretch> {
  for (const person of writers) person.prepare(AHEAD);
  crowd.sights = [];
  crowd.done = 0;
  const cpu = await served.spent();
  const start = performance.now();
  await work();
  while (!crowd.allSeen) {
    if (crowd.broken !== null) throw new Error(crowd.broken);
    if (performance.now() - start > PATIENCE_MILLISECONDS)
      throw new Error(`${crowd.peer.name}: an edit was not seen by everybody within 30 s`);
    await new Promise((done) => setTimeout(done, 1));
  }
  const seconds = (performance.now() - start) / 1000;
  const spent = (await served.spent()) - cpu;
  const sights = Float64Array.from(crowd.sights).sort();
  return {
    edits: crowd.done,
    p50: percentile([...sights], 0.5),
    p99: percentile([...sights], 0.99),
    editsEachSecond: crowd.done / seconds,
    editsEachCore: crowd.done / spent,
    share: spent / seconds,
  };
}

/**
 * The load on the sync server, beside two general servers of the same kind, in one run, by turns, over loopback: ours with
 * every edit stored, the others with nothing stored. Each server has a process of its own; the load is this process. What
 * is compared is taken in pairs of stretches that follow one another, and the median of the pairs counts, so that a busy
 * machine disturbs all alike. Exits 1 where ours is worse than the thresholds allow. `--short` for fewer turns.
 */
import { readFileSync } from 'node:fs';
import * as Y from 'yjs';
import { z } from 'zod';
import { itemAt, must } from '../../../lib/base';
import { median } from '../measure';
import { Crowd } from './crowd';
import { light, type Stretch, saturate } from './load';
import { hocuspocus, ours, type Peer, stock } from './peers';
import { Served } from './server';

const thresholds = z
  .object({
    sync: z.object({
      editsEachCoreAtLeast: z.number(),
      saturatedP99AtMost: z.number(),
      lightP50AtMost: z.number(),
      bytesEachClientAtMost: z.number(),
      bytesEachRoomAtMost: z.number(),
    }),
  })
  .parse(JSON.parse(readFileSync(new URL('../thresholds.json', import.meta.url), 'utf8'))).sync;

const SHORT = process.argv.includes('--short');
const TURNS = SHORT ? 3 : 7;
const SECONDS = SHORT ? 1 : 2;
/** So many people come and go, so many times. */
const WARMING = 400;
const WARMING_ROUNDS = 5;
const PEERS: readonly Peer[] = [ours, stock, hocuspocus];

interface Shape {
  readonly name: string;
  readonly rooms: number;
  readonly each: number;
  readonly lightEachSecond: number;
  /** One in so many writes when it is saturated. */
  readonly oneIn: number;
}
const SHAPES: readonly Shape[] = [
  { name: '1 room of 200', rooms: 1, each: 200, lightEachSecond: 10, oneIn: 5 },
  { name: '200 rooms of 5', rooms: 200, each: 5, lightEachSecond: 100, oneIn: 1 },
];

interface Measured {
  readonly peer: Peer;
  readonly light: Stretch[];
  readonly saturated: Stretch[];
  bytesEachClient: number;
}

const pause = (milliseconds: number) => new Promise((done) => setTimeout(done, milliseconds));
const middle = (values: readonly number[]): number => median([...values].sort((a, b) => a - b));
const turned = <T>(items: readonly T[], by: number): readonly T[] =>
  items.map((_item, i) => itemAt(items, (i + by) % items.length));

interface Seat {
  readonly measured: Measured;
  readonly served: Served;
  readonly crowd: Crowd;
  readonly witnessed: Y.Doc;
  readonly witness: { destroy(): void };
}

/**
 * A server whose code is compiled: people have come and gone before what people cost is measured. They were in rooms
 * of their own, since a server may keep the documents of those who have gone.
 */
async function warmed(peer: Peer, rooms: number): Promise<Served> {
  const warming = Math.min(rooms, WARMING);
  const served = await Served.start(peer, rooms + warming);
  for (let round = 0; round < WARMING_ROUNDS; round++) {
    const first = await Crowd.gather(peer, served.door, warming, Math.ceil(WARMING / rooms), rooms);
    first.leave();
    await pause(100);
  }
  return served;
}

async function seat(peer: Peer, shape: Shape): Promise<Seat> {
  const served = await warmed(peer, shape.rooms);
  const before = (await served.settles()).objects;
  const crowd = await Crowd.gather(peer, served.door, shape.rooms, shape.each);
  const after = (await served.settles()).objects;
  const witnessed = new Y.Doc();
  const witness = peer.witness(served.door, 0, witnessed);
  const measured = {
    peer,
    light: [],
    saturated: [],
    bytesEachClient: (after - before) / crowd.people.length,
  };
  return { measured, served, crowd, witnessed, witness };
}

/** The server's own kind of client has to have, in the end, what everybody in its room wrote. */
async function seeWitness({ crowd, witnessed, measured }: Seat): Promise<void> {
  const room = crowd.people.filter((person) => person.room === 0);
  const until = performance.now() + 10_000;
  const agrees = () =>
    room.every(
      (person) => (witnessed.getMap('bars').get(`bar ${person.number}`) ?? null) === person.standing,
    );
  while (!agrees()) {
    if (performance.now() > until) throw new Error(`${measured.peer.name}: its own client lacks edits`);
    await pause(10);
  }
}

async function measure(shape: Shape): Promise<readonly Measured[]> {
  const seats: Seat[] = [];
  for (const peer of PEERS) seats.push(await seat(peer, shape));
  // The first turn warms up and is not counted.
  for (let turn = 0; turn <= TURNS; turn++) {
    for (const { measured, served, crowd } of turned(seats, turn)) {
      const calm = await light(crowd, served, shape.lightEachSecond, SECONDS);
      const writers = crowd.people.filter((person) => person.number % shape.oneIn === 0);
      const full = await saturate(crowd, served, writers, SECONDS);
      if (turn === 0) continue;
      measured.light.push(calm);
      measured.saturated.push(full);
    }
  }
  for (const each of seats) await seeWitness(each);
  for (const { crowd, witness, served } of seats) {
    witness.destroy();
    crowd.leave();
    await served.stop();
  }
  return seats.map(({ measured }) => measured);
}

const IDLE_ROOMS = 2000;
interface Idle {
  readonly peer: Peer;
  readonly bytesEachRoom: number;
  readonly residentEachRoom: number;
  /** Share of a core with nothing to do. */
  readonly share: number;
}

async function idle(peer: Peer): Promise<Idle> {
  const served = await warmed(peer, IDLE_ROOMS);
  const before = await served.settles();
  const crowd = await Crowd.gather(peer, served.door, IDLE_ROOMS, 1);
  const after = await served.settles();
  const cpu = await served.spent();
  const start = performance.now();
  await pause(SECONDS * 2000);
  const share = ((await served.spent()) - cpu) / ((performance.now() - start) / 1000);
  crowd.leave();
  await served.stop();
  return {
    peer,
    bytesEachRoom: (after.objects - before.objects) / IDLE_ROOMS,
    residentEachRoom: (after.resident - before.resident) / IDLE_ROOMS,
    share,
  };
}

const number = (value: number, places: number): string => value.toFixed(places);
const kilobytes = (bytes: number): string => `${(bytes / 1024).toFixed(1)} kB`;

function print(rows: readonly (readonly string[])[]): void {
  const widths = itemAt(rows, 0).map((_cell, i) => Math.max(...rows.map((row) => (row[i] ?? '').length)));
  for (const row of rows)
    console.log(
      row
        .map((cell, i) => (i === 0 ? cell.padEnd(widths[i] ?? 0) : cell.padStart(widths[i] ?? 0)))
        .join('  '),
    );
}

let failed = 0;
function check(what: string, value: number, limit: number, atMost: boolean): void {
  const holds = atMost ? value <= limit : value >= limit;
  if (!holds) failed += 1;
  console.log(
    `${holds ? 'holds ' : 'BEYOND'}  ${what}: ${value.toFixed(2)} times the stock server's (at ${atMost ? 'most' : 'least'} ${limit})`,
  );
}

const of = (all: readonly Measured[], peer: Peer): Measured =>
  must(
    all.find((one) => one.peer === peer),
    peer.name,
  );
/** The median of turn by turn, ours to the stock server's. */
const ratio = (all: readonly Measured[], which: 'light' | 'saturated', figure: keyof Stretch): number => {
  const theirs = of(all, stock)[which];
  return middle(of(all, ours)[which].map((stretch, i) => stretch[figure] / itemAt(theirs, i)[figure]));
};

const checks: (() => void)[] = [];
for (const shape of SHAPES) {
  const all = await measure(shape);
  console.log(
    `\n${shape.name}; light: ${shape.lightEachSecond} edits a second; full: ${(shape.rooms * shape.each) / shape.oneIn} writers, each as fast as its edits are seen; medians of ${TURNS} turns of ${SECONDS} s`,
  );
  print([
    ['', 'light p50', 'p99', 'full p50', 'p99', 'edits/s', 'of a core', 'edits/s a core', 'a client'],
    ...all.map(({ peer, light: calm, saturated: full, bytesEachClient }) => {
      const mid = (stretches: readonly Stretch[], figure: keyof Stretch) =>
        middle(stretches.map((stretch) => stretch[figure]));
      return [
        peer.name,
        `${number(mid(calm, 'p50'), 2)} ms`,
        `${number(mid(calm, 'p99'), 2)} ms`,
        `${number(mid(full, 'p50'), 1)} ms`,
        `${number(mid(full, 'p99'), 1)} ms`,
        number(mid(full, 'editsEachSecond'), 0),
        number(mid(full, 'share'), 2),
        number(mid(full, 'editsEachCore'), 0),
        kilobytes(bytesEachClient),
      ];
    }),
  ]);
  checks.push(() => {
    check(
      `${shape.name}, full, edits a second for each core`,
      ratio(all, 'saturated', 'editsEachCore'),
      thresholds.editsEachCoreAtLeast,
      false,
    );
    check(`${shape.name}, full, p99`, ratio(all, 'saturated', 'p99'), thresholds.saturatedP99AtMost, true);
    check(`${shape.name}, light, p50`, ratio(all, 'light', 'p50'), thresholds.lightP50AtMost, true);
    check(
      `${shape.name}, bytes a client`,
      of(all, ours).bytesEachClient / of(all, stock).bytesEachClient,
      thresholds.bytesEachClientAtMost,
      true,
    );
  });
}
const rooms: Idle[] = [];
for (const peer of PEERS) rooms.push(await idle(peer));
console.log(`\n${IDLE_ROOMS} rooms with one idle person in each`);
print([
  ['', 'a room', 'resident', 'of a core'],
  ...rooms.map(({ peer, bytesEachRoom, residentEachRoom, share }) => [
    peer.name,
    kilobytes(bytesEachRoom),
    kilobytes(residentEachRoom),
    number(share, 3),
  ]),
]);
checks.push(() =>
  check(
    'idle rooms, bytes a room with its person',
    itemAt(rooms, 0).bytesEachRoom / itemAt(rooms, 1).bytesEachRoom,
    thresholds.bytesEachRoomAtMost,
    true,
  ),
);
console.log();
for (const each of checks) each();
process.exit(failed > 0 ? 1 : 0);

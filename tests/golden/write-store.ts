/** Writes a store's file as this version's program leaves it, where there is none; see README.md. */
import { existsSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { openSqliteStore } from '../../server/store';
import { VERSION } from '../../server/store/tables';
import { joined } from '../unit/server/joined';

const file = fileURLToPath(new URL(`store-v${VERSION}.sqlite`, import.meta.url));
if (existsSync(file)) throw new Error(`${file} is there and stays as it is`);
const bytes = (...values: number[]) => new Uint8Array(values);

const store = openSqliteStore(file, { merge: joined });
await store.addBand('weir', 1000);
await store.addBand('mill', 2000);
const link = { kind: 'player', createdAt: 1001, endedAt: null, own: false } as const;
await store.addLink({ ...link, id: 'l1', bandId: 'weir' }, bytes(1, 1, 1));
await store.addLink({ ...link, id: 'l2', bandId: 'weir', kind: 'listener' }, bytes(2, 2, 2));
await store.endLink('weir', 'l2', 3000);
await store.create('band.weir', bytes(10));
await store.create('song.weir.a', bytes(20));
for (const value of [21, 22, 23]) await store.append('song.weir.a', bytes(value));
await store.compact('song.weir.a');
for (const value of [24, 25]) await store.append('song.weir.a', bytes(value, value));
await store.create('band.mill', new Uint8Array(6000).fill(7));
await store.close();
rmSync(`${file}.lock`);

import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { itemAt, type Random } from '../../../lib/base';

/** What was done to the files, in order, as disk.c writes it down. */
export type Change =
  | { readonly kind: 'write'; readonly file: number; readonly offset: number; readonly bytes: Uint8Array }
  | { readonly kind: 'cut'; readonly file: number; readonly length: number }
  | { readonly kind: 'sync'; readonly file: number }
  | { readonly kind: 'made'; readonly file: number; readonly name: string }
  | { readonly kind: 'gone'; readonly name: string }
  | { readonly kind: 'renamed'; readonly name: string; readonly to: string }
  | { readonly kind: 'folder synced' }
  /** The program said something: what it said before a cut it must be able to stand by after. */
  | { readonly kind: 'said'; readonly text: string };

const HEAD = 48;

export function readTrace(file: string): Change[] {
  const all = readFileSync(file);
  const changes: Change[] = [];
  for (let at = 0; at + HEAD <= all.length; ) {
    const number = (i: number) => Number(all.readBigUInt64LE(at + 8 * i));
    const kind = number(0);
    const inode = number(1);
    const offset = number(2);
    const length = number(3);
    const nameLength = number(4);
    const name = all.toString('utf8', at + HEAD, at + HEAD + nameLength);
    const from = at + HEAD + nameLength;
    // The last record may have been cut off with its program.
    if (from + length > all.length) break;
    const bytes = new Uint8Array(all.subarray(from, from + length));
    const text = () => Buffer.from(bytes).toString('utf8');
    if (kind === 1) changes.push({ kind: 'write', file: inode, offset, bytes });
    else if (kind === 2) changes.push({ kind: 'cut', file: inode, length: offset });
    else if (kind === 3) changes.push({ kind: 'sync', file: inode });
    else if (kind === 4) changes.push({ kind: 'made', file: inode, name });
    else if (kind === 5) changes.push({ kind: 'gone', name });
    else if (kind === 6) changes.push({ kind: 'folder synced' });
    else if (kind === 7) changes.push({ kind: 'renamed', name, to: text() });
    else if (kind === 8) changes.push({ kind: 'said', text: text() });
    else throw new Error(`the trace has a record of kind ${kind}`);
    at = from + length;
  }
  return changes;
}

/**
 * What a cut leaves of changes that were not synced. `none`: nothing. `all`: everything, as when only the program ends.
 * `some`: each sector of 512 bytes, each length and each name by chance, whatever the order in which they were made.
 */
export type Left = 'none' | 'all' | 'some';

const SECTOR = 512;

class File {
  bytes = Buffer.alloc(0);
  waiting: Extract<Change, { kind: 'write' | 'cut' }>[] = [];

  #put(offset: number, bytes: Uint8Array): void {
    const end = offset + bytes.length;
    if (end > this.bytes.length)
      this.bytes = Buffer.concat([this.bytes, Buffer.alloc(end - this.bytes.length)]);
    this.bytes.set(bytes, offset);
  }

  apply(change: Extract<Change, { kind: 'write' | 'cut' }>): void {
    if (change.kind === 'write') this.#put(change.offset, change.bytes);
    else if (change.length <= this.bytes.length)
      this.bytes = Buffer.from(this.bytes.subarray(0, change.length));
    else this.#put(change.length, new Uint8Array());
  }

  applySome(change: Extract<Change, { kind: 'write' | 'cut' }>, random: Random): void {
    if (change.kind === 'cut') {
      if (random() < 0.5) this.apply(change);
      return;
    }
    for (let at = 0; at < change.bytes.length; at += SECTOR)
      if (random() < 0.5) this.#put(change.offset + at, change.bytes.subarray(at, at + SECTOR));
  }

  sync(): void {
    for (const change of this.waiting) this.apply(change);
    this.waiting = [];
  }
}

type NameChange = Extract<Change, { kind: 'made' | 'gone' | 'renamed' }>;

/** What stands in the folder after a cut just before change number `cut`; and what was said in the trace before it. */
export function afterCut(
  changes: readonly Change[],
  cut: number,
  left: Left,
  random: Random,
  before: readonly Standing[] = [],
): { readonly files: ReadonlyMap<string, Uint8Array>; readonly said: string } {
  const files = new Map<number, File>();
  const names = new Map<string, number>();
  let waiting: NameChange[] = [];
  let said = '';
  for (const { name, file, bytes } of before) {
    names.set(name, file);
    const standing = new File();
    standing.apply({ kind: 'write', file, offset: 0, bytes });
    files.set(file, standing);
  }
  const fileOf = (inode: number): File => {
    const known = files.get(inode) ?? new File();
    files.set(inode, known);
    return known;
  };
  const rename = (change: NameChange) => {
    if (change.kind === 'made') names.set(change.name, change.file);
    else if (change.kind === 'gone') names.delete(change.name);
    else {
      const inode = names.get(change.name);
      if (inode === undefined) return;
      names.delete(change.name);
      names.set(change.to, inode);
    }
  };
  for (let i = 0; i < cut; i++) {
    const change = itemAt(changes, i);
    if (change.kind === 'write' || change.kind === 'cut') fileOf(change.file).waiting.push(change);
    else if (change.kind === 'sync') fileOf(change.file).sync();
    else if (change.kind === 'said') said += change.text;
    else if (change.kind === 'folder synced') {
      for (const name of waiting) rename(name);
      waiting = [];
    } else {
      // A number that is used again stands for a new file.
      if (change.kind === 'made') files.set(change.file, new File());
      waiting.push(change);
    }
  }
  for (const change of waiting) if (left === 'all' || (left === 'some' && random() < 0.5)) rename(change);
  for (const file of files.values())
    for (const change of file.waiting) {
      if (left === 'none') continue;
      if (left === 'all') file.apply(change);
      else file.applySome(change, random);
    }
  const standing = new Map<string, Uint8Array>();
  for (const [name, inode] of names) standing.set(name, fileOf(inode).bytes);
  return { files: standing, said };
}

/** A file that stood there, and was on the disk, before a trace began. */
export interface Standing {
  readonly name: string;
  readonly file: number;
  readonly bytes: Uint8Array;
}

export const standingIn = (folder: string): Standing[] =>
  readdirSync(folder).map((name) => {
    const path = join(folder, name);
    return { name, file: statSync(path).ino, bytes: readFileSync(path) };
  });

export function layOut(folder: string, files: ReadonlyMap<string, Uint8Array>): void {
  mkdirSync(folder, { recursive: true });
  for (const [name, bytes] of files) writeFileSync(join(folder, name), bytes);
}

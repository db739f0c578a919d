import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { run } from '../../../server/command/run';

const TUNES = join(import.meta.dirname, '../../tunes');
let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-own-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function call(...args: string[]) {
  const lines: string[] = [];
  const notes: string[] = [];
  const code = await run(args, {
    line: async (text) => {
      lines.push(text);
    },
    note: (text) => {
      notes.push(text);
    },
  });
  return { lines, notes, code };
}

describe('convert', () => {
  it('writes a song by the ending of the new name, and says what is not in it', async () => {
    const to = join(folder, 'song.mid');
    const { lines, notes, code } = await call('convert', join(TUNES, 'two-endings.abc'), to);
    expect(code).toBe(0);
    expect(lines).toEqual([`${to}: Nellie's Door`]);
    expect(notes).toContain('not written: repeats: each part is written once');
    expect(readFileSync(to).subarray(0, 4).toString()).toBe('MThd');
  });

  it('leaves what was there alone where it cannot write, and leaves no part of a file behind', async () => {
    const to = join(folder, 'there.abc');
    writeFileSync(to, 'as it was');
    const missing = await call('convert', join(folder, 'none.abc'), to);
    expect(missing.code).toBe(1);
    expect(missing.notes.join()).toContain('there is no such file');
    expect(readFileSync(to, 'utf8')).toBe('as it was');
    const nowhere = await call('convert', join(TUNES, 'pickup.abc'), join(folder, 'no/such/folder.abc'));
    expect(nowhere.code).toBe(1);
    expect(nowhere.notes.join()).toContain('cannot be written');
    const unknown = await call('convert', join(TUNES, 'pickup.abc'), join(folder, 'song.doc'));
    expect(unknown.code).toBe(1);
    expect(existsSync(join(folder, 'song.doc'))).toBe(false);
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it('takes two names', async () => {
    expect((await call('convert', join(TUNES, 'pickup.abc'))).code).toBe(2);
  });
});

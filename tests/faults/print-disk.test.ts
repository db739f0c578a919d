import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { diskLibrary, noDisk, root } from './build';

const hindrance = noDisk();
if (hindrance !== null) console.log(`parts on a full disk: not run, ${hindrance}`);

const TUNE = 'X:1\nT:Mill Race\nM:4/4\nL:1/4\nQ:1/4=100\nK:G\n"G"G A B c|"D"d4|\nw: Down by the mill race\n';
const PLAYERS = {
  players: [
    { id: 'ann', name: 'Ann', instruments: ['guitar'] },
    { id: 'ben', name: 'Ben', instruments: ['mandolin'] },
  ],
};

let folder = '';
let out = '';
let room = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-faults-'));
  out = join(folder, 'out');
  room = join(folder, 'room');
  writeFileSync(join(folder, 'tune.abc'), TUNE);
  writeFileSync(join(folder, 'players.json'), JSON.stringify(PLAYERS));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The command line with a disk below `out` on which no file grows beyond what stands in `room`. */
function breathmark(...args: string[]): Promise<{ code: number | null; said: string }> {
  const child = spawn(process.execPath, ['--import', 'tsx', 'server/command/main.ts', ...args], {
    cwd: root,
    env: { ...process.env, LD_PRELOAD: diskLibrary(), DISK_FOLDER: out, DISK_ROOM: room },
  });
  let said = '';
  child.stdout.on('data', (chunk: Buffer) => {
    said += chunk.toString();
  });
  child.stderr.on('data', (chunk: Buffer) => {
    said += chunk.toString();
  });
  return new Promise((resolve) => child.on('exit', (code) => resolve({ code, said })));
}
const parts = () =>
  breathmark('parts', join(folder, 'tune.abc'), '--players', join(folder, 'players.json'), '--out', out);
const contentOf = () =>
  Object.fromEntries(readdirSync(out).map((name) => [name, readFileSync(join(out, name)).length]));

describe.skipIf(hindrance !== null)('a disk that is full while files are made', () => {
  it('leaves what was there as it was and nothing half written, says so, and takes all once there is room', async () => {
    writeFileSync(room, String(10_000_000));
    expect((await parts()).code).toBe(0);
    const before = contentOf();
    expect(Object.keys(before).sort()).toEqual(['Mill Race - Ann.pdf', 'Mill Race - Ben.pdf']);

    // A part is some ten thousand bytes.
    writeFileSync(room, '4096');
    const refused = await parts();
    expect(refused.code).toBe(1);
    expect(refused.said).toContain('the disk is full');
    expect(refused.said).toContain('make room on the disk');
    expect(refused.said).toContain('Mill Race - Ann.pdf');
    expect(refused.said).not.toMatch(/^\s+at .*:\d+/m);
    expect(contentOf()).toEqual(before);

    writeFileSync(room, '16');
    const converted = await breathmark('convert', join(folder, 'tune.abc'), join(out, 'tune.musicxml'));
    expect(converted.code).toBe(1);
    expect(converted.said).toContain('the disk is full');
    expect(contentOf()).toEqual(before);

    rmSync(room);
    expect((await parts()).code).toBe(0);
    expect(contentOf()).toEqual(before);
  }, 180_000);
});

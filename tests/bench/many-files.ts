/**
 * 1,700 melodies through the command line in one call: seconds, and the most memory it held (where /proc tells). The folder
 * is made of the old songs of tests/outside/old-songs.abc, each in many keys. Exits 1 beyond the thresholds.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { z } from 'zod';
import { itemAt } from '../../lib/base';

const { files: most } = z
  .object({ files: z.object({ secondsAtMost: z.number(), megabytesAtMost: z.number() }) })
  .parse(JSON.parse(readFileSync(new URL('./thresholds.json', import.meta.url), 'utf8')));

const COUNT = 1700;
const KEYS = ['C', 'D', 'E', 'F', 'G', 'A', 'Bb', 'Eb', 'Am', 'Em', 'Dm'];
const root = join(import.meta.dirname, '../..');
const tunes = readFileSync(join(root, 'tests/outside/old-songs.abc'), 'utf8')
  .split(/^(?=X:)/m)
  .slice(1);
const folder = mkdtempSync(join(tmpdir(), 'breathmark-files-'));
for (let i = 0; i < COUNT; i++) {
  const key = itemAt(KEYS, Math.floor(i / tunes.length) % KEYS.length);
  const tune = itemAt(tunes, i % tunes.length).replace(/^K:.*$/m, `K:${key}`);
  writeFileSync(join(folder, `${String(i).padStart(4, '0')}.abc`), tune);
}

const started = performance.now();
const child = spawn(
  process.execPath,
  ['--import', 'tsx', 'server/command/main.ts', 'spaces', folder, '--json'],
  {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
  },
);
let lines = 0;
let megabytes = 0;
const look = setInterval(() => {
  try {
    const held = /VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))?.[1];
    megabytes = Math.max(megabytes, Number(held ?? 0) / 1024);
  } catch {
    // Ended between two looks, or a system without /proc.
  }
}, 50);
child.stdout.on('data', (data: Buffer) => {
  for (const byte of data) if (byte === 10) lines += 1;
});
const code = await new Promise((done) => child.on('close', done));
clearInterval(look);
const seconds = (performance.now() - started) / 1000;
rmSync(folder, { recursive: true, force: true });

const memory = megabytes > 0 ? `${megabytes.toFixed(0)} MB` : 'memory not measured';
console.log(`${lines} of ${COUNT} melodies answered in ${seconds.toFixed(1)} s, ${memory}`);
const holds =
  code === 0 && lines === COUNT && seconds <= most.secondsAtMost && megabytes <= most.megabytesAtMost;
console.log(`${holds ? 'holds ' : 'BEYOND'}  at most ${most.secondsAtMost} s and ${most.megabytesAtMost} MB`);
process.exit(holds ? 0 : 1);

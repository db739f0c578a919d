/** Serves the built program for the browser tests, with a fresh data folder that goes away with it. */
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const port = process.argv[2] ?? '4173';
const data = mkdtempSync(join(tmpdir(), 'breathmark-e2e-'));
const server = spawn(process.execPath, ['server/start.mjs', '--port', port], {
  stdio: 'inherit',
  env: { ...process.env, BREATHMARK_DATA: data },
});
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => server.kill(signal));
server.on('exit', (code) => {
  rmSync(data, { recursive: true, force: true });
  process.exit(code ?? 0);
});

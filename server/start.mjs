// Starts the server, built anew first where the sources have changed since.
import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { isBuilt } from './stamp.mjs';

process.env.NODE_ENV = 'production';
process.env.NEXT_TELEMETRY_DISABLED = '1';
if (!isBuilt()) {
  console.log('Building Breathmark (once, until its sources change) …');
  const built = spawnSync(process.execPath, [fileURLToPath(new URL('build.mjs', import.meta.url))], {
    stdio: 'inherit',
  });
  if (built.status !== 0) process.exit(built.status ?? 1);
}
await import('../dist/server.mjs');

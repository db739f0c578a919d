// Builds the pages (.next) and the server (dist/server.mjs), and notes from which sources.
import { spawnSync } from 'node:child_process';
import { mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { root, serviceWorker, sourceStamp, stampFile } from './stamp.mjs';

rmSync(stampFile, { force: true });
const stamp = sourceStamp();
const pages = spawnSync(process.execPath, [join(root, 'node_modules/next/dist/bin/next'), 'build'], {
  cwd: root,
  stdio: ['ignore', 'inherit', 'inherit'],
  env: { ...process.env, NODE_ENV: 'production', NEXT_TELEMETRY_DISABLED: '1' },
});
if (pages.status !== 0) {
  console.error('The pages could not be built; the lines above say why.');
  process.exit(1);
}
await build({
  absWorkingDir: root,
  entryPoints: {
    server: 'server/main.ts',
    'store-worker': 'server/store-worker.ts',
    'song-worker': 'server/http/song-worker.ts',
    'band-worker': 'server/http/band-worker.ts',
    'print-worker': 'server/http/print-worker.ts',
  },
  outdir: 'dist',
  outExtension: { '.js': '.mjs' },
  bundle: true,
  packages: 'external',
  platform: 'node',
  format: 'esm',
  target: 'node20',
  sourcemap: true,
  logLevel: 'warning',
});
// The service worker, which knows the scripts and styles of this build.
const shell = readdirSync(join(root, '.next/static/chunks'), { recursive: true })
  .map((name) => name.replaceAll('\\', '/'))
  .filter((name) => /\.(?:js|css)$/.test(name))
  .map((name) => `/_next/static/chunks/${name}`);
await build({
  absWorkingDir: root,
  entryPoints: ['app/sw/worker.ts'],
  outfile: serviceWorker,
  bundle: true,
  minify: true,
  format: 'iife',
  target: 'es2022',
  define: { SHELL_FILES: JSON.stringify(shell) },
  logLevel: 'warning',
});
mkdirSync(join(root, 'dist'), { recursive: true });
writeFileSync(stampFile, stamp);

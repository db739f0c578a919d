import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('../../..', import.meta.url));
const out = join(root, 'dist', 'bench');
let made: Promise<unknown> | null = null;

/**
 * A server's script, bundled as `server/build.mjs` bundles the server that people start. Run from the sources, every
 * function would carry a table of its name that a served one has not got: 750 bytes for each room.
 */
export async function builtScript(name: string): Promise<string> {
  made ??= build({
    absWorkingDir: root,
    entryPoints: {
      'serve-ours': 'tests/bench/sync/serve-ours.ts',
      'serve-stock': 'tests/bench/sync/serve-stock.ts',
      'serve-hocuspocus': 'tests/bench/sync/serve-hocuspocus.ts',
      'store-worker': 'server/store-worker.ts',
    },
    outdir: out,
    outExtension: { '.js': '.mjs' },
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    target: 'node20',
    logLevel: 'warning',
  });
  await made;
  return join(out, `${name}.mjs`);
}

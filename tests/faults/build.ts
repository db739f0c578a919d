import { type ChildProcess, execFileSync, type SpawnOptions, spawn } from 'node:child_process';
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

export const root = fileURLToPath(new URL('../..', import.meta.url));
/** Inside the project, so that what is built there finds the libraries. */
const built = join(root, 'test-results', `faults-${process.pid}`);
process.on('exit', () => rmSync(built, { recursive: true, force: true }));

let children: Promise<unknown> | null = null;

/** The programs that suites end, built once: they start in a fraction of the time that their sources would take. */
export async function childFile(name: 'store' | 'server' | 'migrate'): Promise<string> {
  children ??= build({
    absWorkingDir: root,
    entryPoints: {
      store: 'tests/faults/children/store.ts',
      server: 'tests/faults/children/server.ts',
      migrate: 'tests/faults/children/migrate.ts',
      'store-worker': 'server/store-worker.ts',
    },
    outdir: built,
    outExtension: { '.js': '.mjs' },
    bundle: true,
    packages: 'external',
    platform: 'node',
    format: 'esm',
    target: 'node20',
    logLevel: 'warning',
  });
  await children;
  return join(built, `${name}.mjs`);
}

let disk: string | null = null;

/** The disk that tells on itself, compiled once. */
export function diskLibrary(): string {
  if (disk !== null) return disk;
  mkdirSync(built, { recursive: true });
  disk = join(built, 'disk.so');
  const source = join(root, 'tests/faults/disk/disk.c');
  execFileSync('gcc', ['-O2', '-shared', '-fPIC', '-o', disk, source, '-ldl', '-lpthread'], {
    stdio: 'pipe',
  });
  return disk;
}

/** Why there can be no such disk here; null where there can. */
export function noDisk(): string | null {
  if (process.platform !== 'linux') return 'the disk of tests/faults/disk is for Linux';
  try {
    execFileSync('gcc', ['--version'], { stdio: 'ignore' });
    return null;
  } catch {
    return 'there is no C compiler (gcc)';
  }
}

export const freshFolder = (): string => mkdtempSync(join(tmpdir(), 'breathmark-faults-'));

export function start(file: string, args: readonly string[], options: SpawnOptions = {}): ChildProcess {
  if (!existsSync(file)) throw new Error(`${file} has not been built`);
  return spawn(process.execPath, [file, ...args], {
    cwd: root,
    stdio: ['ignore', 'ignore', 'inherit'],
    ...options,
  });
}

/** How a program ended: its exit code or the signal that ended it. */
export const ended = (child: ChildProcess): Promise<number | NodeJS.Signals> =>
  new Promise((done) => child.on('exit', (code, signal) => done(signal ?? code ?? 0)));

import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The project's folder. */
export const root = fileURLToPath(new URL('..', import.meta.url));

/** Where the stamp of the sources that were last built lies. */
export const stampFile = join(root, 'dist', '.stamp');

const SOURCES = [
  'app',
  'lib',
  'server',
  'public',
  'next.config.js',
  'postcss.config.mjs',
  'package.json',
  'package-lock.json',
  'tsconfig.json',
];

/** A hash over everything that the build is made from. */
export function sourceStamp() {
  const hash = createHash('sha256').update(process.version);
  for (const name of SOURCES) if (existsSync(join(root, name))) add(hash, name);
  return hash.digest('hex');
}

/** Written into public/ by the build itself. */
export const serviceWorker = 'public/sw.js';

function add(hash, name) {
  if (name === serviceWorker) return;
  const path = join(root, name);
  let names;
  try {
    names = readdirSync(path).sort();
  } catch (error) {
    if (error.code !== 'ENOTDIR') throw error;
    // Next may lay out tsconfig.json anew while it builds; what counts is what it says.
    const text = readFileSync(path);
    hash.update(`${name}\0`).update(name === 'tsconfig.json' ? text.toString().replace(/\s+/g, '') : text);
    return;
  }
  for (const inner of names) add(hash, `${name}/${inner}`);
}

/** Whether what was built last was built from these sources. */
export function isBuilt() {
  const whole = ['dist/server.mjs', '.next/BUILD_ID'].every((name) => existsSync(join(root, name)));
  return whole && existsSync(stampFile) && readFileSync(stampFile, 'utf8') === sourceStamp();
}

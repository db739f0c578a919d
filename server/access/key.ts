import { randomBytes } from 'node:crypto';
import { chmodSync, existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

const BYTES = 32;

/**
 * The key by which session cookies are signed, kept in the data folder for its owner's eyes alone. Made once; without
 * it (or with another) every device has to open its link again.
 */
export function loadKey(dataFolder: string): Buffer {
  const file = join(dataFolder, 'session.key');
  if (!existsSync(file)) {
    const fresh = `${file}.new`;
    writeFileSync(fresh, randomBytes(BYTES).toString('base64url'), { mode: 0o600 });
    renameSync(fresh, file);
  }
  chmodSync(file, 0o600);
  const key = Buffer.from(readFileSync(file, 'utf8').trim(), 'base64url');
  if (key.length < BYTES)
    throw new Error(`${file} is damaged: remove it, and everybody opens their link again`);
  return key;
}

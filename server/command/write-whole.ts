import { mkdir, rename, rm, writeFile } from 'node:fs/promises';
import { dirname } from 'node:path';
import { fail, ok, type Result } from '../../lib/base';

/**
 * Writes a file, which is there whole or not at all: what was there under its name stays until the new one is whole, and nothing half written
 * is left behind.
 *
 * @param what how the file is called in a sentence: `the part`
 */
export async function writeWhole(
  what: string,
  to: string,
  content: string | Uint8Array,
  { makeFolder = false }: { readonly makeFolder?: boolean } = {},
): Promise<Result<null>> {
  const draft = `${to}.${process.pid}.part`;
  try {
    if (makeFolder) await mkdir(dirname(to), { recursive: true });
    await writeFile(draft, content);
    await rename(draft, to);
    return ok(null);
  } catch (error) {
    await rm(draft, { force: true }).catch(() => {});
    const code = error instanceof Error && 'code' in error ? error.code : null;
    if (code === 'ENOSPC' || code === 'EDQUOT')
      return fail(
        `${what} cannot be written: the disk is full`,
        to,
        'make room on the disk, and ask once more; what was there before is as it was',
      );
    const why = error instanceof Error ? error.message : String(error);
    return fail(
      `${what} cannot be written (${why})`,
      to,
      'check the folder, and that there is room on the disk',
    );
  }
}

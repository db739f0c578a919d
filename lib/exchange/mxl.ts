import { unzipSync } from 'fflate';
import { fail, ok, type Result } from '../base';
import { child, childrenOf, readXml } from './xml-tree';

/** A compressed score of a song unpacks to some hundred kilobytes. */
export const MOST_UNPACKED_BYTES = 40_000_000;
/** Scores shrink to a tenth or a thirtieth; beyond this, a file of some size is no score. */
const MOST_RATIO = 250;
const MOST_FILES = 500;

/** Thrown from within the unpacking, so that nothing more of it is done. */
class Refused extends Error {}

/**
 * The score within a compressed MusicXML file (.mxl): the first root file that its container names, else its first file of XML.
 * Only these two files are unpacked, each into no more memory than its entry declares, and no more than `MOST_UNPACKED_BYTES`.
 *
 * @returns a problem where the archive is broken, is too large unpacked, or holds no score
 */
export function unpackScore(bytes: Uint8Array): Result<Uint8Array> {
  try {
    const names: string[] = [];
    const container = unpack(bytes, (name) => {
      names.push(name);
      if (names.length > MOST_FILES) throw new Refused(`it holds more than ${MOST_FILES} files`);
      return name === 'META-INF/container.xml';
    });
    const named = container ? rootFileOf(container) : null;
    const wanted =
      named !== null && names.includes(named)
        ? named
        : names.find((name) => /\.(?:musicxml|xml)$/i.test(name) && !name.startsWith('META-INF/'));
    const score = wanted === undefined ? null : unpack(bytes, (name) => name === wanted);
    return score
      ? ok(score)
      : fail(
          'this compressed file holds no score',
          names.length === 0 ? 'the whole file' : `its files: ${names.slice(0, 5).join(', ')}`,
          'export the score again as MusicXML',
        );
  } catch (error) {
    if (error instanceof Refused)
      return fail(
        `this compressed score is not unpacked: ${error.message}`,
        'the whole file',
        'check that it is the right file, and export the score again as MusicXML',
      );
    return fail(
      'this compressed score is broken or cut short',
      'the whole file',
      'copy or export it again; the plain form (.musicxml) can be read as well',
    );
  }
}

function unpack(bytes: Uint8Array, wants: (name: string) => boolean): Uint8Array | null {
  let taken = false;
  const files = unzipSync(bytes, {
    filter: ({ name, size, originalSize }) => {
      if (!wants(name) || taken) return false;
      if (originalSize > MOST_UNPACKED_BYTES)
        throw new Refused(
          `${name} would have ${originalSize} bytes; at most ${MOST_UNPACKED_BYTES} are read`,
        );
      if (originalSize > 1_000_000 && originalSize > size * MOST_RATIO)
        throw new Refused(
          `${name} is packed ${Math.round(originalSize / Math.max(1, size))} to 1, as no score is`,
        );
      taken = true;
      return true;
    },
  });
  return Object.values(files)[0] ?? null;
}

function rootFileOf(container: Uint8Array): string | null {
  const read = readXml(new TextDecoder().decode(container), new Set());
  if (!read.ok) return null;
  const files = childrenOf(child(read.value, 'rootfiles'), 'rootfile');
  const score = files.find((file) => /musicxml/.test(file.attributes['media-type'] ?? 'musicxml'));
  return (score ?? files[0])?.attributes['full-path'] ?? null;
}

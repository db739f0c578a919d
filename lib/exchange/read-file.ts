import { fail, ok, type Result } from '../base';
import { type ReadOptions, readAbc, type SongRead } from './abc-read';
import { looksLikeAbc, MOST_CHARACTERS, unreadable } from './abc-text';
import { readText } from './text-read';

/** Endings of song files that are read. */
export const READ_ENDINGS: readonly string[] = ['.abc', '.txt'];

const endings = READ_ENDINGS.join(', ');

/**
 * Reads a song file by its name's ending; the title, where the text names none, is the name without it.
 *
 * @param content the file's bytes (UTF-8, or Latin-1 where it is not), or its text
 * @returns a problem for an ending that is not read, with those that are
 */
export async function readSongFile(
  name: string,
  content: Uint8Array | string,
  options: Pick<ReadOptions, 'makeId'> & Partial<Pick<ReadOptions, 'title'>>,
): Promise<Result<SongRead>> {
  const file = name.slice(Math.max(name.lastIndexOf('/'), name.lastIndexOf('\\')) + 1);
  const dot = file.lastIndexOf('.');
  const ending = dot < 0 ? '' : file.slice(dot).toLowerCase();
  if (!READ_ENDINGS.includes(ending))
    return fail(
      ending === '' ? 'the file name has no ending' : `files that end in ${ending} are not read`,
      name,
      `these endings are read: ${endings}`,
    );
  const text = textOf(content);
  if (!text.ok) return { ok: false, error: { ...text.error, where: `${name}, ${text.error.where}` } };
  const title = options.title ?? file.slice(0, dot);
  const full = { makeId: options.makeId, title: title || 'Untitled' };
  const read =
    ending === '.txt' && !looksLikeAbc(text.value)
      ? readText(text.value, full)
      : await readAbc(text.value, full);
  return read.ok ? read : { ok: false, error: { ...read.error, where: `${name}, ${read.error.where}` } };
}

/** Reads a song from pasted text: ABC, told by its first fields, else words with chords above them. */
export async function readPastedSong(text: string, options: ReadOptions): Promise<Result<SongRead>> {
  const problem = unreadable(text);
  if (problem) return { ok: false, error: problem };
  return looksLikeAbc(text) ? readAbc(text, options) : readText(text, options);
}

/** Bytes as text. Old files are in Latin-1; a text that is no good UTF-8 is taken as that. */
function textOf(content: Uint8Array | string): Result<string> {
  if (typeof content === 'string') return ok(content);
  if (content.length > MOST_CHARACTERS * 4)
    return fail(
      `the file has ${content.length} bytes; at most ${MOST_CHARACTERS} characters are read`,
      'the whole file',
      'keep one song in a file, and check that it is the right file',
    );
  try {
    return ok(new TextDecoder('utf-8', { fatal: true }).decode(content));
  } catch {
    return ok(new TextDecoder('windows-1252').decode(content));
  }
}

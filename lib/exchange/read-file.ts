import { fail, ok, type Result } from '../base';
import { type ReadOptions, readAbc, type SongRead } from './abc-read';
import { looksLikeAbc, MOST_CHARACTERS, unreadable } from './abc-text';

/** Endings of song files that are read. */
export const READ_ENDINGS: readonly string[] = ['.abc'];

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
  const read = await readAbc(text.value, { makeId: options.makeId, title: title || 'Untitled' });
  return read.ok ? read : { ok: false, error: { ...read.error, where: `${name}, ${read.error.where}` } };
}

/** Reads a song from pasted text: ABC, told by its first fields. */
export async function readPastedSong(text: string, options: ReadOptions): Promise<Result<SongRead>> {
  const problem = unreadable(text);
  if (problem) return { ok: false, error: problem };
  if (!looksLikeAbc(text))
    return fail(
      'this text is not ABC, and no other kind of text is read yet',
      'the pasted text',
      'paste an ABC tune: it starts with "X:1" and has a line "K:" with the key; the music follows it',
    );
  return readAbc(text, options);
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

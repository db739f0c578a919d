import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { fail, type MakeId, ok, type Result } from '../../lib/base';
import { READ_ENDINGS, readEndingOf, readSongFile, type SongRead } from '../../lib/exchange';

/** Every song file that the names stand for, in the order given; a folder stands for its own song files by name. */
export async function* songFiles(names: readonly string[]): AsyncGenerator<Result<string>> {
  for (const name of names) {
    const found = await stat(name).catch(() => null);
    if (!found?.isDirectory()) {
      yield ok(name);
      continue;
    }
    const inside = await readdir(name).catch(() => null);
    if (!inside) {
      yield fail('the folder cannot be read', name, 'check that you may read it');
      continue;
    }
    const songs = inside.filter((each) => readEndingOf(each) !== null).sort();
    if (songs.length === 0) {
      yield fail(
        'the folder holds no song files',
        name,
        `song files end in ${READ_ENDINGS.join(', ')}; folders inside it are not looked into`,
      );
    }
    for (const each of songs) yield ok(join(name, each));
  }
}

/** Reads one song file; its ids count from 1, so that the same file gives the same ids every time. */
export async function readSong(file: string): Promise<Result<SongRead>> {
  const content = await readFile(file).catch((error: NodeJS.ErrnoException) => error);
  if (content instanceof Error) return unreadable(file, content);
  return readSongFile(basename(file), content, { makeId: countedIds() });
}

/** Reads a file of JSON as text; null with the reason where it cannot be had. */
export async function readText(file: string): Promise<Result<string>> {
  const content = await readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => error);
  return content instanceof Error ? unreadable(file, content) : ok(content);
}

function unreadable(file: string, error: NodeJS.ErrnoException): Result<never> {
  if (error.code === 'ENOENT') return fail('there is no such file', file, 'check the name and the folder');
  return fail(`the file cannot be read (${error.code ?? error.message})`, file, 'check that you may read it');
}

function countedIds(): MakeId {
  let count = 0;
  return () => {
    count += 1;
    return `i${count}`;
  };
}

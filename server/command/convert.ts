import { ok, type Result } from '../../lib/base';
import { sayLeftOutPlace, writeSongFile } from '../../lib/exchange';
import { readSong } from './inputs';
import { writeWhole } from './write-whole';

/** What was written, and what is not in it. */
export interface Converted {
  readonly title: string;
  /** What the reader did not take up, then what the format cannot hold; a sentence each. */
  readonly notes: readonly string[];
}

/** `convert`: one song file as another, by the endings of their names. The new file is there whole or not at all. */
export async function convert(from: string, to: string): Promise<Result<Converted>> {
  const read = await readSong(from);
  if (!read.ok) return read;
  const { song, report, players } = read.value;
  const written = writeSongFile(to, song, players);
  if (!written.ok) return written;
  const { content, leftOut } = written.value;
  const kept = await writeWhole('the file', to, content);
  if (!kept.ok) return kept;
  return ok({
    title: song.title,
    notes: [
      ...report.warnings.map((warning) => `to be looked at: ${warning}`),
      ...report.leftOut.map((each) => `not read: ${each.what} (${sayLeftOutPlace(each)})`),
      ...leftOut.map((what) => `not written: ${what}`),
    ],
  });
}

import { fail, ok, type Result } from '../base';
import { songSchema } from '../song';
import { type ReadOptions, readAbc, type SongRead } from './abc-read';
import { looksLikeAbc, MOST_CHARACTERS, unreadable } from './abc-text';
import { BAND_FILE_ENDING, readBandFile } from './band-file';
import type { MidiOptions } from './midi-read';
import { Findings } from './report';
import { reportSong } from './report-song';
import { readText } from './text-read';

/** Endings of song files that are read. */
export const READ_ENDINGS: readonly string[] = [
  '.abc',
  '.txt',
  '.musicxml',
  '.xml',
  '.mxl',
  '.mid',
  '.midi',
  BAND_FILE_ENDING,
];

/** The ending of a song file's name, of those that are read; null for any other. */
export function readEndingOf(name: string): string | null {
  const lower = name.toLowerCase();
  return READ_ENDINGS.find((ending) => lower.endsWith(ending)) ?? null;
}

const endings = READ_ENDINGS.join(', ');

/** Larger files are not read, whatever they hold. */
export const MOST_BYTES = 40_000_000;

/**
 * Reads a song file by its name's ending; the title, where the file names none, is the name without it.
 *
 * @param content the file's bytes (text: UTF-8, or Latin-1 where it is not), or its text
 * @returns a problem for an ending that is not read, with those that are
 */
export async function readSongFile(
  name: string,
  content: Uint8Array | string,
  options: Pick<ReadOptions, 'makeId'> & Partial<Pick<MidiOptions, 'title' | 'melody'>>,
): Promise<Result<SongRead>> {
  const file = name.slice(Math.max(name.lastIndexOf('/'), name.lastIndexOf('\\')) + 1);
  const dot = file.lastIndexOf('.');
  const ending = readEndingOf(file);
  if (ending === null)
    return fail(
      dot < 0
        ? 'the file name has no ending'
        : `files that end in ${file.slice(dot).toLowerCase()} are not read`,
      name,
      `these endings are read: ${endings}`,
    );
  const title = options.title ?? file.slice(0, dot);
  const read = thatCanBeKept(
    await readByEnding(ending, content, {
      makeId: options.makeId,
      title: title || 'Untitled',
      melody: options.melody,
    }),
  );
  return read.ok ? read : { ok: false, error: { ...read.error, where: `${name}, ${read.error.where}` } };
}

async function readByEnding(
  ending: string,
  content: Uint8Array | string,
  options: MidiOptions,
): Promise<Result<SongRead>> {
  if (typeof content !== 'string' && content.length > MOST_BYTES)
    return fail(
      `the file has ${content.length} bytes; at most ${MOST_BYTES} are read`,
      'the whole file',
      'keep one song in a file, and check that it is the right file',
    );
  if (content.length === 0)
    return fail('there is nothing in it', 'the whole file', 'choose the file again, or export it again');
  // What a score is packed in is told by its first bytes, since endings are often changed by hand.
  const packed = typeof content !== 'string' && content[0] === 0x50 && content[1] === 0x4b;
  if (ending === '.mxl' || ending === '.musicxml' || ending === '.xml') {
    const { decodeXml, readMusicXml, readMxl } = await import('./musicxml-read');
    if (packed) return readMxl(content, options);
    const text = typeof content === 'string' ? content : decodeXml(content);
    return ending === '.mxl' && !/^\s*</.test(text) ? notPacked() : readMusicXml(text, options);
  }
  if (ending === '.mid' || ending === '.midi') {
    const { readMidi } = await import('./midi-read');
    return typeof content === 'string' ? notBytes() : readMidi(content, options);
  }
  const text = textOf(content);
  if (!text.ok) return text;
  if (ending === BAND_FILE_ENDING) return readBandSong(text.value);
  return ending === '.txt' && !looksLikeAbc(text.value)
    ? readText(text.value, options)
    : readAbc(text.value, options);
}

/** The first song of a band file. */
function readBandSong(text: string): Result<SongRead> {
  const file = readBandFile(text);
  if (!file.ok) return file;
  const [song, ...others] = file.value.songs;
  if (song === undefined)
    return fail('the band file holds no song', 'its field "songs"', 'write a song into the band file first');
  const findings = new Findings(text);
  reportSong(song, findings);
  if (others.length > 0)
    findings.warn(`the file holds ${others.length} songs more; the first is taken, "${song.title}"`);
  return ok({ song, report: findings.report(), players: file.value.band?.players ?? [] });
}

const notBytes = (): Result<never> =>
  fail('a MIDI file is not text', 'the whole file', 'choose the file itself rather than paste it');

const notPacked = (): Result<never> =>
  fail(
    'this is no compressed score',
    'the first bytes',
    'choose the file again, or export the score again; .mxl is MusicXML packed as a zip archive',
  );

/**
 * Reads a song from pasted text: ABC, told by its first fields, MusicXML, told by its first sign, else words with chords above them.
 */
export async function readPastedSong(text: string, options: ReadOptions): Promise<Result<SongRead>> {
  if (/^\uFEFF?\s*<(?:\?xml|!DOCTYPE score|score-)/.test(text)) {
    const { readMusicXml } = await import('./musicxml-read');
    return thatCanBeKept(readMusicXml(text, options));
  }
  const problem = unreadable(text);
  if (problem) return { ok: false, error: problem };
  return thatCanBeKept(await (looksLikeAbc(text) ? readAbc(text, options) : readText(text, options)));
}

/** What was read, where a song can hold it: not a note or a bar of days, as files have that were damaged on their way. */
function thatCanBeKept(read: Result<SongRead>): Result<SongRead> {
  if (!read.ok) return read;
  const issue = songSchema.safeParse(read.value.song).error?.issues[0];
  if (!issue) return read;
  const [list, index] = issue.path;
  const isTime = issue.path.includes('ticks');
  return fail(
    isTime ? 'something in it lasts longer than any song' : 'it holds something that no song can have',
    typeof index === 'number'
      ? `number ${index + 1} of its ${String(list)}`
      : String(list ?? 'the whole file'),
    'mend it there, or export the file again',
  );
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

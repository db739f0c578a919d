import type { Problem } from '../../lib/base';

/** The most signs that the page shows in its text box and still answers keys; a long song has some ten thousand. */
const MOST_SIGNS = 1_000_000;

/** Why a text of that many signs (or bytes) is not even opened; null where it is. */
export function tooLarge(size: number, name: string | null): Problem | null {
  if (size <= MOST_SIGNS) return null;
  const millions = (count: number) => (count / 1_000_000).toFixed(1).replace('.0', '');
  return {
    what: `that is ${millions(size)} million signs; ${millions(MOST_SIGNS)} million are read at most`,
    where: name ?? 'the pasted text',
    mend: 'take the one song out of it that you want (from its X: line to the next), and bring in that',
  };
}

/** Scores that are packed or marked up are larger than the songs in them. */
const MOST_FILE_BYTES = 20_000_000;

/** Why a file that is not read as text is not even opened; null where it is. */
export function fileTooLarge(bytes: number, name: string): Problem | null {
  if (bytes <= MOST_FILE_BYTES) return null;
  return {
    what: `that is ${Math.ceil(bytes / 1_000_000)} million bytes; ${MOST_FILE_BYTES / 1_000_000} million are read at most`,
    where: name,
    mend: 'export the one song that you want, with the parts that are sung, and bring in that',
  };
}

/** Why a band file of that many bytes is not even opened; null where it is. */
export function bandFileTooLarge(bytes: number, most: number, name: string): Problem | null {
  if (bytes <= most) return null;
  return {
    what: `the file has ${Math.ceil(bytes / 1_000_000)} million bytes; ${Math.floor(most / 1_000_000)} million are read at most`,
    where: name,
    mend: 'take songs out of its field "songs", and bring it in in parts',
  };
}

/** Whether a file is a band file, by its name. */
export const isBandFile = (name: string): boolean => name.toLowerCase().endsWith('.breathmark.json');

/** Whether a file is one that people read and mend as text, rather than a score, MIDI or a band file. */
export function isTextFile(name: string): boolean {
  return !/\.(?:musicxml|xml|mxl|midi?|json)$/i.test(name);
}

/** A file as text: UTF-8 as most are, and older ones as the signs of Western Europe. */
export function decodeText(bytes: ArrayBuffer): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

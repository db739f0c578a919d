import type { Problem } from '../../lib/base';

/** The most that is read at once, in bytes: some hundred times a long song with all its stanzas. */
export const MOST_BYTES = 2_000_000;

/** Why a text of that size is not read; null where it is. */
export function tooLarge(bytes: number, name: string | null): Problem | null {
  if (bytes <= MOST_BYTES) return null;
  const size = (bytes / 1_000_000).toFixed(1);
  return {
    what: `that is ${size} MB; a song can have ${MOST_BYTES / 1_000_000} MB at most`,
    where: name ?? 'the pasted text',
    mend: 'take the one song out of it that you want (from its X: line to the next), and bring in that',
  };
}

/** A file as text: UTF-8 as most are, and older ones as the signs of Western Europe. */
export function decodeText(bytes: ArrayBuffer): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

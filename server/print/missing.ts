import type { Band, SetList, Song } from '../../lib/song';
import { runsOf } from './fonts';

/** What of a song's own words goes onto paper. */
export function wordsOfSong(song: Song): readonly string[] {
  return [
    song.title,
    ...song.sections.map(({ name }) => name),
    ...song.passes.map(({ name }) => name),
    ...song.notes.flatMap(({ syllables }) => syllables.flatMap((one) => (one === null ? [] : [one.text]))),
    ...song.chords.map(({ symbol }) => symbol),
    song.start.with,
    song.ending.note,
  ];
}

export const wordsOfBand = ({ name, players }: Band): readonly string[] => [
  name,
  ...players.flatMap((player) => [player.name, player.initials]),
];

export const wordsOfSet = ({ name, entries }: SetList): readonly string[] => [
  name,
  ...entries.map(({ note }) => note),
];

/** At most so many signs are named. */
const NAMED = 12;

/** A sentence for the reader where no font here has some signs of a text; they cannot be shown in it. */
export function missingNotes(texts: readonly string[]): readonly string[] {
  const missing = new Set<string>();
  for (const text of new Set(texts)) runsOf(text, 'words', (sign) => missing.add(sign));
  if (missing.size === 0) return [];
  const codes = [...missing]
    .slice(0, NAMED)
    .map((sign) => `U+${(sign.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}`);
  const more = missing.size > NAMED ? ` and ${missing.size - NAMED} more` : '';
  return [
    `Question marks stand for signs that no font of this print has (Unicode ${codes.join(', ')}${more}): print this part from its page instead, with the fonts of your device.`,
  ];
}

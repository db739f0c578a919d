import type { Band, SetList, Song } from '../../lib/song';
import { runsOf } from './fonts';

/** A text that goes onto paper, and where it stands there, as people would look for it. */
export interface Written {
  readonly text: string;
  readonly where: string;
}

/** What of a song's own words goes onto paper. */
export function wordsOfSong(song: Song): readonly Written[] {
  const sections = new Map(song.sections.map((section) => [section.id, section]));
  const placeOf = new Map<string, string>();
  for (const section of sections.values()) {
    let number = 0;
    for (const bar of section.bars) {
      if (!bar.pickup) number += 1;
      placeOf.set(bar.id, `${section.name}, ${number === 0 ? 'the pickup' : `bar ${number}`}`);
    }
  }
  return [
    { text: song.title, where: 'the title' },
    ...song.sections.map(({ name }) => ({ text: name, where: 'the name of a section' })),
    ...song.passes.map(({ name }, i) => ({ text: name, where: `the name of pass ${i + 1}` })),
    ...song.notes.flatMap(({ barId, syllables }) =>
      syllables.flatMap((one, stanza) =>
        one === null
          ? []
          : [
              {
                text: one.text,
                where: `${placeOf.get(barId) ?? 'the words'}${stanza > 0 ? `, stanza ${stanza + 1}` : ''}`,
              },
            ],
      ),
    ),
    ...song.chords.map(({ barId, symbol }) => ({
      text: symbol,
      where: `a chord at ${placeOf.get(barId) ?? 'a bar'}`,
    })),
    { text: song.start.with, where: 'how it starts' },
    { text: song.ending.note, where: 'how it ends' },
  ];
}

export const wordsOfBand = ({ name, players }: Band): readonly Written[] => [
  { text: name, where: 'the name of the band' },
  ...players.flatMap((player) => [
    { text: player.name, where: 'the name of a player' },
    { text: player.initials, where: 'the initials of a player' },
  ]),
];

export const wordsOfSet = ({ name, entries }: SetList): readonly Written[] => [
  { text: name, where: 'the name of the set' },
  ...entries.map(({ note }, i) => ({ text: note, where: `the note to song ${i + 1}` })),
];

/** Scripts by what people call them. Source: Unicode Standard Annex 24, Script property; from memory. */
const SCRIPTS: readonly (readonly [RegExp, string])[] = [
  [/\p{Script=Han}/u, 'Chinese characters'],
  [/[\p{Script=Hiragana}\p{Script=Katakana}]/u, 'Japanese kana'],
  [/\p{Script=Hangul}/u, 'Korean letters'],
  [/\p{Script=Hebrew}/u, 'Hebrew letters'],
  [/\p{Script=Arabic}/u, 'Arabic letters'],
  [/\p{Script=Devanagari}/u, 'Devanagari letters'],
  [/\p{Script=Thai}/u, 'Thai letters'],
  [/\p{Script=Georgian}/u, 'Georgian letters'],
  [/\p{Script=Armenian}/u, 'Armenian letters'],
  [/\p{Extended_Pictographic}/u, 'pictures'],
];
const scriptOf = (sign: string): string => SCRIPTS.find(([script]) => script.test(sign))?.[1] ?? 'signs';

/** At most so many places and signs are named. */
const NAMED = { places: 4, signs: 6 } as const;

/**
 * For the reader, where no font here has some signs of what is printed: a sentence for each script, with where it stands and what to do. The
 * signs themselves cannot be shown in it; their Unicode numbers are.
 */
export function missingNotes(texts: readonly Written[]): readonly string[] {
  const found = new Map<string, { signs: Set<string>; places: Set<string> }>();
  for (const { text, where } of texts)
    runsOf(text, 'words', (sign) => {
      const script = scriptOf(sign);
      const known = found.get(script) ?? { signs: new Set(), places: new Set() };
      known.signs.add(sign);
      // A place that itself cannot be drawn is told by its number alone.
      known.places.add(isDrawn(where) ? where : where.replace(/^.*, (?=bar|the pickup)/, ''));
      found.set(script, known);
    });
  return [...found].map(([script, { signs, places }]) => {
    const codes = [...signs].map(
      (sign) => `U+${(sign.codePointAt(0) ?? 0).toString(16).toUpperCase().padStart(4, '0')}`,
    );
    const where = firstOf([...places].filter(isDrawn), NAMED.places, '; ');
    return `No font of this print has the ${script} (${firstOf(codes, NAMED.signs, ', ')}) that stand in ${where}: question marks stand for them. Print from the page instead, with the fonts of your device.`;
  });
}

function isDrawn(text: string): boolean {
  let whole = true;
  runsOf(text, 'plain', () => {
    whole = false;
  });
  return whole;
}

function firstOf(all: readonly string[], count: number, between: string): string {
  const more = all.length > count ? `${between}and ${all.length - count} more` : '';
  return all.slice(0, count).join(between) + more;
}

import type { InstrumentName, StrokeRule } from '../../lib/instruments';
import type { Player } from '../../lib/song';

export const SINGS: readonly { readonly value: Player['sings']; readonly text: string }[] = [
  { value: 'none', text: 'does not sing' },
  { value: 'lead', text: 'lead' },
  { value: 'tenor', text: 'tenor' },
  { value: 'baritone', text: 'baritone' },
];

export const RULES: readonly { readonly value: StrokeRule; readonly text: string }[] = [
  { value: 'toward', text: 'toward the next string' },
  { value: 'alternate', text: 'alternate, down on the beat' },
];

export const INKS = ['blue', 'rust', 'green', 'purple', 'brown', 'sea blue', 'olive', 'black'] as const;

/** `guitar and banjo; sings lead`. */
export function playsAndSings(player: Pick<Player, 'instruments' | 'sings'>): string {
  const plays = inWords(player.instruments) || 'plays nothing yet';
  return player.sings === 'none' ? plays : `${plays}; sings ${player.sings}`;
}

/** `a, b and c`; empty for nothing. */
export function inWords(names: readonly string[]): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}

/** What a band would most likely write for a name: `Ann` for Ann, `MR` for Mary Rose. At most four signs. */
export function initialsFor(name: string, taken: readonly string[]): string {
  const words = name.trim().split(/\s+/).filter(Boolean);
  const first = words[0] ?? '';
  const letters = words.map((word) => [...word][0] ?? '').join('');
  const tries = [
    letters.length > 1 ? letters : '',
    [...first].slice(0, 3).join(''),
    [...first].slice(0, 4).join(''),
  ];
  const wanted = tries.filter(Boolean).map((text) => [...text].slice(0, 4).join(''));
  return wanted.find((text) => !taken.includes(text)) ?? wanted[0] ?? '';
}

/** The first ink that nobody has yet; with eight or more players inks are shared, and initials tell them apart. */
export function nextInk(players: readonly Player[]): number {
  for (let ink = 0; ink < INKS.length; ink++) {
    if (!players.some((player) => player.ink === ink)) return ink;
  }
  return players.length % INKS.length;
}

export function blankPlayer(
  id: string,
  players: readonly Player[],
  instruments: readonly InstrumentName[] = [],
): Player {
  return {
    id,
    name: '',
    initials: '',
    instruments,
    sings: 'none',
    rule: 'toward',
    comfortEighthsPerMinute: null,
    spanMillimetres: null,
    range: null,
    ink: nextInk(players),
  };
}

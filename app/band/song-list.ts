import type { SongEntry } from '../../lib/song';
import { type Key, keyName } from '../../lib/theory';

/** What is known of a song beside its entry, once it was asked for. */
export interface SongFacts {
  readonly key: Key;
  /** When something of it was last settled or written down by name, in milliseconds since 1970; null: never. */
  readonly lastAt: number | null;
}

export const SONG_ORDERS = ['the band’s order', 'title', 'key', 'last settled'] as const;
export type SongOrder = (typeof SONG_ORDERS)[number];

/** Letters without their marks and cases, so that `uber` finds `Über`. */
const bare = (text: string): string => text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();

/** Songs in whose titles every word of a search begins a word, or stands somewhere where it is long enough to mean one. */
export function findSongs(songs: readonly SongEntry[], search: string): readonly SongEntry[] {
  const wanted = bare(search).split(/\s+/).filter(Boolean);
  return songs.filter(({ title }) => {
    const text = bare(title);
    const words = text.split(/[^\p{L}\p{N}]+/u);
    return wanted.every(
      (one) => words.some((word) => word.startsWith(one)) || (one.length > 2 && text.includes(one)),
    );
  });
}

/** In an order; of equals, the band's order stands. What is not known of a song puts it last. */
export function sortSongs(
  songs: readonly SongEntry[],
  order: SongOrder,
  facts: Readonly<Record<string, SongFacts>>,
): readonly SongEntry[] {
  const byText = (a: string, b: string) => a.localeCompare(b, 'en', { sensitivity: 'base', numeric: true });
  if (order === 'title') return [...songs].sort((a, b) => byText(a.title, b.title));
  if (order === 'key') {
    const name = ({ id }: SongEntry) => (facts[id] ? keyName(facts[id].key) : '\uffff');
    return [...songs].sort((a, b) => byText(name(a), name(b)));
  }
  if (order === 'last settled') {
    const at = ({ id }: SongEntry) => facts[id]?.lastAt ?? Number.NEGATIVE_INFINITY;
    return [...songs].sort((a, b) => (at(a) === at(b) ? 0 : at(b) - at(a)));
  }
  return songs;
}

/** A title for a copy that no song has yet: `Fence Posts, copy`, `Fence Posts, copy 2`. */
export function copyTitle(title: string, songs: readonly SongEntry[]): string {
  const taken = new Set(songs.map((song) => song.title));
  const first = `${title.slice(0, 180)}, copy`;
  let made = first;
  for (let count = 2; taken.has(made); count++) made = `${first} ${count}`;
  return made;
}

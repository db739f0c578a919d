import { itemAt } from '../base';

/** Which songs each song remembers, if they were stood on before it on a way whose songs in between remembered them too. */
export interface Memories {
  readonly remembers: readonly (readonly number[])[];
  /** How many states of memory a song has at most: a power of two. */
  readonly masks: number;
  /** And each song. */
  readonly masksOf: Int32Array;
  /** `[(from * masks + mask) * size + to]`: the memory of `to` after `from` with its memory `mask`; -1 where `to` is remembered. */
  readonly next: Int16Array;
}

export function memoriesOf(remembers: readonly (readonly number[])[]): Memories {
  const size = remembers.length;
  const masks = 2 ** Math.max(0, ...remembers.map((songs) => songs.length));
  const next = new Int16Array(size * size * masks).fill(-1);
  for (let i = 0; i < size; i++) {
    const mine = itemAt(remembers, i);
    for (let j = 0; j < size; j++) {
      if (i === j) continue;
      const theirs = itemAt(remembers, j);
      const itself = theirs.indexOf(i);
      const known = mine.indexOf(j);
      const carried = theirs.map((song) => mine.indexOf(song));
      for (let mask = 0; mask < 2 ** mine.length; mask++) {
        if (known >= 0 && mask & (1 << known)) continue;
        let to = itself >= 0 ? 1 << itself : 0;
        for (let n = 0; n < carried.length; n++) {
          const bit = carried[n] ?? -1;
          if (bit >= 0 && mask & (1 << bit)) to |= 1 << n;
        }
        next[(i * masks + mask) * size + j] = to;
      }
    }
  }
  const masksOf = Int32Array.from(remembers, (songs) => 2 ** songs.length);
  return { remembers, masks, masksOf, next };
}

/**
 * Lets the songs within the shortest cycles of a way remember the song that comes again, so that this way is ruled out; null where
 * nothing can be added. Each song comes to remember one more at most: multipliers that fit small memories first make the larger ones cheap.
 *
 * @param most songs that one song remembers at most
 */
export function withCycles({ remembers }: Memories, way: readonly number[], most: number): Memories | null {
  const cycles: { readonly song: number; readonly within: readonly number[] }[] = [];
  const last = new Map<number, number>();
  way.forEach((song, rung) => {
    const before = last.get(song);
    if (before !== undefined) cycles.push({ song, within: way.slice(before + 1, rung) });
    last.set(song, rung);
  });
  cycles.sort((a, b) => a.within.length - b.within.length);
  const grown = remembers.map((songs) => [...songs]);
  const roomOf = (song: number) => Math.min(most, itemAt(remembers, song).length + 1);
  let added = 0;
  for (const { song, within } of cycles) {
    const lacking = [...new Set(within)].filter((each) => !itemAt(grown, each).includes(song));
    if (lacking.some((each) => itemAt(grown, each).length >= roomOf(each))) continue;
    for (const each of lacking) itemAt(grown, each).push(song);
    added += lacking.length;
  }
  return added > 0 ? memoriesOf(grown) : null;
}

import { itemAt } from '../base';
import type { CostTables } from './model';

/**
 * What is left to decide: the songs that are not held, on the places that are left to them, one rung after another.
 * Songs that are held, and breaks, are folded into the costs of the steps, so that every search sees the same plain
 * problem: the cheapest way that stands on each rung with another song.
 *
 * A way costs `constant + start[first] + Σ step[rung][from][to]`, in tenths of a second's worth.
 */
export interface Ladder {
  readonly size: number;
  readonly start: Float64Array;
  /** `[(rung * size + from) * size + to]`, from rung `rung` to the next. */
  readonly step: Float64Array;
  readonly constant: number;
  /** The song of the tables that each of the ladder's songs is. */
  readonly songs: readonly number[];
  /** The place of the evening that each rung is. */
  readonly places: readonly number[];
  /** Songs of the tables that are held, by place. */
  readonly held: ReadonlyMap<number, number>;
}

/** @param held by place, the song that is held there; each song at most once */
export function ladderOf(tables: CostTables, held: ReadonlyMap<number, number>): Ladder {
  const { count, place, link, breakLink, breakAfter } = tables;
  const taken = new Set(held.values());
  const songs = range(count).filter((song) => !taken.has(song));
  const places = range(count).filter((place) => !held.has(place));
  const size = songs.length;
  const start = new Float64Array(size);
  const step = new Float64Array(Math.max(0, size - 1) * size * size);
  const first = places[0];
  if (first === undefined)
    return { size, start, step, constant: heldCost(tables, held), songs, places, held };

  const opening = range(first).map((place) => held.get(place) ?? -1);
  songs.forEach((song, s) => {
    start[s] = chainCost(tables, 0, [...opening, song]);
  });
  for (let rung = 0; rung + 1 < size; rung++) {
    const [from, to] = [itemAt(places, rung), itemAt(places, rung + 1)];
    const between = range(to - from - 1).map((i) => held.get(from + 1 + i) ?? -1);
    const next = breakAfter[from] ? breakLink : link;
    for (let i = 0; i < size; i++) {
      const a = itemAt(songs, i);
      for (let j = 0; j < size; j++) {
        if (i === j) continue;
        const b = itemAt(songs, j);
        step[(rung * size + i) * size + j] =
          between.length === 0
            ? (next[a * count + b] ?? 0) + (place[to * count + b] ?? 0)
            : stepCost(tables, from, [a, ...between, b]);
      }
    }
  }
  const last = itemAt(places, size - 1);
  const closing = range(count - last - 1).map((i) => held.get(last + 1 + i) ?? -1);
  songs.forEach((song, s) => {
    const cost = stepCost(tables, last, [song, ...closing]);
    if (size === 1) start[s] = itemAt(start, s) + cost;
    else
      for (let i = 0; i < size; i++) {
        const at = ((size - 2) * size + i) * size + s;
        step[at] = itemAt(step, at) + cost;
      }
  });
  return { size, start, step, constant: tables.constant, songs, places, held };
}

const range = (count: number): number[] => Array.from({ length: count }, (_, i) => i);

/** Songs at consecutive places, all their own costs counted. */
function chainCost(tables: CostTables, place: number, chain: readonly number[]): number {
  return itemAt(tables.place, place * tables.count + itemAt(chain, 0)) + stepCost(tables, place, chain);
}

/** The same without the first song's own cost at its place. */
function stepCost(
  { count, place, link, breakLink, breakAfter }: CostTables,
  at: number,
  chain: readonly number[],
): number {
  let cost = 0;
  for (let i = 1; i < chain.length; i++) {
    const song = itemAt(chain, i);
    const index = itemAt(chain, i - 1) * count + song;
    cost += itemAt(breakAfter[at + i - 1] ? breakLink : link, index) + itemAt(place, (at + i) * count + song);
  }
  return cost;
}

function heldCost(tables: CostTables, held: ReadonlyMap<number, number>): number {
  if (tables.count === 0) return tables.constant;
  const order = range(tables.count).map((place) => held.get(place) ?? -1);
  return tables.constant + chainCost(tables, 0, order);
}

export function wayCost({ size, start, step, constant }: Ladder, way: ArrayLike<number>): number {
  if (size === 0) return constant;
  let cost = constant + itemAt(start, itemAt(way, 0));
  for (let rung = 0; rung + 1 < size; rung++) {
    cost += itemAt(step, (rung * size + itemAt(way, rung)) * size + itemAt(way, rung + 1));
  }
  return cost;
}

/** The order of the tables' songs that a way stands for. */
export function orderOfWay({ songs, places, held }: Ladder, way: ArrayLike<number>): number[] {
  const order: number[] = [];
  for (const [place, song] of held) order[place] = song;
  places.forEach((place, rung) => {
    order[place] = itemAt(songs, itemAt(way, rung));
  });
  return order;
}

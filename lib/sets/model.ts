import { itemAt, must, type Reason } from '../base';
import { nearTerm, neighbourTerms, placeTerms, TENTHS, wishedEnergies } from './terms';
import { betweenSongs, type NameOf } from './transition';
import type { Between, Evening, OrderCosts, Placed, SetSong, Transition } from './types';

/** More than any order costs: what is not allowed. In tenths, as all costs here. */
export const FORBIDDEN = 1e9;

/**
 * The costs of an evening's orders as tables, in tenths of a second's worth. Songs count from 0 as the evening lists them.
 *
 * An order costs `constant`, and for each place the song's `place`, and for each two neighbours their `link` (nothing
 * across a break, unless it tears a medley). Nothing else: costs are of a song, of its place and of neighbours.
 */
export interface CostTables {
  readonly count: number;
  /** `[place * count + song]`. */
  readonly place: Float64Array;
  /** `[from * count + to]`, between two songs of a set. */
  readonly link: Float64Array;
  /** The same across a break. */
  readonly breakLink: Float64Array;
  /** Whether a break follows a place. */
  readonly breakAfter: readonly boolean[];
  /** What is charged whatever the order: songs wanted near, given back where they are. */
  readonly constant: number;
}

/** An evening with what every order of it needs worked out once. */
export class EveningModel {
  readonly evening: Evening;
  #tables: CostTables | null = null;
  readonly breakAfter: readonly boolean[];
  readonly #nameOf: NameOf;
  readonly #wishes: readonly (number | null)[];
  readonly #next: ReadonlyMap<string, string>;
  readonly #byId: ReadonlyMap<string, SetSong>;

  constructor(evening: Evening, nameOf: NameOf = (id) => id) {
    this.evening = evening;
    this.#nameOf = nameOf;
    this.#wishes = wishedEnergies(evening);
    this.#next = followers(evening.joined);
    this.#byId = new Map(evening.songs.map((song) => [song.id, song]));
    this.breakAfter = breaksOf(evening.sets);
  }

  /** Worked out when they are first asked for: a page that only shows an order needs none. */
  get tables(): CostTables {
    this.#tables ??= this.#makeTables();
    return this.#tables;
  }

  song(id: string): SetSong {
    return must(this.#byId.get(id), `song ${id}`);
  }

  /** Every term of an order's cost, and its running time. */
  costsOf(order: readonly string[]): OrderCosts {
    const songs = order.map((id) => this.song(id));
    const places = songs.map((song, place): Placed => {
      const reasons = this.#placeTerms(song, place);
      return { songId: song.id, cost: sumOf(reasons), reasons };
    });
    const between = songs
      .slice(1)
      .map((to, i) => this.#between(itemAt(songs, i), to, itemAt(this.breakAfter, i)));
    const missed = this.evening.near.flatMap(([a, b]) => {
      const together = between.some(
        ({ from, to, atBreak }) => !atBreak && ((from === a && to === b) || (from === b && to === a)),
      );
      return together ? [] : nearTerm(this.evening, this.song(a), this.song(b));
    });
    const setSeconds = this.#setSeconds(songs, between);
    return {
      order,
      total: inTenths([
        ...[...places, ...between].map(({ cost }) => cost),
        ...missed.map(({ weight }) => weight),
      ]),
      between,
      places,
      missed,
      seconds: setSeconds.reduce((sum, seconds) => sum + seconds, 0),
      setSeconds,
    };
  }

  transition(from: SetSong, to: SetSong): Transition {
    return betweenSongs(from, to, this.#nameOf, this.#next.get(from.id) === to.id);
  }

  /** What two neighbours of a set cost. */
  betweenCost(from: SetSong, to: SetSong): number {
    return sumOf(this.#neighbourTerms(from, to, this.transition(from, to)));
  }

  #between(from: SetSong, to: SetSong, atBreak: boolean): Between {
    const transition = this.transition(from, to);
    if (atBreak) return { ...transition, seconds: 0, waitingSeconds: 0, atBreak, cost: 0, reasons: [] };
    const reasons = this.#neighbourTerms(from, to, transition);
    return { ...transition, atBreak, cost: sumOf(reasons), reasons };
  }

  #neighbourTerms(from: SetSong, to: SetSong, transition: Transition): Reason[] {
    return neighbourTerms(this.evening, from, to, transition, this.#nameOf);
  }

  #placeTerms(song: SetSong, place: number): Reason[] {
    const opens = place === 0 || itemAt(this.breakAfter, place - 1);
    return placeTerms(this.evening, song, opens, itemAt(this.#wishes, place));
  }

  #setSeconds(songs: readonly SetSong[], between: readonly Between[]): number[] {
    const seconds: number[] = [];
    songs.forEach((song, place) => {
      const opens = place === 0 || itemAt(this.breakAfter, place - 1);
      const before = opens ? song.talkSeconds : itemAt(between, place - 1).seconds;
      if (opens) seconds.push(0);
      seconds[seconds.length - 1] = (seconds[seconds.length - 1] ?? 0) + before + song.seconds;
    });
    return seconds;
  }

  #makeTables(): CostTables {
    const { songs, near } = this.evening;
    const count = songs.length;
    const place = new Float64Array(count * count);
    const link = new Float64Array(count * count);
    const breakLink = new Float64Array(count * count);
    const after = new Set(this.#next.values());
    const nearKeys = nearCosts(this.evening, (id) => this.song(id));
    let constant = 0;
    for (const cost of nearKeys.values()) constant += cost;
    songs.forEach((song, s) => {
      for (let p = 0; p < count; p++) {
        place[p * count + s] = toTenths(sumOf(this.#placeTerms(song, p)));
      }
      // The first song of a medley is never last, and no other of its songs is ever first.
      if (this.#next.has(song.id)) place[(count - 1) * count + s] = FORBIDDEN;
      if (after.has(song.id)) place[s] = FORBIDDEN;
      songs.forEach((to, t) => {
        if (s === t) return;
        const torn = this.#tears(song, to, after);
        const terms = this.#neighbourTerms(song, to, this.transition(song, to));
        const given = near.length > 0 ? (nearKeys.get(pairKey(song.id, to.id)) ?? 0) : 0;
        link[s * count + t] = torn ? FORBIDDEN : toTenths(sumOf(terms)) - given;
        breakLink[s * count + t] = this.#next.has(song.id) || after.has(to.id) ? FORBIDDEN : 0;
      });
    });
    return { count, place, link, breakLink, breakAfter: this.breakAfter, constant };
  }

  #tears(from: SetSong, to: SetSong, after: ReadonlySet<string>): boolean {
    const next = this.#next.get(from.id);
    return next === undefined ? after.has(to.id) : next !== to.id;
  }
}

/** By each song of a medley that has one, the song that follows it. */
function followers(joined: Evening['joined']): Map<string, string> {
  const next = new Map<string, string>();
  for (const medley of joined) {
    for (let i = 1; i < medley.length; i++) next.set(itemAt(medley, i - 1), itemAt(medley, i));
  }
  return next;
}

function breaksOf(sets: readonly number[]): boolean[] {
  const places = sets.flatMap((count) => Array.from({ length: count }, (_, at) => at === count - 1));
  places[places.length - 1] = false;
  return places;
}

/** What each wish for nearness costs where it is not met; wishes said twice count twice. */
function nearCosts(evening: Evening, songOf: (id: string) => SetSong): Map<string, number> {
  const costs = new Map<string, number>();
  for (const [a, b] of evening.near) {
    const key = pairKey(a, b);
    const cost = toTenths(sumOf(nearTerm(evening, songOf(a), songOf(b))));
    costs.set(key, (costs.get(key) ?? 0) + cost);
  }
  return costs;
}

const pairKey = (a: string, b: string): string => JSON.stringify(a < b ? [a, b] : [b, a]);

const toTenths = (cost: number): number => Math.round(cost * TENTHS);

/** A sum of costs that are whole tenths, without what binary fractions add. */
function inTenths(costs: readonly number[]): number {
  return costs.reduce((sum, cost) => sum + toTenths(cost), 0) / TENTHS;
}

const sumOf = (reasons: readonly Reason[]): number => inTenths(reasons.map(({ weight }) => weight));

/** What an order costs by the tables, in tenths; `order` holds the songs' numbers. Infinite where it breaks what is not allowed. */
export function tableCost(tables: CostTables, order: ArrayLike<number>): number {
  const { count, place, link, breakLink, breakAfter, constant } = tables;
  let cost = constant;
  for (let p = 0; p < count; p++) {
    const song = itemAt(order, p);
    cost += itemAt(place, p * count + song);
    if (p === 0) continue;
    const index = itemAt(order, p - 1) * count + song;
    cost += itemAt(breakAfter[p - 1] ? breakLink : link, index);
  }
  return cost >= FORBIDDEN / 2 ? Number.POSITIVE_INFINITY : cost;
}

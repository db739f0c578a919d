import type { Reason } from '../base';
import type { Setup } from '../instruments';
import type { SetWeight } from '../song';
import type { Key } from '../theory';
import type { Meter } from '../time';

/** What one player has in hand in a song, and how it is set up. */
export interface Need {
  readonly playerId: string;
  readonly setup: Setup;
}

/** A song as an evening sees it. */
export interface SetSong {
  readonly id: string;
  readonly title: string;
  /** As sounded; null: not said, and then it makes no run of one key. */
  readonly key: Key | null;
  /** Quarter notes a minute; null: not said, and then it makes no run of one tempo. */
  readonly tempo: number | null;
  readonly meter: Meter;
  readonly seconds: number;
  /** Null: nobody sings. */
  readonly leadSinger: string | null;
  /** One for each player who plays in it; a player who is not named lays out. */
  readonly needs: readonly Need[];
  /** 1 quiet to 5 strong; null: not said. */
  readonly energy: number | null;
  readonly shaky: boolean;
  /** What is said to the crowd before it. */
  readonly talkSeconds: number;
  /** The place in the evening that it is held at, from 0; null: none. */
  readonly place: number | null;
}

/** In seconds' worth: how many seconds of a waiting crowd the band would give to be spared it. */
export type OrderWeights = Readonly<Record<SetWeight, number>>;

/** An evening whose songs want an order. */
export interface Evening {
  readonly songs: readonly SetSong[];
  /** How many songs each set holds, in order; there is a break between sets. */
  readonly sets: readonly number[];
  /** Pairs of song ids wanted next to each other. */
  readonly near: readonly (readonly [string, string])[];
  readonly apart: readonly (readonly [string, string])[];
  /** Medleys: ids of songs played in this order without a stop. */
  readonly joined: readonly (readonly string[])[];
  readonly weights: OrderWeights;
  readonly targetSeconds: number | null;
}

/** What one player has to do between two songs. */
export interface PlayerChange {
  readonly playerId: string;
  /** What is in the player's hands when the next song begins. */
  readonly instrument: Setup['instrument'];
  /** Each a clause: `capo to 4`, `fifth string up to A`, `string 6 down to D2`. */
  readonly steps: readonly string[];
  readonly seconds: number;
}

/** Between songs: what has to happen from one song of a set to the next. */
export interface Transition {
  readonly from: string;
  readonly to: string;
  readonly changes: readonly PlayerChange[];
  /** From the last note to the first: the pause, the talk, or the slowest player, whichever is longest. */
  readonly seconds: number;
  /** What of it the crowd waits: longer than the pause and the talk. */
  readonly waitingSeconds: number;
  /** All players' hands, added up. */
  readonly effortSeconds: number;
  /** What the crowd hears change. */
  readonly heard: { readonly key: string; readonly tempo: string };
  /** In words, one for each player who has something to do: `guitar: capo to 4`. */
  readonly steps: readonly string[];
}

/** Two neighbours of an order: what lies between them, and what it costs. */
export interface Between extends Transition {
  /** True where a break lies between them: nothing is counted then. */
  readonly atBreak: boolean;
  readonly cost: number;
  readonly reasons: readonly Reason[];
}

/** A song at its place of an order. */
export interface Placed {
  readonly songId: string;
  readonly cost: number;
  readonly reasons: readonly Reason[];
}

/** An order, and all that its cost is made of: `total` is the sum of what stands in `between`, `places` and `missed`. */
export interface OrderCosts {
  readonly order: readonly string[];
  readonly total: number;
  readonly between: readonly Between[];
  readonly places: readonly Placed[];
  /** Songs wanted near one another that are not. */
  readonly missed: readonly Reason[];
  /** Songs, and what lies between them within the sets. */
  readonly seconds: number;
  /** The same for each set. */
  readonly setSeconds: readonly number[];
}

export interface OrderAnswer extends OrderCosts {
  /** True where no order of the model costs less. */
  readonly exact: boolean;
  /** No order of the model costs less than this. */
  readonly lowerBound: number;
}

import type { Problem } from '../../../lib/base';
import type { Substitute } from '../../../lib/substitutes';

/** What is known of one song of the evening. */
export type SongState =
  | { readonly kind: 'not opened' | 'opening' | 'in line' | 'being worked out' }
  /** It cannot be had, or not be written: not connected, refused, for listeners. If that mends, it comes in line by itself. */
  | { readonly kind: 'out of reach'; readonly problem: Problem }
  /** It could not be worked out, or not be taken. */
  | { readonly kind: 'failed'; readonly problem: Problem }
  /** `before`: what is kept of it from before the same two changed places the last time, by its id. */
  | { readonly kind: 'worked out'; readonly substitute: Substitute; readonly before: string | null }
  /** `problem`: why it could not be given back. */
  | { readonly kind: 'taken'; readonly substitute: Substitute; readonly problem: Problem | null }
  | { readonly kind: 'given back' };

/** The evening as it stands: what the page shows. */
export interface EveningState {
  readonly songs: readonly { readonly songId: string; readonly state: SongState }[];
  readonly isStopped: boolean;
  /** How many songs have still to be opened or worked out. */
  readonly ahead: number;
  /** How many would go over if it were taken now. */
  readonly canTake: number;
  readonly canGiveBack: number;
  /** How many songs have edits made here that the server has not got yet. */
  readonly unkept: number;
}

import type { SetEntry, SongPair } from '../../lib/song';

/** What can be done with a song of a set. Each says whether it was done; why not stands on the page. */
export interface EntryEdits {
  readonly move: (id: string, toIndex: number) => boolean;
  readonly takeOut: (...ids: readonly string[]) => boolean;
  readonly set: (id: string, fields: Partial<Omit<SetEntry, 'id' | 'songId'>>) => boolean;
  /** 1 quiet to 5 strong; null: not said. It is the song's, in every set. */
  readonly energy: (songId: string, energy: number | null) => boolean;
  /** Whether two songs are wanted next to each other, or not so; null: neither. */
  readonly pair: (songs: SongPair['songs'], wanted: SongPair['wanted'] | null) => boolean;
}

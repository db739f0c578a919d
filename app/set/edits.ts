import type { SetEntry } from '../../lib/song';

/** What can be done with a song of a set. */
export interface EntryEdits {
  readonly move: (id: string, toIndex: number) => void;
  readonly takeOut: (id: string) => void;
  readonly set: (id: string, fields: Partial<Omit<SetEntry, 'id' | 'songId'>>) => void;
  /** 1 quiet to 5 strong; null: not said. It is the song's, in every set. */
  readonly energy: (songId: string, energy: number | null) => void;
}

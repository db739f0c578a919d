'use client';

import type { SongEdits } from '../../lib/document';
import { type SongPage, songDocument } from '../../lib/protocol';
import type { Answer, Place, Player, Song } from '../../lib/song';
import type { OpenDocument, Peer } from '../sync';
import type { BoardReading } from './song-ways';
import { untilItComes } from './untilItComes';
import { usePresence } from './usePresence';
import { type Shared, useShared } from './useShared';

const load = async () => (await untilItComes(() => import('./song-ways'))).WAYS;
const NONE: readonly string[] = [];
const NO_ANSWERS: readonly Answer[] = [];

export interface LiveSong
  extends Pick<Shared<BoardReading, SongEdits>, 'status' | 'nextUndo' | 'nextRedo' | 'whenKept'> {
  readonly song: Song;
  /** Null while nothing can be written. */
  readonly edits: SongEdits | null;
  readonly peers: readonly Peer[];
  /** The document itself, for what is live in it beside the song; null until it is open. */
  readonly document: OpenDocument | null;
  /** Tells the others which space I touch; null: none. */
  readonly setPresence: (place: Place | null) => void;
  /** Answers that were settled at the same time as the one that stands at their place. */
  readonly atOnce: readonly Answer[];
  /** A sentence for each thing in the document that cannot be read. */
  readonly broken: readonly string[];
}

/** A song, live over its document; until that has arrived, as the page first got it. */
export function useSong({
  bandId,
  songId,
  initial,
  you,
  me,
}: {
  readonly bandId: string;
  readonly songId: string;
  readonly initial: Song;
  readonly you: SongPage['you'];
  /** The player at this page, for the others to see; null: a listener, or not said. */
  readonly me: Player | null;
}): LiveSong {
  const shared = useShared(songDocument(bandId, songId), load, you.playerId);
  const { reading, edits, status, nextUndo, nextRedo, whenKept } = shared;
  const { peers, setPresence } = usePresence(shared.open, me);
  return {
    song: reading?.song ?? initial,
    edits,
    status,
    peers,
    document: shared.open,
    setPresence,
    atOnce: reading?.atOnce ?? NO_ANSWERS,
    broken: reading?.broken ?? NONE,
    nextUndo,
    nextRedo,
    whenKept,
  };
}

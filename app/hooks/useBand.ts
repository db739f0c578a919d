'use client';

import type { BandEdits, BandReading } from '../../lib/document';
import { type BandPage, bandDocument } from '../../lib/protocol';
import type { Band } from '../../lib/song';
import type { Peer } from '../sync';
import { untilItComes } from './untilItComes';
import { usePresence } from './usePresence';
import { type Shared, useShared } from './useShared';

const load = async () => (await untilItComes(() => import('./band-ways'))).WAYS;
const NONE: readonly string[] = [];

export interface LiveBand
  extends Pick<Shared<BandReading, BandEdits>, 'status' | 'nextUndo' | 'nextRedo' | 'whenKept'> {
  readonly band: Band;
  /** Null while nothing can be written. */
  readonly edits: BandEdits | null;
  readonly peers: readonly Peer[];
  /** A sentence for each thing in the document that cannot be read. */
  readonly broken: readonly string[];
}

/** A band, live over its document; until that has arrived, as the page first got it. */
export function useBand({
  bandId,
  initial,
  you,
}: {
  readonly bandId: string;
  readonly initial: Band;
  readonly you: BandPage['you'];
}): LiveBand {
  const shared = useShared(bandDocument(bandId), load, you.playerId);
  const { reading, edits, status, nextUndo, nextRedo, whenKept } = shared;
  const band = reading?.band ?? initial;
  const me = band.players.find((player) => player.id === you.playerId) ?? null;
  const { peers } = usePresence(shared.open, me);
  return { band, edits, status, peers, broken: reading?.broken ?? NONE, nextUndo, nextRedo, whenKept };
}

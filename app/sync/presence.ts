import type { Awareness } from 'y-protocols/awareness';
import { z } from 'zod';
import { type Place, placeSchema } from '../../lib/song';
import { Observable } from './observable';

/** What a window says of the person at it. */
export interface Presence {
  /** Null for a listener, and for who has not said yet. */
  readonly playerId: string | null;
  readonly name: string;
  readonly initials: string;
  readonly ink: number;
  /** The space that they touch. */
  readonly place: Place | null;
}

/** Somebody else who has this document open, as far as they say. */
export interface Peer extends Presence {
  /** Of that window, for as long as it is open. */
  readonly windowId: number;
}

const presenceSchema: z.ZodType<Presence> = z.object({
  playerId: z.string().min(1).max(80).nullable(),
  name: z.string().max(80),
  initials: z.string().max(4),
  ink: z.int().min(0).max(7),
  place: placeSchema.nullable(),
});

/** The others, live. What they send is read through a schema, like any input: who says what cannot be read is left out. */
export function watchPeers(awareness: Awareness): Observable<readonly Peer[]> {
  const peers = new Observable(readPeers(awareness));
  awareness.on('change', () => peers.set(readPeers(awareness)));
  return peers;
}

function readPeers(awareness: Awareness): readonly Peer[] {
  const peers: Peer[] = [];
  for (const [windowId, state] of awareness.getStates()) {
    if (windowId === awareness.clientID) continue;
    const read = presenceSchema.safeParse(state);
    if (read.success) peers.push({ windowId, ...read.data });
  }
  return peers.sort((a, b) => a.windowId - b.windowId);
}

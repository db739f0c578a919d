'use client';

import { useCallback, useEffect, useMemo, useState, useSyncExternalStore } from 'react';
import type { Awareness } from 'y-protocols/awareness';
import { z } from 'zod';
import { type Place, type Player, placeSchema } from '../../lib/song';

/** Somebody else who has this page open, as far as they say. */
export interface Peer {
  /** Of that window, for as long as it is open. */
  readonly windowId: number;
  /** Null for a listener, and for who has not said yet. */
  readonly playerId: string | null;
  readonly name: string;
  readonly initials: string;
  readonly ink: number;
  /** The space that they touch. */
  readonly place: Place | null;
}

const presenceSchema = z.object({
  playerId: z.string().min(1).max(80).nullable(),
  name: z.string().max(80),
  initials: z.string().max(4),
  ink: z.int().min(0).max(7),
  place: placeSchema.nullable(),
});

const NOBODY: readonly Peer[] = [];
const never = () => () => {};
const nobody = () => NOBODY;

/** Says who I am and what I touch, and hears it of the others. What they send is read through a schema, like any input. */
export function usePresence(
  awareness: Awareness | null,
  me: Player | null,
): { readonly peers: readonly Peer[]; readonly setPresence: (place: Place | null) => void } {
  const [place, setPresence] = useState<Place | null>(null);
  const { id, name, initials, ink } = me ?? { id: null, name: '', initials: '', ink: 7 };

  useEffect(() => {
    awareness?.setLocalState({ playerId: id, name, initials, ink, place });
  }, [awareness, id, name, initials, ink, place]);

  const watch = useMemo(() => (awareness ? watchPeers(awareness) : null), [awareness]);
  const peers = useSyncExternalStore(watch?.subscribe ?? never, watch?.getSnapshot ?? nobody, nobody);
  return { peers, setPresence: useCallback((next: Place | null) => setPresence(next), []) };
}

function watchPeers(awareness: Awareness) {
  let peers = readPeers(awareness);
  return {
    getSnapshot: () => peers,
    subscribe: (listener: () => void) => {
      const onChange = () => {
        peers = readPeers(awareness);
        listener();
      };
      awareness.on('change', onChange);
      onChange();
      return () => awareness.off('change', onChange);
    },
  };
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

/** Each person once, however many windows they have open. */
export function eachOnce(peers: readonly Peer[]): readonly Peer[] {
  const seen = new Set<string>();
  return peers.filter((peer) => {
    const key = peer.playerId ?? `window ${peer.windowId}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}

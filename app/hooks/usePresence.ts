'use client';

import { useCallback, useEffect, useRef, useSyncExternalStore } from 'react';
import type { Place, Player } from '../../lib/song';
import type { OpenDocument, Peer } from '../sync';
import { afterPaint } from './afterPaint';

const NOBODY: readonly Peer[] = [];
const never = () => () => {};
const nobody = () => NOBODY;

/** Says who I am and what I touch, and hears it of the others. */
export function usePresence(
  open: OpenDocument | null,
  me: Player | null,
): { readonly peers: readonly Peer[]; readonly setPresence: (place: Place | null) => void } {
  const place = useRef<Place | null>(null);
  const { id, name, initials, ink } = me ?? { id: null, name: '', initials: '', ink: 7 };

  const tell = useCallback(() => {
    // What else is said of this window, where it looks, stands beside it.
    const said = open?.awareness.getLocalState() ?? {};
    open?.awareness.setLocalState({ ...said, playerId: id, name, initials, ink, place: place.current });
  }, [open, id, name, initials, ink]);
  useEffect(tell, [tell]);

  // The others hear of it once it is seen here.
  const due = useRef(() => {});
  const setPresence = useCallback(
    (now: Place | null) => {
      place.current = now;
      due.current();
      due.current = afterPaint(tell);
    },
    [tell],
  );
  useEffect(() => () => due.current(), []);

  const watch = open?.peers;
  const peers = useSyncExternalStore(watch?.subscribe ?? never, watch?.getSnapshot ?? nobody, nobody);
  return { peers, setPresence };
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

'use client';

import { eachOnce } from '../hooks/usePresence';
import type { Peer } from '../sync';
import { Initials } from './Initials';

/** Who else is here, by initials; listeners as a number. */
export function Present({ peers }: { readonly peers: readonly Peer[] }) {
  const people = eachOnce(peers);
  const players = people.filter((peer) => peer.playerId !== null);
  const others = people.length - players.length;
  if (people.length === 0) return null;
  return (
    <span className="plain text-[0.9375rem] text-quiet">
      here too:{' '}
      {players.map((peer, i) => (
        <span key={peer.windowId}>
          {i > 0 && ', '}
          <Initials initials={peer.initials} ink={peer.ink} name={peer.name} />
        </span>
      ))}
      {others > 0 &&
        `${players.length > 0 ? ' and ' : ''}${others === 1 ? 'somebody who reads' : `${others} who read`}`}
    </span>
  );
}

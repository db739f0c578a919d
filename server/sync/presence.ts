import type { PresenceEntry } from './frames';

/** Who a client id belongs to while its socket is open. */
export interface PresenceOwner {
  readonly sessionId: string;
  readonly playerId: string | null;
  readonly kind: string;
}

interface Held {
  clock: number;
  state: PresenceEntry['state'];
  owner: PresenceOwner | null;
}

/** Client ids that have left are remembered by their clock, so that an echo cannot bring them back; so many. */
const REMEMBERED = 2000;

/**
 * Who is where in one room. Each socket speaks for one client id alone, and the server writes into every state whose
 * it is (`playerId` and `kind`), so nobody can pass for a bandmate. Pages echo what they hear of others; an echo
 * is never newer than what is held, so it changes nothing.
 */
export class Presence {
  readonly #held = new Map<number, Held>();

  /** Takes what a socket says; gives back the client ids of which there is news for the others. */
  take(owner: PresenceOwner, entries: readonly PresenceEntry[]): number[] {
    return entries.filter((entry) => this.#takeOne(owner, entry)).map((entry) => entry.clientId);
  }

  #takeOne(owner: PresenceOwner, { clientId, clock, state }: PresenceEntry): boolean {
    const held = this.#held.get(clientId);
    const mine = held?.owner === owner;
    if (held?.owner && held.owner.sessionId !== owner.sessionId) return false;
    if (
      held &&
      clock <= held.clock &&
      !(mine && clock === held.clock && state === null && held.state !== null)
    )
      return false;
    if (!mine && state === null) return false;
    if (!mine && this.#speaksFor(owner) !== null) return false;
    const stamped = state === null ? null : { ...state, playerId: owner.playerId, kind: owner.kind };
    // Set anew, so that the map stays in the order of the last word.
    this.#held.delete(clientId);
    this.#held.set(clientId, { clock, state: stamped, owner });
    return true;
  }

  /** Takes back what a socket said; gives back the client ids of which there is news for the others. */
  leave(owner: PresenceOwner): number[] {
    const clientId = this.#speaksFor(owner);
    const held = clientId === null ? undefined : this.#held.get(clientId);
    if (clientId === null || held === undefined) return [];
    const was = held.state;
    held.state = null;
    held.owner = null;
    this.#forget();
    return was === null ? [] : [clientId];
  }

  /** Everybody who is here. */
  all(): PresenceEntry[] {
    return this.everything().filter((entry) => entry.state !== null);
  }

  /** Everybody who is here, and those who were. */
  everything(): PresenceEntry[] {
    return [...this.#held].map(([clientId, { clock, state }]) => ({ clientId, clock, state }));
  }

  /** What is to be said of a client id now. */
  entry(clientId: number): PresenceEntry {
    const held = this.#held.get(clientId);
    return { clientId, clock: held?.clock ?? 0, state: held?.state ?? null };
  }

  #speaksFor(owner: PresenceOwner): number | null {
    for (const [clientId, held] of this.#held) if (held.owner === owner) return clientId;
    return null;
  }

  #forget(): void {
    if (this.#held.size <= REMEMBERED) return;
    for (const [clientId, held] of this.#held) {
      if (held.owner !== null) continue;
      this.#held.delete(clientId);
      if (this.#held.size <= REMEMBERED / 2) return;
    }
  }
}

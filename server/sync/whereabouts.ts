import { presenceFrame } from './frames';
import type { Work } from './pace';
import { Parcel, type Sent } from './parcel';
import type { Presence } from './presence';

/** Who tells a room's readers what has gathered. */
export interface Teller<Sender> {
  tell(moved: Whereabouts<Sender>): void;
}

/** Whose presence has changed since it was last told, and by whose word. Made when somebody moves, gone when it is told. */
export class Whereabouts<Sender> implements Work {
  readonly #teller: Teller<Sender>;
  readonly #moved = new Map<number, Sender | null>();

  constructor(teller: Teller<Sender>) {
    this.#teller = teller;
  }

  moved(clientIds: readonly number[], by: Sender | null): void {
    for (const clientId of clientIds) this.#moved.set(clientId, by);
  }

  /** Its turn. */
  work(): void {
    this.#teller.tell(this);
  }

  /** All of it as it stands now. */
  parcel(presence: Presence): Parcel<Sender> {
    const entries = [...this.#moved.keys()].map((clientId) => presence.entry(clientId));
    const sent: Sent<Sender>[] = [...this.#moved.values()].map((from, i) => ({
      from,
      message: presenceFrame(entries.slice(i, i + 1)),
    }));
    return new Parcel(sent, () => presenceFrame(entries));
  }
}

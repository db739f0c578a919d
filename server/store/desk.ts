import type { Store } from '../ports';
import type { Addition } from './documents';
import { CommitQueue } from './queue';

/** A store without its queue: here, or in a thread of its own. Calls are served in the order in which they are made. */
export interface Desk extends Omit<Store, 'append'> {
  /** Commits all of them together; false for those whose document does not exist. */
  appendAll(additions: readonly Addition[]): Promise<readonly boolean[]>;
}

/** How long edits are gathered before one commit for all of them, in milliseconds. */
export const GATHER = 2;

/** The store before a desk: updates are gathered, and everything else comes after those that came before it. */
export function queued(desk: Desk, milliseconds: number = GATHER): Store {
  const queue = new CommitQueue<Addition>(async (additions) => {
    const kept = await desk.appendAll(additions);
    return additions.map(({ name }, i) => (kept[i] === true ? null : new Error(`no document ${name}`)));
  }, milliseconds);
  const inTurn = <A extends readonly unknown[], R>(call: (...args: A) => Promise<R>) => {
    return (...args: A): Promise<R> => {
      queue.flush();
      return call(...args);
    };
  };
  return {
    append: (name, update) => queue.add({ name, update }),
    load: inTurn(desk.load),
    create: inTurn(desk.create),
    compact: inTurn(desk.compact),
    addBand: inTurn(desk.addBand),
    hasBand: inTurn(desk.hasBand),
    deleteBand: inTurn(desk.deleteBand),
    addLink: inTurn(desk.addLink),
    links: inTurn(desk.links),
    link: inTurn(desk.link),
    linkBySecret: inTurn(desk.linkBySecret),
    endLink: inTurn(desk.endLink),
    probe: inTurn(desk.probe),
    close: inTurn(desk.close),
  };
}

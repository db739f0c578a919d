import { equalityDeep } from 'lib0/function';
import * as Y from 'yjs';
import { itemOf, type MapName, mapOf } from './layout';

/** One key that an edit wrote; undefined is a key that is not there. */
interface Change {
  readonly name: MapName;
  /** The item whose field it is; null: a value of the map itself. */
  readonly id: string | null;
  readonly key: string;
  readonly before: unknown;
  readonly after: unknown;
  /** How often somebody else had changed the key when it was written. */
  readonly touched: number;
  /** Whether the value may come back, beside that nobody else has changed the key. */
  readonly mayReturn: () => boolean;
}

interface Step {
  readonly label: string;
  readonly changes: readonly Change[];
}

const MOST_STEPS = 500;
const always = () => true;

/**
 * Writes keys and remembers what it wrote, step by step, so that one person can take back what they did in this
 * session and nothing else: a key that somebody else has changed since is left as it is, and a step of which nothing
 * still stands is passed over.
 *
 * What two people did alike at once (one note removed by both, one tempo set by both) is one change, and either may take it back:
 * whoever does decides later than both, before a page on which it is done. It is then back for all, and the other has nothing left to undo.
 *
 * Yjs's own undo manager is not used for this: in maps it lets a key vanish (a note with it) where two people wrote it at once and
 * the one whose value stands takes it back, and it brings back a value that somebody else has removed since.
 * The tests hold both cases.
 */
export class Steps {
  readonly #doc: Y.Doc;
  readonly #origin: object;
  readonly #done: Step[] = [];
  readonly #undone: Step[] = [];
  /** By key: how often somebody else changed it. */
  readonly #touched = new Map<string, number>();
  readonly #listeners = new Set<() => void>();
  readonly #observers: (() => void)[] = [];
  #changes: Change[] | null = null;

  /** @param origin marks the transactions that are this person's; any other is somebody else's */
  constructor(doc: Y.Doc, origin: object, names: readonly MapName[]) {
    this.#doc = doc;
    this.#origin = origin;
    for (const name of names) this.#observe(name);
  }

  get canUndo(): boolean {
    return this.#done.length > 0;
  }

  get canRedo(): boolean {
    return this.#undone.length > 0;
  }

  /** What would be undone next, in words; null: nothing. */
  get nextUndo(): string | null {
    return this.#done.at(-1)?.label ?? null;
  }

  get nextRedo(): string | null {
    return this.#undone.at(-1)?.label ?? null;
  }

  onChange(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** One edit: one transaction, one step (none where it changed nothing). */
  run<T>(label: string, write: () => T): T {
    const { value, changes } = this.#transact(write);
    if (changes.length > 0) {
      this.#done.push({ label, changes });
      if (this.#done.length > MOST_STEPS) this.#done.shift();
      this.#undone.length = 0;
      this.#tell();
    }
    return value;
  }

  /** Writes a value of a map; undefined takes it out. Only inside `run`. */
  put(name: MapName, key: string, value: unknown, mayReturn: () => boolean = always): void {
    this.#write({ name, id: null, key }, value, mayReturn);
  }

  /** Writes a field of an item that exists; undefined takes it out. Only inside `run`. */
  putIn(name: MapName, id: string, key: string, value: unknown): void {
    this.#write({ name, id, key }, value, always);
  }

  /** Makes an item; undone, it is marked as removed, so that what others have put into it stays. Only inside `run`. */
  make(name: MapName, id: string, fields: Readonly<Record<string, unknown>>): void {
    mapOf(this.#doc, name).set(id, new Y.Map(Object.entries(fields)));
    this.#remember({ name, id, key: 'removed' }, true, undefined, always);
  }

  /** The label of what was undone; null where there was nothing to undo. */
  undo(): string | null {
    return this.#back(this.#done, this.#undone);
  }

  redo(): string | null {
    return this.#back(this.#undone, this.#done);
  }

  destroy(): void {
    for (const stop of this.#observers) stop();
    this.#listeners.clear();
  }

  #back(from: Step[], to: Step[]): string | null {
    let label: string | null = null;
    while (label === null) {
      const step = from.pop();
      if (!step) break;
      const { changes } = this.#transact(() => {
        for (const change of [...step.changes].reverse()) {
          if (
            this.#touchedBy(change) === change.touched &&
            (change.before === undefined || change.mayReturn())
          ) {
            this.#write(change, change.before, change.mayReturn);
          }
        }
      });
      if (changes.length === 0) continue;
      to.push({ label: step.label, changes });
      label = step.label;
    }
    this.#tell();
    return label;
  }

  #transact<T>(write: () => T): { readonly value: T; readonly changes: readonly Change[] } {
    if (this.#changes) throw new Error('an edit inside an edit');
    const changes: Change[] = [];
    this.#changes = changes;
    try {
      return { value: this.#doc.transact(write, this.#origin), changes };
    } finally {
      this.#changes = null;
    }
  }

  #write(at: Pick<Change, 'name' | 'id' | 'key'>, value: unknown, mayReturn: () => boolean): void {
    const map = at.id === null ? mapOf(this.#doc, at.name) : itemOf(this.#doc, at.name, at.id);
    if (!map) return;
    const before = map.get(at.key);
    if (equalityDeep(before, value)) return;
    if (value === undefined) map.delete(at.key);
    else map.set(at.key, value);
    this.#remember(at, before, value, mayReturn);
  }

  #remember(
    at: Pick<Change, 'name' | 'id' | 'key'>,
    before: unknown,
    after: unknown,
    mayReturn: () => boolean,
  ) {
    if (!this.#changes) throw new Error('a write outside an edit');
    const { name, id, key } = at;
    this.#changes.push({ name, id, key, before, after, touched: this.#touchedBy(at), mayReturn });
  }

  #touchedBy(at: Pick<Change, 'name' | 'id' | 'key'>): number {
    return this.#touched.get(JSON.stringify([at.name, at.id, at.key])) ?? 0;
  }

  #observe(name: MapName): void {
    const map = mapOf(this.#doc, name);
    const observer = (events: readonly Y.YEvent<Y.AbstractType<unknown>>[], transaction: Y.Transaction) => {
      if (transaction.origin === this.#origin) return;
      for (const event of events) {
        const { target } = event;
        if (!(target instanceof Y.Map)) continue;
        const id = event.path.length > 0 ? String(event.path[0]) : null;
        for (const [key, { action, oldValue }] of event.keys) {
          const alike = action === 'update' && equalityDeep(oldValue, target.get(key));
          if (alike) continue;
          const at = JSON.stringify([name, id, key]);
          this.#touched.set(at, (this.#touched.get(at) ?? 0) + 1);
        }
      }
    };
    map.observeDeep(observer);
    this.#observers.push(() => map.unobserveDeep(observer));
  }

  #tell(): void {
    for (const listener of this.#listeners) listener();
  }
}

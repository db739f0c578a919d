import type * as Y from 'yjs';
import type { z } from 'zod';
import { fail, type MakeId, ok, type Result } from '../base';
import { type Fields, itemOf, type MapName, mapOf, versionOf } from './layout';
import { mendOf } from './mends';
import { byPosition, isPosition, type Ordered, placeAt } from './order';
import { Steps } from './undo';

export interface EditorOptions {
  /** The player whose edits these are; null: not said. */
  readonly by: string | null;
  /** Milliseconds since 1970. */
  readonly now: () => number;
  readonly makeId: MakeId;
}

/** Done, or why not. */
export type Done = Result<null>;

/**
 * What all edits share: one transaction each, one step of undo each, refused as a value where the document is not of this program's
 * version. An editor is one person's in one session; `destroy` it when the page closes.
 */
export class Editor {
  readonly doc: Y.Doc;
  readonly by: string | null;
  protected readonly now: () => number;
  protected readonly makeId: MakeId;
  protected readonly steps: Steps;
  readonly #version: number;

  protected constructor(doc: Y.Doc, options: EditorOptions, version: number, names: readonly MapName[]) {
    this.doc = doc;
    this.by = options.by;
    this.now = options.now;
    this.makeId = options.makeId;
    this.#version = version;
    this.steps = new Steps(doc, this, names);
  }

  get canUndo(): boolean {
    return this.steps.canUndo;
  }

  get canRedo(): boolean {
    return this.steps.canRedo;
  }

  /** What `undo` would take back, in words (`the key`, `a bar put in`); null: nothing. */
  get nextUndo(): string | null {
    return this.steps.nextUndo;
  }

  get nextRedo(): string | null {
    return this.steps.nextRedo;
  }

  /** Takes back this person's last edit that still stands; gives its name, null where there is none. Others' edits stay. */
  undo(): string | null {
    return this.refusal() ? null : this.steps.undo();
  }

  redo(): string | null {
    return this.refusal() ? null : this.steps.redo();
  }

  /** Called when what can be undone or redone changed; gives the way to stop. */
  onUndoChange(listener: () => void): () => void {
    return this.steps.onChange(listener);
  }

  destroy(): void {
    this.steps.destroy();
  }

  /** Why nothing may be written now; null: it may. */
  protected refusal(): ReturnType<typeof fail> | null {
    const version = versionOf(this.doc);
    if (version === this.#version) return null;
    if (version === null)
      return fail('This is not loaded yet', 'the shared document', 'Wait until it is here, then do it again');
    return fail(
      version > this.#version
        ? 'This was kept by a newer program'
        : 'This has not been brought up to date yet',
      'the shared document',
      'Load the page anew; until then you can read it and not change it',
    );
  }

  protected edit<T>(label: string, write: () => T): Result<T> {
    return this.refusal() ?? ok(this.steps.run(label, write));
  }

  /** An edit after a check of what came in. */
  protected checked<T>(schema: z.ZodType<T>, value: T, what: string, write: (value: T) => Done): Done {
    const parsed = schema.safeParse(value);
    return parsed.success ? write(parsed.data) : badInput(what, parsed.error);
  }

  /** Sets one value of `meta`. */
  protected setMeta<T>(field: string, schema: z.ZodType<T>, value: T): Done {
    return this.checked(schema, value, `the ${field}`, (checked) =>
      this.edit(`the ${field}`, () => {
        this.steps.put('meta', field, checked);
        return null;
      }),
    );
  }

  /** The items of a map that are not removed and pass, in order. */
  protected ordered(
    name: MapName,
    passes: (fields: Y.Map<unknown>) => boolean = () => true,
  ): readonly Ordered[] {
    const items: Ordered[] = [];
    for (const id of mapOf(this.doc, name).keys()) {
      const fields = this.live(name, id);
      const position = fields?.get('position');
      if (fields && isPosition(position) && passes(fields)) items.push({ id, position });
    }
    return items.sort(byPosition);
  }

  /** The fields of an item that is there and not removed. */
  protected live(name: MapName, id: string): Y.Map<unknown> | null {
    const fields = itemOf(this.doc, name, id);
    return fields && fields.get('removed') !== true ? fields : null;
  }

  /** Makes an item at an index among others. Only inside `edit`. */
  protected makeAt(
    name: MapName,
    id: string,
    fields: Fields,
    others: readonly Ordered[],
    index: number,
  ): void {
    for (const place of placeAt(others, index, id)) {
      if (place.id === id) this.steps.make(name, id, { ...fields, position: place.position });
      else this.steps.putIn(name, place.id, 'position', place.position);
    }
  }

  /** Moves an item to an index among the items as they stand without it. */
  protected moveAt(label: string, name: MapName, id: string, all: readonly Ordered[], index: number): Done {
    const others = all.filter((other) => other.id !== id);
    if (others.length === all.length || !Number.isFinite(index)) return missing(label, id);
    if (all.findIndex((item) => item.id === id) === Math.max(0, Math.min(others.length, Math.trunc(index))))
      return ok(null);
    return this.edit(label, () => {
      for (const place of placeAt(others, index, id))
        this.steps.putIn(name, place.id, 'position', place.position);
      return null;
    });
  }

  /** Sets fields of an item that is there. */
  protected setFields(label: string, name: MapName, id: string, fields: Fields): Done {
    if (!this.live(name, id)) return missing(label, id);
    return this.edit(label, () => {
      for (const [key, value] of Object.entries(fields)) this.steps.putIn(name, id, key, value);
      return null;
    });
  }

  /** Takes a single value out. */
  protected takeOut(label: string, name: MapName, id: string): Done {
    if (!mapOf(this.doc, name).has(id)) return missing(label, id);
    return this.edit(label, () => {
      this.steps.put(name, id, undefined);
      return null;
    });
  }

  protected remove(label: string, name: MapName, id: string): Done {
    return this.setFields(label, name, id, { removed: true });
  }
}

export const missing = (what: string, id: string) =>
  fail(
    `${what}: it is not there any more`,
    id,
    'Somebody may have removed it; look at the page as it is now',
  );

export function badInput(what: string, error: z.ZodError): ReturnType<typeof fail> {
  const [issue] = error.issues;
  const where = issue && issue.path.length > 0 ? `${what}, ${issue.path.join(' ')}` : what;
  return fail(`${what} cannot be taken as it is`, where, mendOf(what, error));
}

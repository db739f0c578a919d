import { equalityDeep } from 'lib0/function';
import { fail, ok, type Result } from '../base';
import { missing } from './editor';
import {
  ITEM_MAPS,
  isOfTheSong,
  keptIn,
  MOST_KEPT,
  packed,
  type State,
  stateKept,
  stateOf,
  upToDate,
  VALUE_MAPS,
} from './kept';
import { itemOf, mapOf } from './layout';
import { A_SUBSTITUTE, type HandOver, SubstituteEdits } from './substitute-edits';

const LONGEST_NAME = 80;
const besideName = (name: string): string => `Before going back to ${name}`.slice(0, LONGEST_NAME);

/** Edits by which a band keeps a song as it agreed on it, and goes back to that. */
export class KeptEdits extends SubstituteEdits {
  /**
   * Keeps the song as it is now, under a name. Gives its id.
   *
   * Errors: no name, or a long one; `MOST_KEPT` are kept.
   */
  keep(name: string): Result<string> {
    const said = this.#sayable(name);
    if (!said.ok) return said;
    return this.edit('keeping the song as it is', () => this.#put(said.value, stateOf(this.doc)));
  }

  /**
   * Makes the song what it was when it was kept, in one step. What came after is kept beside it first, so that nothing is lost; what is put to the
   * band, votes and talk stay. Gives how it is kept; null where the song was as it had been kept.
   *
   * Errors: it is gone, or cannot be read.
   */
  goBack(id: string): Result<string | null> {
    const refused = this.refusal();
    if (refused) return refused;
    const kept = keptIn(this.doc).find((each) => each.id === id);
    const state = stateKept(this.doc, id);
    if (!state.ok) return state;
    if (!kept) return missing('going back', id);
    const now = stateOf(this.doc);
    const then = upToDate(state.value);
    if (equalityDeep(now, then)) return ok(null);
    return this.edit(`going back to ${kept.name}`, () => {
      const made = this.#put(besideName(kept.name), now);
      this.#write(then, now);
      return made;
    });
  }

  /**
   * Gives all that one player has in the song to another (`substitute`), and keeps the song as it was before under a name, in one step. Gives the
   * id under which it is kept.
   *
   * Errors: as `substitute` and `keep`; then nothing is written.
   */
  substituteKeeping(given: HandOver, name: string): Result<string> {
    const said = this.#sayable(name);
    if (!said.ok) return said;
    const write = this.handingOver(given);
    if (!write.ok) return write;
    const now = stateOf(this.doc);
    return this.edit(A_SUBSTITUTE, () => {
      write.value();
      return this.#put(said.value, now);
    });
  }

  /**
   * Goes back to what was kept (`goBack`) and throws that away, in one step: what came after is kept in its stead, so that giving back over and
   * over does not fill the list.
   *
   * Errors: it is gone, or cannot be read.
   */
  giveBack(id: string): Result<null> {
    const refused = this.refusal();
    if (refused) return refused;
    const kept = keptIn(this.doc).find((each) => each.id === id);
    const state = stateKept(this.doc, id);
    if (!state.ok) return state;
    if (!kept) return missing('giving back', id);
    const now = stateOf(this.doc);
    const then = upToDate(state.value);
    return this.edit('giving back', () => {
      if (!equalityDeep(now, then)) {
        this.#put(besideName(kept.name), now);
        this.#write(then, now);
      }
      this.steps.put('kept', id, undefined);
      return null;
    });
  }

  /** Throws away what was kept; the song itself stays. */
  throwAway(id: string): Result<null> {
    return this.takeOut('throwing away what was kept', 'kept', id);
  }

  /** The name as it is kept, where one more may be. */
  #sayable(name: string): Result<string> {
    const said = name.trim();
    if (said === '' || said.length > LONGEST_NAME)
      return fail('This needs a name', 'what is kept', `Give it one of at most ${LONGEST_NAME} letters`);
    if (keptIn(this.doc).length >= MOST_KEPT)
      return fail(`${MOST_KEPT} are kept of this song`, 'what is kept', 'Throw away one that nobody needs');
    return ok(said);
  }

  #put(name: string, state: State): string {
    const id = this.makeId();
    this.steps.put('kept', id, { name, by: this.by, at: this.now(), state: packed(state) });
    return id;
  }

  #write(then: State, now: State): void {
    for (const name of ITEM_MAPS) {
      for (const [id, fields] of Object.entries(then.items[name])) {
        const there = itemOf(this.doc, name, id);
        if (!there) this.steps.make(name, id, fields);
        for (const key of new Set([...(there?.keys() ?? []), ...Object.keys(fields)]))
          this.steps.putIn(name, id, key, fields[key]);
      }
      for (const id of Object.keys(now.items[name]))
        if (!(id in then.items[name])) this.steps.putIn(name, id, 'removed', true);
    }
    for (const name of VALUE_MAPS) {
      const values = then.values[name];
      for (const key of new Set([...mapOf(this.doc, name).keys(), ...Object.keys(values)]))
        if (isOfTheSong(name, key)) this.steps.put(name, key, values[key]);
    }
  }
}

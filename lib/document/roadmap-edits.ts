import { z } from 'zod';
import { fail, type Result } from '../base';
import { type Bar, barSchema, type Pass, passSchema, type Role, roleSchema } from '../song';
import type { Ticks } from '../time';
import { AnswerEdits } from './answer-edits';
import { badInput, type Done, missing } from './editor';
import { roleKey } from './layout';
import { barFields, passFields } from './seed';
import { shiftOf } from './shift';
import { readBar, readPass } from './song-items';

const nameSchema = z.string().max(80);

/** Edits of a song's shape: its sections with their bars, and the passes in which the roadmap runs them, with roles. */
export class RoadmapEdits extends AnswerEdits {
  /** Adds an empty section after the others. Gives its id. */
  addSection(name: string): Result<string> {
    const parsed = nameSchema.safeParse(name);
    if (!parsed.success) return badInput('the name', parsed.error);
    const id = this.makeId();
    const others = this.ordered('sections');
    return this.edit('a new section', () => {
      this.makeAt('sections', id, { name }, others, others.length);
      return id;
    });
  }

  renameSection(sectionId: string, name: string): Done {
    return this.checked(nameSchema, name, 'the name', (checked) =>
      this.setFields('a section’s name', 'sections', sectionId, { name: checked }),
    );
  }

  /** Its bars and passes stay and are hidden with it. */
  removeSection(sectionId: string): Done {
    return this.remove('removing a section', 'sections', sectionId);
  }

  setBar(barId: string, fields: Partial<Omit<Bar, 'id'>>): Done {
    const live = this.live('bars', barId);
    const before = live ? readBar(live, barId) : null;
    if (before === null || typeof before !== 'object') return missing('a bar', barId);
    const after = barSchema.safeParse({ ...before.value.value, ...fields, id: barId });
    if (!after.success) return badInput('the bar', after.error);
    const stored = barFields(after.data, shiftOf(this.doc));
    const keys = Object.keys(fields).filter((key) => key !== 'id');
    return this.setFields('a bar', 'bars', barId, Object.fromEntries(keys.map((key) => [key, stored[key]])));
  }

  /** @param afterBarId null: at the section's start. Gives the new bar's id; nothing else moves from its bar. */
  insertBar(sectionId: string, afterBarId: string | null, bar: Omit<Bar, 'id'>): Result<string> {
    if (!this.live('sections', sectionId)) return missing('a new bar', sectionId);
    const others = this.ordered('bars', (fields) => fields.get('sectionId') === sectionId);
    const index = afterBarId === null ? 0 : others.findIndex((other) => other.id === afterBarId) + 1;
    if (afterBarId !== null && index === 0) return missing('a new bar', afterBarId);
    const parsed = barSchema.safeParse({ ...bar, id: this.makeId() });
    if (!parsed.success) return badInput('the bar', parsed.error);
    const { id } = parsed.data;
    return this.edit('a bar put in', () => {
      this.makeAt('bars', id, { sectionId, ...barFields(parsed.data, shiftOf(this.doc)) }, others, index);
      return id;
    });
  }

  /** Several bars in one step, each put in just after the bar that it names. Gives the new bars' ids; all are put in, or none. */
  insertBars(
    sectionId: string,
    bars: readonly { readonly afterBarId: string; readonly bar: Omit<Bar, 'id'> }[],
  ): Result<readonly string[]> {
    if (!this.live('sections', sectionId)) return missing('new bars', sectionId);
    const inSection = () => this.ordered('bars', (fields) => fields.get('sectionId') === sectionId);
    const there = new Set(inSection().map(({ id }) => id));
    const made: { readonly afterBarId: string; readonly bar: Bar }[] = [];
    for (const { afterBarId, bar } of bars) {
      if (!there.has(afterBarId)) return missing('new bars', afterBarId);
      const parsed = barSchema.safeParse({ ...bar, id: this.makeId() });
      if (!parsed.success) return badInput('the bar', parsed.error);
      made.push({ afterBarId, bar: parsed.data });
    }
    return this.edit('bars put in', () => {
      for (const { afterBarId, bar } of made) {
        const others = inSection();
        const index = others.findIndex(({ id }) => id === afterBarId) + 1;
        this.makeAt('bars', bar.id, { sectionId, ...barFields(bar, shiftOf(this.doc)) }, others, index);
      }
      return made.map(({ bar }) => bar.id);
    });
  }

  /**
   * A pickup at a section's start, in one step with the bars before its passes, which give up as much time at their ends. Gives the
   * new bar's id; nothing moves from its bar.
   */
  putPickup(
    sectionId: string,
    bar: Omit<Bar, 'id'>,
    shortened: readonly { readonly barId: string; readonly ticks: Ticks }[],
  ): Result<string> {
    if (!this.live('sections', sectionId)) return missing('a pickup', sectionId);
    const gone = shortened.find(({ barId, ticks }) => !this.live('bars', barId) || ticks < 1);
    if (gone) return missing('a pickup', gone.barId);
    const parsed = barSchema.safeParse({ ...bar, id: this.makeId() });
    if (!parsed.success) return badInput('the bar', parsed.error);
    const others = this.ordered('bars', (fields) => fields.get('sectionId') === sectionId);
    return this.edit('a pickup', () => {
      const { id } = parsed.data;
      this.makeAt('bars', id, { sectionId, ...barFields(parsed.data, shiftOf(this.doc)) }, others, 0);
      for (const { barId, ticks } of shortened) this.steps.putIn('bars', barId, 'ticks', ticks);
      return id;
    });
  }

  /** Several bars in one step; what hangs on them stays and is hidden with them. */
  removeBars(barIds: readonly string[]): Done {
    const gone = barIds.find((id) => !this.live('bars', id));
    if (gone !== undefined) return missing('removing bars', gone);
    return this.edit('bars taken out', () => {
      for (const id of barIds) this.steps.putIn('bars', id, 'removed', true);
      return null;
    });
  }

  /** What hangs on it stays and is hidden with it. */
  removeBar(barId: string): Done {
    return this.remove('removing a bar', 'bars', barId);
  }

  /** @param toIndex among the passes; left out: at the end. Gives the new pass's id. */
  addPass(fields: Pick<Pass, 'sectionId'> & Partial<Omit<Pass, 'id'>>, toIndex?: number): Result<string> {
    const pass = { stanza: null, ending: 1, name: '', roles: {}, ...fields, id: this.makeId() };
    const parsed = passSchema.safeParse(pass);
    if (!parsed.success) return badInput('the pass', parsed.error);
    if (!this.live('sections', pass.sectionId)) return missing('a new pass', pass.sectionId);
    const others = this.#passes();
    return this.edit('a new pass', () => {
      this.makeAt('passes', pass.id, passFields(parsed.data), others, toIndex ?? others.length);
      return pass.id;
    });
  }

  /** @param toIndex where it stands afterwards, from 0 */
  movePass(passId: string, toIndex: number): Done {
    return this.moveAt('moving a pass', 'passes', passId, this.#passes(), toIndex);
  }

  /** Roles are set one by one: `setRole`. */
  setPass(passId: string, fields: Partial<Omit<Pass, 'id' | 'roles'>>): Done {
    const live = this.live('passes', passId);
    const before = live ? readPass(live, passId) : null;
    if (before === null || typeof before !== 'object') return missing('a pass', passId);
    if (fields.sectionId !== undefined && !this.live('sections', fields.sectionId)) {
      return missing('a pass', fields.sectionId);
    }
    const after = passSchema.safeParse({ ...before.value.value, ...fields, id: passId, roles: {} });
    if (!after.success) return badInput('the pass', after.error);
    const stored = passFields(after.data);
    const keys = Object.keys(fields).filter((key) => key !== 'id' && key !== 'roles');
    return this.setFields(
      'a pass',
      'passes',
      passId,
      Object.fromEntries(keys.map((key) => [key, stored[key]])),
    );
  }

  removePass(passId: string): Done {
    return this.remove('removing a pass', 'passes', passId);
  }

  /** @param role null: none, and the player plays backup */
  setRole(passId: string, playerId: string, role: Role | null): Done {
    return this.checked(roleSchema.nullable(), role, 'the role', (checked) =>
      this.setFields('a role', 'passes', passId, { [roleKey(playerId)]: checked ?? undefined }),
    );
  }

  #passes() {
    return this.ordered(
      'passes',
      (fields) => this.live('sections', String(fields.get('sectionId'))) !== null,
    );
  }

  /** Why nothing can hang there; null: it can. */
  protected outsideBar(barId: string, offset: number): ReturnType<typeof fail> | null {
    const live = this.live('bars', barId);
    const bar = live ? readBar(live, barId) : null;
    if (bar === null || typeof bar !== 'object') return missing('a place in a bar', barId);
    const { ticks } = bar.value.value;
    return offset < ticks
      ? null
      : fail(
          'The place lies behind the end of its bar',
          `${offset} of ${ticks} ticks`,
          'Put it into the next bar',
        );
  }
}

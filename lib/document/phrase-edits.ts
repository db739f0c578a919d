import { z } from 'zod';
import { ok } from '../base';
import {
  endingSchema,
  phraseEndSchema,
  type Singing,
  type SongEnding,
  type SongStart,
  singingSchema,
  startSchema,
  UNDECIDED,
} from '../song';
import { badInput, type Done, missing } from './editor';
import { joinKey, joinThree, mapOf, splitKey } from './layout';
import { RoadmapEdits } from './roadmap-edits';
import { endKey } from './seed';

const tempoSchema = z.number().min(10).max(600);

/** Edits of where phrases end, of who sings them, and of how the song starts and ends. */
export class PhraseEdits extends RoadmapEdits {
  /**
   * Ends a phrase after a note.
   *
   * @param stanza null: in every stanza, whatever was said for one of them before
   */
  endPhrase(noteId: string, stanza: number | null): Done {
    return this.#say('a phrase split', stanza, [[noteId, true]]);
  }

  /** Lets a phrase go on after a note; `stanza` as in `endPhrase`. */
  joinPhrase(noteId: string, stanza: number | null): Done {
    return this.#say('two phrases joined', stanza, [[noteId, false]]);
  }

  /** The phrase that ends after one note ends after another instead; `stanza` as in `endPhrase`. */
  movePhraseEnd(fromNoteId: string, toNoteId: string, stanza: number | null): Done {
    if (fromNoteId === toNoteId) return ok(null);
    return this.#say('a phrase’s end', stanza, [
      [fromNoteId, false],
      [toNoteId, true],
    ]);
  }

  /** Takes back what was said about a note's phrase end: for one stanza, or (null) all of it. */
  letModelDecide(noteId: string, stanza: number | null): Done {
    const there = this.#endsOf(noteId).filter((key) => stanza === null || key === endKey(noteId, stanza));
    return this.edit('a phrase’s end', () => {
      for (const key of there) this.steps.put('ends', key, undefined);
      return null;
    });
  }

  /** Who sings a voice in a pass from a note on (`noteId` null: from its start). */
  setSinging(singing: Singing): Done {
    const parsed = singingSchema.safeParse(singing);
    if (!parsed.success) return badInput('who sings', parsed.error);
    const { passId, voiceId, noteId, playerId } = parsed.data;
    if (!this.live('passes', passId)) return missing('who sings', passId);
    if (!this.live('voices', voiceId)) return missing('who sings', voiceId);
    if (noteId !== null && !mapOf(this.doc, 'notes').has(noteId)) return missing('who sings', noteId);
    return this.edit('who sings', () => {
      this.steps.put('singing', joinThree(passId, noteId ?? '', voiceId), playerId);
      return null;
    });
  }

  /** Takes back what was said there: whoever sang before goes on. */
  clearSinging({ passId, voiceId, noteId }: Omit<Singing, 'playerId'>): Done {
    return this.edit('who sings', () => {
      this.steps.put('singing', joinThree(passId, noteId ?? '', voiceId), undefined);
      return null;
    });
  }

  /** How the song starts; what is left out stays as it is. */
  setStart(fields: Partial<SongStart>): Done {
    const parsed = startSchema.safeParse({ ...UNDECIDED.start, ...fields });
    if (!parsed.success) return badInput('the start', parsed.error);
    return this.#agree('start', fields, { ...parsed.data }, { ...UNDECIDED.start });
  }

  /** How the song ends; what is left out stays as it is. */
  setEnding(fields: Partial<SongEnding>): Done {
    const parsed = endingSchema.safeParse({ ...UNDECIDED.ending, ...fields });
    if (!parsed.success) return badInput('the ending', parsed.error);
    return this.#agree('ending', fields, { ...parsed.data }, { ...UNDECIDED.ending });
  }

  /** Quarter notes a minute; null: not said. The range of a tapped tempo is shown with that tempo only. */
  setTempo(tempo: number | null): Done {
    return this.setMeta('tempo', tempoSchema.nullable(), tempo);
  }

  /** A tempo that was tapped, with how far the taps went either way, in quarter notes a minute. Its date is now. */
  setTappedTempo(tempo: number, spread: { readonly low: number; readonly high: number }): Done {
    const low = Math.min(spread.low, tempo);
    const high = Math.max(spread.high, tempo);
    const parsed = z.array(tempoSchema).safeParse([tempo, low, high]);
    if (!parsed.success) return badInput('the tempo', parsed.error);
    return this.edit('the tempo', () => {
      this.steps.put('meta', 'tempo', tempo);
      this.steps.put('meta', 'tempoRange', { low, high, at: this.now(), tempo });
      return null;
    });
  }

  #agree(
    name: 'start' | 'ending',
    fields: object,
    checked: Readonly<Record<string, unknown>>,
    usual: Readonly<Record<string, unknown>>,
  ): Done {
    return this.edit(`the ${name}`, () => {
      for (const field of Object.keys(usual).filter((each) => each in fields)) {
        const value = checked[field] === usual[field] ? undefined : checked[field];
        this.steps.put('meta', joinKey(name, field), value);
      }
      return null;
    });
  }

  #say(label: string, stanza: number | null, words: readonly (readonly [string, boolean])[]): Done {
    for (const [noteId, ends] of words) {
      const parsed = phraseEndSchema.safeParse({ noteId, stanza, ends });
      if (!parsed.success) return badInput('a phrase’s end', parsed.error);
      if (!mapOf(this.doc, 'notes').has(noteId)) return missing('a phrase’s end', noteId);
    }
    return this.edit(label, () => {
      for (const [noteId, ends] of words) {
        const own = endKey(noteId, stanza);
        if (stanza === null)
          for (const key of this.#endsOf(noteId)) if (key !== own) this.steps.put('ends', key, undefined);
        this.steps.put('ends', own, ends);
      }
      return null;
    });
  }

  #endsOf(noteId: string): readonly string[] {
    return [...mapOf(this.doc, 'ends').keys()].filter((key) => splitKey(key)?.[0] === noteId);
  }
}

import { z } from 'zod';
import { fail, ok, type Problem, type Result } from '../base';
import {
  type Answer,
  answerSchema,
  endingSchema,
  type Holding,
  type PlayerSetting,
  type Role,
  roleSchema,
  type Singing,
  type Song,
  type SongEnding,
  type SongStart,
  settingSchema,
  singingSchema,
  startSchema,
  UNDECIDED,
} from '../song';
import { badInput, type Done, missing } from './editor';
import { joinKey, joinThree, mapOf, roleKey, splitKey } from './layout';
import { readSong } from './read';
import { storedAnswer } from './stored-answer';
import { SungEdits } from './sung-edits';

/** One player's song in another's hands: see `substitute`. */
export interface HandOver {
  readonly fromId: string;
  readonly toId: string;
  /** How the other one plays it, whole. */
  readonly setting: PlayerSetting;
  /** The other one's roles that change; null: none. */
  readonly roles: readonly { readonly passId: string; readonly role: Role | null }[];
  readonly voices: readonly { readonly voiceId: string; readonly playerId: string | null }[];
  readonly singing: readonly Singing[];
  readonly start: Partial<SongStart>;
  readonly ending: Partial<SongEnding>;
  /** What answers come to be; a null holding takes one out. */
  readonly answers: readonly (Pick<Answer, 'extent'> & {
    readonly answerId: string;
    readonly holding: Holding | null;
  })[];
}

const id = z.string().min(1).max(80);
/** What the step is called, for who would take it back. */
export const A_SUBSTITUTE = 'a substitute';

/** The edit by which somebody else takes over all that a player has in a song. */
export class SubstituteEdits extends SungEdits {
  /**
   * Gives all that one player has in the song to another, in one step: what `given` says, and the player who is away lays out in every pass and
   * keeps no setting. An answer keeps its id, who said it and when, so that votes on it stand. What is gone meanwhile (a pass, a voice, an
   * answer) is passed over. All of it or nothing.
   */
  substitute(given: HandOver): Done {
    const write = this.handingOver(given);
    if (!write.ok) return write;
    return this.edit(A_SUBSTITUTE, () => {
      write.value();
      return null;
    });
  }

  /** What writes a substitute, to be called inside `edit`. Errors: what is not sound. */
  protected handingOver(given: HandOver): Result<() => void> {
    const { song } = readSong(this.doc);
    const answers = new Map([...song.settled, ...song.proposals].map((answer) => [answer.id, answer]));
    const problem = problemOf(given, answers);
    if (problem) return { ok: false, error: problem };
    const { fromId, toId, setting, roles, voices, singing, start, ending } = given;
    return ok(() => {
      // Without a role they would still be counted among those who play.
      for (const pass of song.passes) this.steps.putIn('passes', pass.id, roleKey(fromId), 'lay out');
      for (const { passId, role } of roles)
        this.steps.putIn('passes', passId, roleKey(toId), role ?? undefined);
      for (const key of [...mapOf(this.doc, 'settings').keys()])
        if (splitKey(key)?.[0] === fromId) this.steps.put('settings', key, undefined);
      const { playerId, ...fields } = setting;
      for (const [field, value] of Object.entries(fields))
        this.steps.put('settings', joinKey(playerId, field), value);
      for (const voice of voices)
        if (this.live('voices', voice.voiceId))
          this.steps.putIn('voices', voice.voiceId, 'playerId', voice.playerId);
      for (const each of singing) this.#sing(song, each);
      for (const [field, value] of Object.entries(start))
        this.steps.put('meta', joinKey('start', field), value ?? undefined);
      for (const [field, value] of Object.entries(ending))
        this.steps.put('meta', joinKey('ending', field), value ?? undefined);
      for (const { answerId, extent, holding } of given.answers) {
        const answer = answers.get(answerId);
        if (!answer) continue;
        const map = mapOf(this.doc, 'settled').has(answerId) ? 'settled' : 'proposals';
        this.steps.put(map, answerId, holding ? storedAnswer({ ...answer, extent, holding }) : undefined);
      }
    });
  }

  #sing(song: Song, { passId, voiceId, noteId, playerId }: Singing): void {
    if (!this.live('passes', passId) || !this.live('voices', voiceId)) return;
    if (noteId !== null && !song.notes.some((note) => note.id === noteId)) return;
    this.steps.put('singing', joinThree(passId, noteId ?? '', voiceId), playerId);
  }
}

/** Why it cannot be written as it is; null: it can. */
function problemOf(given: HandOver, answers: ReadonlyMap<string, Answer>): Problem | null {
  const { fromId, toId, setting } = given;
  if (fromId === toId) return fail('Nobody steps in for themselves', toId, 'Choose somebody else').error;
  if (setting.playerId !== toId) return missing('how the substitute plays it', setting.playerId).error;
  const checks: readonly (readonly [z.ZodType, unknown, string])[] = [
    [id, fromId, 'the player who is away'],
    [id, toId, 'the substitute'],
    [settingSchema, setting, 'how the substitute plays it'],
    [startSchema, { ...UNDECIDED.start, ...given.start }, 'the start'],
    [endingSchema, { ...UNDECIDED.ending, ...given.ending }, 'the ending'],
    ...given.roles.map(({ role }) => [roleSchema.nullable(), role, 'the role'] as const),
    ...given.voices.map(({ playerId }) => [id.nullable(), playerId, 'who sings'] as const),
    ...given.singing.map((each) => [singingSchema, each, 'who sings'] as const),
    ...given.answers.flatMap(({ answerId, extent, holding }) => {
      const answer = answers.get(answerId);
      return answer && holding ? [[answerSchema, { ...answer, extent, holding }, 'an answer'] as const] : [];
    }),
  ];
  for (const [schema, value, what] of checks) {
    const parsed = schema.safeParse(value);
    if (!parsed.success) return badInput(what, parsed.error).error;
  }
  const flat = given.answers.find(({ extent }) => extent.to <= extent.from);
  return flat
    ? fail(
        'A space has no length',
        `from ${flat.extent.from} to ${flat.extent.to}`,
        'Look at the song as it is now',
      ).error
    : null;
}

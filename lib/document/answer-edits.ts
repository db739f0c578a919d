import { fail, ok, type Result } from '../base';
import {
  type Answer,
  answerSchema,
  commentSchema,
  type Extent,
  type Holding,
  type Place,
  samePlace,
} from '../song';
import { badInput, type Done, Editor, missing } from './editor';
import { joinKey, mapOf, playerOfRole, roleKey } from './layout';
import { storedWhole } from './seed';
import { placeKey, standing } from './settled';
import { readAnswer } from './song-items';
import { storedAnswer } from './stored-answer';

type Said = Pick<Answer, 'place' | 'extent' | 'holding'>;

/** Edits of what the band says about its spaces: settled answers, proposals, votes, comments. */
export class AnswerEdits extends Editor {
  /** Settles a place; the live answers that this person sees there give way to it. Gives the answer's id. */
  settle(place: Place, extent: Extent, holding: Holding): Result<string> {
    return this.#answer('settled', 'settling a space', { place, extent, holding });
  }

  /**
   * Settles an instrumental pass for one player, who has its break from then on: whoever had it before plays backup. One step. Gives the
   * answer's id.
   */
  settleBreak(
    place: Place,
    extent: Extent,
    holding: Exclude<Holding, { readonly kind: 'left open' }>,
  ): Result<string> {
    return this.#answer('settled', 'settling a break', { place, extent, holding }, () =>
      this.#giveBreak(place.passId, holding.playerId),
    );
  }

  /** Settles many places in one step, as a plan is accepted. Gives the answers' ids; where one is bad, none is settled. */
  settleAll(answers: readonly Said[]): Result<readonly string[]> {
    return this.#answerAll('settled', 'settling many spaces', answers);
  }

  /** Puts many answers forward in one step, as a plan is put to the band. Gives their ids; where one is bad, none is put. */
  proposeAll(answers: readonly Said[]): Result<readonly string[]> {
    return this.#answerAll('proposals', 'many proposals', answers);
  }

  /**
   * Settles a place with what was proposed for it; the proposal is then settled and no proposal any more.
   *
   * @param isBreak the place is a pass in which nobody sings: who then holds it has its break, as by `settleBreak`
   */
  settleProposal(proposalId: string, isBreak = false): Result<string> {
    const proposal = this.#proposal(proposalId);
    if (!proposal) return missing('settling a proposal', proposalId);
    const { place, holding } = proposal;
    return this.#answer('settled', 'settling a proposal', proposal, () => {
      this.steps.put('proposals', proposalId, undefined);
      if (isBreak && holding.kind !== 'left open') this.#giveBreak(place.passId, holding.playerId);
    });
  }

  /** Takes back every settled answer of a place: it is unclaimed again. */
  unsettle(place: Place): Done {
    return this.edit('taking back what was settled', () => {
      this.#withdrawAt(place);
      return null;
    });
  }

  /** Puts an answer forward for the band's votes. Gives its id. */
  propose(place: Place, extent: Extent, holding: Holding): Result<string> {
    return this.#answer('proposals', 'a proposal', { place, extent, holding });
  }

  /** Takes back a proposal, or an answer that was settled at the same time as the one that stands. */
  withdrawProposal(proposalId: string): Done {
    const settled = standing(this.#settled());
    const name = settled.overruled.some(({ id }) => id === proposalId) ? 'settled' : 'proposals';
    if (!mapOf(this.doc, name).has(proposalId)) return missing('withdrawing a proposal', proposalId);
    return this.edit('withdrawing a proposal', () => {
      this.steps.put(name, proposalId, undefined);
      return null;
    });
  }

  /** This person's vote; null takes it back. */
  vote(proposalId: string, yes: boolean | null): Done {
    const { by } = this;
    if (by === null) return fail('A vote needs a name', 'votes', 'Say which player you are, then vote');
    if (!this.#proposal(proposalId)) return missing('a vote', proposalId);
    return this.edit('a vote', () => {
      this.steps.put('votes', joinKey(proposalId, by), yes ?? undefined);
      return null;
    });
  }

  /** @param place null: on the song as a whole. Gives the comment's id. */
  comment(place: Place | null, text: string): Result<string> {
    const comment = { id: this.makeId(), place, text: text.trim(), by: this.by, at: this.now() };
    const parsed = commentSchema.safeParse(comment);
    if (!parsed.success) return badInput('the comment', parsed.error);
    if (comment.text === '') return fail('The comment is empty', 'comments', 'Write something first');
    return this.edit('a comment', () => {
      this.steps.put('comments', comment.id, storedWhole(parsed.data));
      return comment.id;
    });
  }

  removeComment(commentId: string): Done {
    if (!mapOf(this.doc, 'comments').has(commentId)) return missing('removing a comment', commentId);
    return this.edit('removing a comment', () => {
      this.steps.put('comments', commentId, undefined);
      return null;
    });
  }

  #answer(
    name: 'settled' | 'proposals',
    label: string,
    said: Said,
    also: () => void = () => {},
  ): Result<string> {
    const made = this.#made(said);
    if (!made.ok) return made;
    return this.edit(label, () => {
      this.#put(name, made.value);
      also();
      return made.value.id;
    });
  }

  #answerAll(
    name: 'settled' | 'proposals',
    label: string,
    answers: readonly Said[],
  ): Result<readonly string[]> {
    const made: Answer[] = [];
    for (const said of answers) {
      const one = this.#made(said);
      if (!one.ok) return one;
      made.push(one.value);
    }
    return this.edit(label, () => {
      for (const answer of made) this.#put(name, answer);
      return made.map(({ id }) => id);
    });
  }

  #giveBreak(passId: string, playerId: string): void {
    const pass = this.live('passes', passId);
    if (!pass) return;
    for (const [key, role] of pass.entries()) {
      const other = playerOfRole(key);
      if (other !== null && other !== playerId && role === 'break')
        this.steps.putIn('passes', passId, key, undefined);
    }
    this.steps.putIn('passes', passId, roleKey(playerId), 'break');
  }

  #made({ place, extent, holding }: Said): Result<Answer> {
    const answer = { id: this.makeId(), place, extent, holding, by: this.by, at: this.now() };
    const parsed = answerSchema.safeParse(answer);
    if (!parsed.success) return badInput('the answer', parsed.error);
    if (extent.to <= extent.from) {
      return fail(
        'The space has no length',
        `from ${extent.from} to ${extent.to}`,
        'Choose a space that is longer than nothing',
      );
    }
    return ok(parsed.data);
  }

  #put(name: 'settled' | 'proposals', answer: Answer): void {
    if (name === 'settled') this.#withdrawAt(answer.place);
    this.steps.put(name, answer.id, storedAnswer(answer));
  }

  /** What is taken back here returns by undo only while nobody else has settled the place. */
  #withdrawAt(place: Place): void {
    const there = this.#settled().filter((answer) => samePlace(answer.place, place));
    const gone = new Set(there.map(({ id }) => id));
    const mayReturn = () =>
      this.#settled().every((answer) => placeKey(answer.place) !== placeKey(place) || gone.has(answer.id));
    for (const id of gone) this.steps.put('settled', id, undefined, mayReturn);
  }

  #settled(): readonly Answer[] {
    return this.#read('settled');
  }

  #proposal(id: string): Answer | undefined {
    return (
      this.#read('proposals').find((answer) => answer.id === id) ??
      standing(this.#settled()).overruled.find((answer) => answer.id === id)
    );
  }

  #read(name: 'settled' | 'proposals'): readonly Answer[] {
    const answers: Answer[] = [];
    for (const [id, raw] of mapOf(this.doc, name)) {
      const read = readAnswer(raw, id);
      if (typeof read === 'object') answers.push(read.value);
    }
    return answers;
  }
}

import type * as Y from 'yjs';
import type { Song, Vote } from '../song';
import type { Breaches } from './breaches';
import { mapOf, splitKey } from './layout';
import { compare } from './order';
import { byTime, standing } from './settled';
import { Shelf, share, shareFields } from './shelf';
import { readAnswer, readComment, readVote } from './song-items';

/** What the band has said about a song's spaces. */
export type Said = Pick<Song, 'settled' | 'proposals' | 'votes' | 'comments'>;

/** Reads answers, votes and comments; part of `SongReader`. */
export class SaidReader {
  readonly #settled;
  readonly #proposals;
  readonly #votes;
  readonly #comments;
  readonly #breaches: Breaches;
  #last: Said | undefined;

  constructor(doc: Y.Doc, breaches: Breaches) {
    this.#settled = new Shelf(mapOf(doc, 'settled'), readAnswer);
    this.#proposals = new Shelf(mapOf(doc, 'proposals'), readAnswer);
    this.#votes = new Shelf(mapOf(doc, 'votes'), readVote);
    this.#comments = new Shelf(mapOf(doc, 'comments'), readComment);
    this.#breaches = breaches;
  }

  read(): Said {
    const old = this.#last;
    const answers = [this.#settled.refresh(), this.#proposals.refresh(), !old].includes(true);
    const votes = [this.#votes.refresh(), answers].includes(true);
    const comments = [this.#comments.refresh(), !old].includes(true);
    const { settled, proposals } = answers || !old ? this.#readAnswers(old) : old;
    this.#last = {
      settled,
      proposals,
      votes: votes || !old ? this.#readVotes(old, proposals) : old.votes,
      comments: comments || !old ? this.#readComments(old) : old.comments,
    };
    return this.#last;
  }

  #readAnswers(old: Said | undefined): Pick<Said, 'settled' | 'proposals'> {
    const { standing: settled, overruled } = standing(this.#settled.values.values());
    const put = [...this.#proposals.values.values()].filter(({ id }) => !this.#settled.values.has(id));
    this.#breaches.say('settled answer', this.#settled.broken);
    this.#breaches.say('proposal', this.#proposals.broken);
    return {
      settled: share(old?.settled, settled),
      proposals: share(old?.proposals, [...put, ...overruled].sort(byTime)),
    };
  }

  #readVotes(old: Said | undefined, proposals: Song['proposals']): readonly Vote[] {
    const before = new Map(old?.votes.map((vote) => [`${vote.proposalId} ${vote.playerId}`, vote]));
    const open = new Set(proposals.map((proposal) => proposal.id));
    const votes: Vote[] = [];
    const unread = [...this.#votes.broken];
    for (const [key, yes] of [...this.#votes.values].sort((a, b) => compare(a[0], b[0]))) {
      const parts = splitKey(key);
      if (!parts) unread.push(key);
      if (!parts || !open.has(parts[0])) continue;
      const vote = { proposalId: parts[0], playerId: parts[1], yes };
      votes.push(shareFields(before.get(`${vote.proposalId} ${vote.playerId}`), vote));
    }
    this.#breaches.say('vote', unread);
    return share(old?.votes, votes);
  }

  #readComments(old: Said | undefined): Song['comments'] {
    this.#breaches.say('comment', this.#comments.broken);
    return share(old?.comments, [...this.#comments.values.values()].sort(byTime));
  }
}

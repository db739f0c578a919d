import { type Reason, sameValue } from '../base';
import type { Band } from './band';
import { type Answer, type Holding, type Place, samePlace } from './fill';
import type { Song } from './song';

/** Whose word a change is, and why; courtesy among people who trust each other, and never a lock. */
export interface Word {
  /** The players whose word it is, the one who is asked first standing first; empty: anybody's. */
  readonly playerIds: readonly string[];
  readonly reason: Reason;
}

/**
 * Whose word it is to put `next` where `standing` stands: the holder decides about notes, the band's leader about who holds, and both may
 * settle. While nobody holds the space, or it is left open, it is the leader's; without a leader who still plays in the band, the
 * holder's; with neither, anybody's. Common practice, no source.
 */
export function whoseWord(
  band: Pick<Band, 'leaderId' | 'players'>,
  standing: Holding | null,
  next: Holding | null,
): Word {
  const playing = (id: string | null) => band.players.find((player) => player.id === id) ?? null;
  const leader = playing(band.leaderId);
  const holder = playing(holderOf(standing));
  const isAboutNotes = holder !== null && holderOf(next) === holder.id;
  const first = isAboutNotes ? holder : (leader ?? holder);
  const other = first === holder ? leader : holder;
  if (first === null) {
    return {
      playerIds: [],
      reason: {
        rule: 'anybody',
        weight: 0,
        detail: 'nobody holds it and the band has named no leader: anybody settles it',
      },
    };
  }
  const playerIds = [first, ...(other && other.id !== first.id ? [other] : [])].map(({ id }) => id);
  return {
    playerIds,
    reason:
      first === holder
        ? {
            rule: 'holder',
            weight: 0,
            detail: `${first.name} holds it and decides ${isAboutNotes ? 'about its notes' : 'who has it next'}`,
          }
        : { rule: 'leader', weight: 0, detail: `${first.name} leads the band and decides who holds it` },
  };
}

/**
 * Whose word it is to stay with what stands and let go of what somebody settled at the same time: theirs whose word the one that stands is,
 * and that of who settled the other.
 */
export function wordOnLettingGo(
  band: Pick<Band, 'leaderId' | 'players'>,
  standing: Pick<Answer, 'holding'>,
  other: Pick<Answer, 'by'>,
): Word {
  const word = whoseWord(band, standing.holding, standing.holding);
  if (word.playerIds.length === 0 || other.by === null || word.playerIds.includes(other.by)) return word;
  return { ...word, playerIds: [...word.playerIds, other.by] };
}

/**
 * Whose word it is that somebody stands in for a player with all that is theirs: the leader's, and the player's own. Without a leader who
 * plays in the band it is anybody's: who is away is not there to be asked. Common practice, no source.
 */
export function wordOnStandingIn(
  { leaderId, players }: Pick<Band, 'leaderId' | 'players'>,
  fromId: string,
): Word {
  const leader = players.find(({ id }) => id === leaderId);
  if (!leader) {
    const detail = 'the band has named no leader: anybody says who stands in';
    return { playerIds: [], reason: { rule: 'anybody', weight: 0, detail } };
  }
  const detail = `${leader.name} leads the band and decides who stands in`;
  return {
    playerIds: [...new Set([leader.id, fromId])],
    reason: { rule: 'leader', weight: 0, detail },
  };
}

/** Whether a player may settle by `word` without asking anybody; null is a person who has not said who they are. */
export const mayJustSettle = (word: Word, playerId: string | null): boolean =>
  word.playerIds.length === 0 || (playerId !== null && word.playerIds.includes(playerId));

export interface Tally {
  /** Player ids, in the band's order. */
  readonly yes: readonly string[];
  readonly no: readonly string[];
  /** Who has said nothing yet. */
  readonly silent: readonly string[];
  /** True where more than half of the band's players said yes; who is silent counts as not yes. */
  readonly carried: boolean;
  /** How many more have to say yes for it to be carried; 0: it is. */
  readonly missing: number;
  /** False where it would not be carried even if all who are silent said yes. */
  readonly canCarry: boolean;
}

/** Who said what about a proposal. Votes of players who have left the band no longer count. */
export function tallyOf(
  { id }: Pick<Answer, 'id'>,
  { votes }: Pick<Song, 'votes'>,
  { players }: Pick<Band, 'players'>,
): Tally {
  const said = new Map(
    votes.filter((vote) => vote.proposalId === id).map((vote) => [vote.playerId, vote.yes]),
  );
  const who = (what: boolean | undefined) =>
    players.filter((player) => said.get(player.id) === what).map((player) => player.id);
  const [yes, silent] = [who(true), who(undefined)];
  const missing = Math.max(0, Math.floor(players.length / 2) + 1 - yes.length);
  return { yes, no: who(false), silent, carried: missing === 0, missing, canCarry: missing <= silent.length };
}

/**
 * Whose word it is to settle what was put to the band: anybody's where the band votes and it is carried, for the band has spoken; else as
 * `whoseWord`.
 */
export function wordOnProposal(
  band: Pick<Band, 'leaderId' | 'players' | 'votes'>,
  song: Pick<Song, 'votes'>,
  standing: Holding | null,
  proposal: Pick<Answer, 'id' | 'holding'>,
): Word {
  if (!band.votes || !tallyOf(proposal, song, band).carried)
    return whoseWord(band, standing, proposal.holding);
  const detail = 'more than half of the band said yes: anybody settles it';
  return { playerIds: [], reason: { rule: 'carried', weight: 0, detail } };
}

/**
 * Whose word it is to put `next` at a place of a song as it is now: as `whoseWord` over what stands there, and anybody's where the band has
 * carried that very answer.
 *
 * @param next null: what stands is taken back
 */
export function wordOnSettling(
  band: Pick<Band, 'leaderId' | 'players' | 'votes'>,
  song: Pick<Song, 'settled' | 'proposals' | 'votes'>,
  place: Place,
  next: Holding | null,
): Word {
  const standing = song.settled.find((answer) => samePlace(answer.place, place))?.holding ?? null;
  const words = song.proposals
    .filter((put) => next !== null && saysTheSame(put, { place, holding: next }))
    .map((put) => wordOnProposal(band, song, standing, put));
  return words.find(({ playerIds }) => playerIds.length === 0) ?? whoseWord(band, standing, next);
}

/** Whether two answers say the same of the same place, whoever said it, and whenever. */
export const saysTheSame = (
  a: Pick<Answer, 'place' | 'holding'>,
  b: Pick<Answer, 'place' | 'holding'>,
): boolean => samePlace(a.place, b.place) && sameValue(a.holding, b.holding);

const holderOf = (holding: Holding | null): string | null =>
  holding === null || holding.kind === 'left open' ? null : holding.playerId;

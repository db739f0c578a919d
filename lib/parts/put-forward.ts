import {
  type Answer,
  type Band,
  type Holding,
  mayJustSettle,
  type Place,
  type Player,
  type Tally,
  tallyOf,
  type Word,
  wordOnProposal,
} from '../song';
import { type Space, spaceAt } from '../spaces';
import { type Arrangement, cuesOf } from './arrangement';
import { passName, placeInWords } from './sentences';
import { isOfLine, lineAt } from './talk';

/** One thing that was put to the band, with where it is and what it waits for. */
export interface PutForward {
  readonly answer: Answer;
  /** Null where it no longer hangs on any space. */
  readonly space: Space | null;
  /** Whose word it is to settle it. */
  readonly word: Word;
  readonly tally: Tally;
  /** Whether it waits for the player who asks. */
  readonly waits: boolean;
}

/**
 * All that is put to the band over a song, in the order of the song; what hangs on nothing any more comes last. It waits for a player who
 * may settle it and did not put it forward, for one whose yes or no is missing where the band votes and votes still count, and, once it is
 * carried, for everybody. What was settled at the same time as what stands is no proposal, and is left out.
 *
 * @param you null: a listener, or somebody who has not said who they are, for whom nothing waits
 */
export function putForward(
  arrangement: Arrangement,
  band: Pick<Band, 'leaderId' | 'players' | 'votes'>,
  atOnce: readonly Answer[],
  you: string | null,
): readonly PutForward[] {
  const { song, spaces, timeline, bySpace } = arrangement;
  const told = song.proposals.filter(({ id }) => !atOnce.some((answer) => answer.id === id));
  const all = told.map((answer): PutForward => {
    const space = spaceAt(spaces, answer.place, timeline);
    const standing = space ? (bySpace.get(space.id)?.answer.holding ?? null) : null;
    const word = wordOnProposal(band, song, standing, answer);
    const tally = tallyOf(answer, song, band);
    return { answer, space, word, tally, waits: you !== null && space !== null && waitsFor(you) };

    function waitsFor(who: string): boolean {
      if (band.votes && tally.carried) return true;
      if (band.votes && tally.canCarry && tally.silent.includes(who)) return true;
      return answer.by !== who && mayJustSettle(word, who);
    }
  });
  const startOf = ({ space }: PutForward) => space?.startTick ?? Number.POSITIVE_INFINITY;
  return all.sort((one, other) =>
    startOf(one) < startOf(other) ? -1 : startOf(one) > startOf(other) ? 1 : 0,
  );
}

/** `a run up for Ann`, `Ben, ad lib`, `left open`. */
export function holdingInWords(holding: Holding, players: readonly Player[]): string {
  if (holding.kind === 'left open') return 'left open';
  const name = players.find(({ id }) => id === holding.playerId)?.name ?? 'somebody who has left';
  if (holding.kind === 'ad lib') return `${name}, ad lib`;
  const { family } = holding.fill;
  return `${/^[aeiou]/i.test(family) ? 'an' : 'a'} ${family} for ${name}`;
}

/** `Verse 2, after “over the hill”`; of a line, `Verse 2, “over the hill and away”`. */
export function whereInWords(arrangement: Arrangement, place: Place): string {
  const { song, spaces, timeline } = arrangement;
  const pass = song.passes.find(({ id }) => id === place.passId);
  const name = pass ? passName(song, pass) : 'a pass that is gone';
  if (isOfLine(place)) {
    const words = lineAt(arrangement, place)?.words.replace(/[,;:.]+$/, '') ?? '';
    return words === '' ? name : `${name}, “${words}”`;
  }
  const space = spaceAt(spaces, place, timeline);
  if (!space) return name;
  const words = placeInWords(space, cuesOf(arrangement, space).before);
  return `${name}, ${words.charAt(0).toLowerCase()}${words.slice(1)}`;
}

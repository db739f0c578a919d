import { itemAt, must, type Reason } from '../base';
import { fillOf } from '../fills';
import { extentOf } from './band-there';
import { type Built, buildModel } from './build';
import { fitKey } from './fits';
import type { Settling } from './mend';
import { costsOf, OPEN, type SpaceCost } from './model';
import { MOST_OPENED, Search } from './search';
import { openInWords, turnInWords } from './turn-words';
import type { NextBest, Plan, PlanEntry, PlanRequest } from './types';

/** A plan, and what can still be asked about it. */
export interface Planned {
  readonly plan: Plan;
  /**
   * The next best choice for a space and what the whole plan would cost more, everything else free to change with it; null where the
   * space is settled or nothing else is allowed there.
   */
  nextBest(spaceId: string): NextBest | null;
}

/** States opened at most for the next best choice of one space. */
const OPENED_FOR_NEXT = 20_000;

/**
 * Who takes which space, over the whole song.
 *
 * Model, in points (`PLAN_COSTS`): for each space that a player holds, how far their best offer falls short of the song's usual one, and
 * what it costs to play there (sung harmony, early passes, whom one crosses at the one microphone); for each change of holder, whether it falls inside a pass, at its half or
 * between passes, and how alike the two sound; turns squared about each player's fair share, and spaces left open about the
 * share that the band wants open. A player holds only what they are free for (`whoIsFree`), and not two spaces without time between. What is
 * settled stands. Contrast with the voice is inside the offers' own score.
 *
 * The least sum is found exactly (`solve`), or told to be within `lowerBound`. Spaces, players and offers as given; no chance.
 */
export function planSpaces(request: PlanRequest, mostOpened: number = MOST_OPENED): Planned {
  const built = buildModel(request);
  const search = new Search(built.model);
  // Leaving every space open that is not settled is always allowed.
  const solved = must(search.solve(mostOpened), 'a plan');
  const plan: Plan = {
    entries: entriesOf(request, built, solved.choices),
    total: solved.total,
    exact: solved.exact,
    lowerBound: solved.lowerBound,
  };
  const nextBest = (spaceId: string): NextBest | null => {
    const at = request.spaces.findIndex((space) => space.id === spaceId);
    if (at < 0 || built.fixed[at] !== null) return null;
    const other = search.without(at, itemAt(solved.choices, at), OPENED_FOR_NEXT);
    if (!other) return null;
    return {
      spaceId,
      holder: holderOf(built, itemAt(other.choices, at)),
      more: other.total - solved.total,
      exact: other.exact && solved.exact,
    };
  };
  return { plan, nextBest };
}

function holderOf(built: Built, choice: number): string | null {
  return choice === OPEN ? null : itemAt(built.players, choice - 1).id;
}

function entriesOf(request: PlanRequest, built: Built, choices: readonly number[]): readonly PlanEntry[] {
  const costs = must(costsOf(built.model, choices), 'costs of an allowed plan');
  return request.spaces.map((space, s) => {
    const choice = itemAt(choices, s);
    const cost = itemAt(costs, s);
    const reasons = reasonsOf(built, s, choice, cost);
    const holder = holderOf(built, choice);
    const settled = built.fixed[s] !== null;
    const offer = holder === null || settled ? null : (request.fits.get(fitKey(space.id, holder)) ?? null);
    return { space, holder, settled, cost: cost.own + cost.after + cost.turn, reasons, offer };
  });
}

/** The very terms of the cost, the weightiest first. */
function reasonsOf(built: Built, s: number, choice: number, cost: SpaceCost): readonly Reason[] {
  const own = itemAt(itemAt(built.ownTerms, s), choice);
  const after = cost.before
    ? itemAt(itemAt(itemAt(built.afterTerms, cost.before.relation), cost.before.holder), choice)
    : [];
  const turn = cost.count > 0 ? [turnTerm(built, choice, cost)] : [];
  return [...own, ...after, ...turn].sort((a, b) => Math.abs(b.weight) - Math.abs(a.weight));
}

function turnTerm(built: Built, choice: number, { turn, count }: SpaceCost): Reason {
  const fair = itemAt(built.fair, choice);
  if (choice === OPEN) return { rule: 'open', weight: turn, detail: openInWords(count, fair) };
  return { rule: 'turn', weight: turn, detail: turnInWords(count, fair) };
}

/** What accepting an entry settles: the offer as a fill, ad lib where there is none, or the space left open. */
export function settlingOfEntry({ space, holder, offer }: PlanEntry): Settling {
  if (holder === null) return { place: space.place, extent: extentOf(space), holding: { kind: 'left open' } };
  if (offer === null)
    return { place: space.place, extent: extentOf(space), holding: { kind: 'ad lib', playerId: holder } };
  const { fill, extent } = fillOf(offer, space);
  return { place: space.place, extent, holding: { kind: 'fill', playerId: holder, fill } };
}

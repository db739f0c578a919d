import { fail, itemAt, ok, type Random, type Result, randomFrom } from '../base';
import { WayBound } from './bound';
import { heldPlaces } from './check';
import { cheapestWay, EXACT_UP_TO } from './exact';
import { type Ladder, ladderOf, orderOfWay } from './ladder';
import { EveningModel, FORBIDDEN } from './model';
import { WaySearch } from './search';
import { TENTHS } from './terms';
import type { NameOf } from './transition';
import type { Evening, OrderAnswer } from './types';

/** How far a search has come: the best total so far and what no order can cost less than. */
export interface OrderProgress {
  readonly total: number;
  readonly lowerBound: number;
  /** The share of the effort that is used up. */
  readonly share: number;
}

export interface OrderOptions {
  readonly nameOf?: NameOf;
  /** For sets that are not solved exactly. The same numbers give the same order. Left out: a fixed seed. */
  readonly random?: Random;
  /** Basic steps (arcs looked at) of search and bound together: some three hundred million take a second. Left out: 2000 million. */
  readonly effort?: number;
  readonly progress?: (progress: OrderProgress) => void;
  /** Asked now and then; once it is aborted, the best order so far is the answer. */
  readonly signal?: { readonly aborted: boolean };
}

const USUAL_EFFORT = 2_000_000_000;
const USUAL_SEED = 17;
/** The search goes first, since the bound takes out what cannot be better than its way; then most of the effort is the bound's. */
const FIRST_SEARCH = 20_000_000;
const SEARCH_SHARE = 0.2;
/** Where nothing more can be proven, the search ends here. */
const LAST_SEARCH = 800_000_000;
/** Steps between two looks at the signal. */
const TURN = 5_000_000;

/**
 * The cheapest order of an evening.
 *
 * Model: minimise the sum of what `EveningModel` charges for each song at its place and for each two neighbours, in seconds'
 * worth (`ORDER_WEIGHTS`); songs held in place stay there, medleys stay whole. Exact for up to `EXACT_UP_TO` songs that are not held
 * (dynamic programming over subsets); beyond that a local search, with a lower bound that is proven for the same model, and `exact`
 * where the two meet.
 *
 * Errors: no songs, too many, holds and medleys that cannot all be kept.
 */
export function orderSet(evening: Evening, options: OrderOptions = {}): Result<OrderAnswer> {
  const turns = orderInTurns(evening, options);
  let turn = turns.next(false);
  while (!turn.done) {
    options.progress?.(turn.value);
    turn = turns.next(options.signal?.aborted ?? false);
  }
  return turn.value;
}

/**
 * The same in turns of some milliseconds, for a worker that wants to hear of a stop between them: each turn yields how far
 * it has come, and is told whether to stop.
 */
export function* orderInTurns(
  evening: Evening,
  options: Pick<OrderOptions, 'nameOf' | 'random' | 'effort'> = {},
): Generator<OrderProgress, Result<OrderAnswer>, boolean> {
  const held = heldPlaces(evening);
  if (!held.ok) return held;
  const model = new EveningModel(evening, options.nameOf);
  const ladder = ladderOf(model.tables, held.value);
  const found =
    ladder.size <= EXACT_UP_TO
      ? exactly(ladder)
      : yield* searched(ladder, options.random ?? randomFrom(USUAL_SEED), options.effort ?? USUAL_EFFORT);
  if (found.cost >= FORBIDDEN / 2) {
    return fail(
      'the songs held in place and the medleys cannot all be kept',
      ladder.size <= EXACT_UP_TO ? 'the evening' : 'the evening, as far as was searched',
      'let one of the songs go, or take a medley apart',
    );
  }
  const order = orderOfWay(ladder, found.way).map((song) => itemAt(evening.songs, song).id);
  return ok({
    ...model.costsOf(order),
    exact: found.bound >= found.cost,
    lowerBound: found.bound / TENTHS,
  });
}

interface Found {
  readonly way: readonly number[];
  readonly cost: number;
  readonly bound: number;
}

function exactly(ladder: Ladder): Found {
  const { way, cost } = cheapestWay(ladder);
  return { way, cost, bound: cost };
}

/** Search and bound in turns until they meet. */
function* searched(ladder: Ladder, random: Random, effort: number): Generator<OrderProgress, Found, boolean> {
  const search = new WaySearch(ladder, random);
  const bound = new WayBound(ladder);
  bound.again(search.cost);
  const spent = () => search.steps + bound.steps;
  let lookAgain = TURN;
  while (bound.bound < search.cost && spent() < effort) {
    const rests = bound.done && !bound.hopes(search.cost);
    if (rests && search.steps > LAST_SEARCH) break;
    if (rests || search.steps < FIRST_SEARCH + bound.steps * SEARCH_SHARE) search.again();
    else bound.again(search.cost);
    if (bound.found) search.take(bound.found);
    if (spent() < lookAgain) continue;
    lookAgain = spent() + TURN;
    const stop = yield {
      total: search.cost / TENTHS,
      lowerBound: bound.bound / TENTHS,
      share: Math.min(1, spent() / effort),
    };
    if (stop) break;
  }
  return { way: [...search.best], cost: search.cost, bound: Math.min(bound.bound, search.cost) };
}

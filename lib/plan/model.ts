/**
 * The plan as numbers: what the search minimises, with nothing of music in it. All costs are whole points, so that sums are exact.
 *
 * Spaces stand in time order. A choice is 0 (left open) or 1 … `players` (that player holds it). The cost of a plan is the sum of
 *
 * - `own[space][choice]`; `Infinity` where the choice is not allowed;
 * - `after[relation][holder before][holder]` for each space that is held, where a space before it is held: the last such one;
 * - `turns[choice][k]` for the k-th turn of each choice, from 1. Never falling in k, so the sum is convex in the number of turns. A space counts
 *   as a turn of its choice, but for a space of `uncounted` that is left open.
 *
 * No player holds two spaces in a row where `tooClose` says so.
 */
export interface PlanModel {
  readonly players: number;
  readonly own: readonly (readonly number[])[];
  /** By space: its relation to the space before it (the first: 0). */
  readonly relation: readonly Relation[];
  readonly after: readonly (readonly (readonly number[])[])[];
  readonly turns: readonly (readonly number[])[];
  /** By space: true where leaving it open is no turn of silence. */
  readonly uncounted: readonly boolean[];
  /** By space, then by choice: true where a player who held the space before cannot hold this one too. */
  readonly tooClose: readonly (readonly boolean[])[];
}

/** How two spaces lie: in one half of a pass, in the two halves of one pass, in two passes. The greater wins along a way. */
export type Relation = 0 | 1 | 2;

export const OPEN = 0;

/** Whether a space counts as a turn of the choice. */
export function isTurn(model: PlanModel, space: number, choice: number): boolean {
  return choice !== OPEN || model.uncounted[space] !== true;
}

interface LastHeld {
  readonly holder: number;
  readonly relation: Relation;
  readonly direct: boolean;
}

/** The parts of each space's cost, in the order of the spaces; null: the choices are not allowed. */
export function costsOf(model: PlanModel, choices: readonly number[]): readonly SpaceCost[] | null {
  const counts = Array.from({ length: model.players + 1 }, () => 0);
  const costs: SpaceCost[] = [];
  let last: LastHeld | null = null;
  for (const [space, choice] of choices.entries()) {
    const step = model.relation[space] ?? 0;
    const before = carriedOn(last, step);
    const own = model.own[space]?.[choice] ?? Number.POSITIVE_INFINITY;
    if (own === Number.POSITIVE_INFINITY) return null;
    let after = 0;
    if (choice !== OPEN && before) {
      if (before.direct && before.holder === choice && model.tooClose[space]?.[choice]) return null;
      after = model.after[before.relation]?.[before.holder]?.[choice] ?? 0;
    }
    let turn = 0;
    let count = 0;
    if (isTurn(model, space, choice)) {
      count = (counts[choice] ?? 0) + 1;
      counts[choice] = count;
      turn = model.turns[choice]?.[count] ?? 0;
    }
    costs.push({ own, after, turn, count, before });
    if (choice !== OPEN) last = { holder: choice, relation: 0, direct: true };
    else last = before === null ? null : { ...before, direct: false };
  }
  return costs;
}

function carriedOn(last: LastHeld | null, step: Relation): LastHeld | null {
  return last === null ? null : { ...last, relation: further(last.relation, step) };
}

/** What a space costs in a plan, and what went before it. */
export interface SpaceCost {
  readonly own: number;
  readonly after: number;
  readonly turn: number;
  /** Which turn of its choice it is, from 1; 0: it is none. */
  readonly count: number;
  readonly before: { readonly holder: number; readonly relation: Relation } | null;
}

export function further(a: Relation, b: Relation): Relation {
  return a > b ? a : b;
}

/** The cost of a whole plan; Infinity where it is not allowed. */
export function totalOf(model: PlanModel, choices: readonly number[]): number {
  const costs = costsOf(model, choices);
  if (!costs) return Number.POSITIVE_INFINITY;
  return costs.reduce((sum, { own, after, turn }) => sum + own + after + turn, 0);
}

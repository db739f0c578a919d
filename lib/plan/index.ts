/**
 * Who takes which space over the whole song, at the least stated cost, and what in an arrangement clashes, each with its mend.
 * It proposes and decides nothing: what a band accepts is settled elsewhere. How fills are made up, and who is free, it asks of
 * others.
 */
export { CLASH_RULES, type Clash, type ClashRule, type MendEdit } from './clash-types';
export { type ClashOptions, findClashes } from './clashes';
export { PLAN_COSTS, USUAL_WANT } from './costs';
export { allBestOffers, bestOffers, fitKey, type Progress } from './fits';
export { type Settling, settlingAt, settlingOf, wordOnMend } from './mend';
export { costsOf, isTurn, OPEN, type PlanModel, type Relation, totalOf } from './model';
export { type Planned, planSpaces, settlingOfEntry } from './plan';
export { MOST_OPENED, Search, type Solved, solve } from './search';
export { MISFITS, type MisfitRule, type Standing, standingsIn } from './standing';
export { fairShares, turnCosts } from './turns';
export type { Fits, NextBest, Plan, PlanEntry, PlanRequest } from './types';

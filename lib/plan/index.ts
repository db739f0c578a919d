export { isTurn, OPEN, type PlanModel, type Relation, totalOf } from './model';
export { MOST_OPENED, Search, type Solved, solve } from './search';

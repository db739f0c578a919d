import type { Reason } from '../base';

/** Rules whose marks and reasons ask for care of the hands. */
const STRAINS: ReadonlySet<string> = new Set(['wide stretch', 'fast shift', 'hard at this tempo']);

/** Whether what is said of a fill asks for a word on care: fast notes, fast shifts, wide stretches. */
export const asksForCare = (reasons: readonly Reason[]): boolean =>
  reasons.some(({ rule }) => STRAINS.has(rule));

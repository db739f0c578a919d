import type { Reason } from '../base';

/** A term of `FILL_COSTS` as a reason, in whole points. */
export const reason = (rule: string, weight: number, detail: string): Reason => ({
  rule,
  weight: Math.round(weight) + 0,
  detail,
});

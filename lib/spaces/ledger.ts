import type { Reason } from '../base';
import { numberAt } from './column';
import type { Weights } from './weights';

/** What a rule is called, which row of the table it has, and how it is said; the number is how much of it there is. */
export interface Rule {
  readonly name: string;
  readonly row: keyof Weights;
  readonly says: (amount: number, i: number) => string;
}

/**
 * The points for a phrase end after each note of a voice, kept rule by rule, so that the reasons that are given are the
 * terms of the very sum that was weighed. A rule's amount times its row of the table is what it adds.
 */
export class Ledger {
  readonly points: Float64Array;
  readonly #weights: Weights;
  readonly #columns: { readonly rule: Rule; readonly amounts: Float64Array }[] = [];

  constructor(count: number, weights: Weights) {
    this.points = new Float64Array(count);
    this.#weights = weights;
  }

  /** Opens a rule, and gives what writes its amount after a note. */
  open(rule: Rule): (i: number, amount: number) => void {
    const amounts = new Float64Array(this.points.length);
    this.#columns.push({ rule, amounts });
    const weight = this.#weights[rule.row];
    return (i, amount) => {
      amounts[i] = amount;
      this.points[i] = numberAt(this.points, i) + amount * weight;
    };
  }

  reasonsAt(i: number): Reason[] {
    const reasons: Reason[] = [];
    for (const { rule, amounts } of this.#columns) {
      const amount = numberAt(amounts, i);
      const weight = amount * this.#weights[rule.row];
      if (weight !== 0) reasons.push({ rule: rule.name, weight, detail: rule.says(amount, i) });
    }
    return reasons;
  }
}

export function plainNumber(value: number): string {
  return String(Math.round(value * 100) / 100);
}

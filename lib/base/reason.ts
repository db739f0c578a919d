/**
 * One term of an answer's score, as data: the rule's name, what it added (in the score's own unit; 0 where a
 * reason only informs), and a plain clause a musician would say.
 */
export interface Reason {
  readonly rule: string;
  readonly weight: number;
  readonly detail: string;
}

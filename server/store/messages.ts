import type { Damage } from '../ports';
import type { Desk } from './desk';
import type { Carried } from './errors';
import type { Parcel } from './parcel';

/** Calls that carry bytes carry them as parcels; the rest is as the desk has it. */
export interface Calls extends Omit<Desk, 'appendAll' | 'load' | 'create'> {
  append(names: readonly string[], updates: Parcel): Promise<readonly boolean[]>;
  load(name: string): Promise<{ readonly updates: Parcel; readonly sinceSnapshot: number } | null>;
  create(name: string, update: Parcel): Promise<boolean>;
}

/** A call as it goes to the thread that has the file. */
export interface Call {
  readonly id: number;
  readonly method: keyof Calls;
  readonly args: readonly unknown[];
}

export interface Answer {
  readonly kind: 'answer';
  readonly id: number;
  readonly result:
    | { readonly ok: true; readonly value: unknown }
    | { readonly ok: false; readonly error: Carried };
}

/** What comes back from there. */
export type FromStore =
  | Answer
  | { readonly kind: 'open' }
  | { readonly kind: 'not open'; readonly error: Carried }
  | { readonly kind: 'committed'; readonly updates: number; readonly milliseconds: number }
  | { readonly kind: 'refused'; readonly updates: number }
  | { readonly kind: 'compacted'; readonly updates: number }
  | { readonly kind: 'damaged'; readonly damage: Damage };

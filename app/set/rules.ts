import type { Reason } from '../../lib/base';

/** What each rule of an order is called on the page. */
const RULES: Readonly<Record<string, string>> = {
  waiting: 'the crowd waits',
  effort: 'busy hands between songs',
  sameKey: 'one key twice running',
  sameTempo: 'one tempo twice running',
  sameSinger: 'one singer twice running',
  voiceRest: 'strong songs running for one voice',
  energy: 'rise and fall',
  shakyFirst: 'a shaky opener',
  near: 'songs wanted near that are not',
  apart: 'songs wanted apart that are not',
};
export const ruleSaid = (rule: string): string => RULES[rule] ?? rule;

/** Costs are whole tenths. */
export const figure = (cost: number): string => String(Math.round(cost * 10) / 10);

export const moreOrLess = (weight: number): string =>
  weight < 0 ? `${figure(-weight)} less` : `${figure(weight)} more`;

/** `both in G (5)`. */
export const reasonSaid = ({ detail, weight }: Reason): string => `${detail} (${figure(weight)})`;

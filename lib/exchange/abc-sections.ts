import { itemAt, lastOf } from '../base';
import { barTicks } from '../time';
import type { VoiceBar } from './abc-types';
import type { Findings } from './report';

/** A stretch of bars that the roadmap runs through as one. */
export interface SectionPlan {
  /** As the file labels it; null where it does not. */
  readonly label: string | null;
  /** True where it goes on after a labelled one without a label of its own. */
  readonly continued: boolean;
  /** Indexes of its first bar and of the one after its last. */
  readonly from: number;
  readonly to: number;
  /** A repeat sign stands at its start. */
  readonly opens: boolean;
  /** Times through it, by repeat sign and endings. */
  readonly times: number;
  /** For each of its bars: the times in which it is played; empty: always. */
  readonly endings: readonly (readonly number[])[];
}

/**
 * Cuts the bars into sections: at labels of parts, at repeat signs, and after the last of several endings. A repeat whose
 * start is not written goes back to the last double barline, repeat sign or label. Source: ABC standard 2.1, section 4.8.
 */
export function planSections(bars: readonly VoiceBar[]): SectionPlan[] {
  const plans: SectionPlan[] = [];
  let from = 0;
  let label: string | null = null;
  let continued = false;
  let endings: (readonly number[])[] = [];
  let ending: readonly number[] = [];

  const push = (to: number, times: number) => {
    const opens = itemAt(bars, from).startRepeat;
    plans.push({ label, continued, from, to, opens, times, endings: endings.slice(0, to - from) });
    endings = endings.slice(to - from);
    from = to;
    continued = label !== null;
  };
  const close = (to: number) => {
    if (to <= from) return;
    const within = bars.slice(from, to);
    const highest = endings.reduce((most, each) => Math.max(most, ...each), 1);
    const times = within.reduce((most, bar) => Math.max(most, bar.endRepeat), highest);
    if (times > 1 && !itemAt(within, 0).startRepeat) {
      const common = endings.findIndex((each) => each.length > 0);
      const before = within.slice(0, common < 0 ? -1 : common).findLastIndex((bar) => bar.doubled);
      if (before >= 0) push(from + before + 1, 1);
    }
    push(to, times);
    endings = [];
    ending = [];
  };

  bars.forEach((bar, i) => {
    const before = bars[i - 1];
    const afterRepeat = before !== undefined && before.endRepeat > 1 && bar.ending === null;
    const afterEndings = ending.length > 0 && before?.doubled === true && bar.ending === null;
    if (bar.part !== null || bar.startRepeat || afterRepeat || afterEndings) close(i);
    if (bar.part !== null) {
      label = bar.part;
      continued = false;
    }
    if (bar.ending) ending = bar.ending;
    endings.push(ending);
  });
  close(bars.length);
  return joinPickups(plans, bars);
}

/** A pickup alone before a sign of repeat is no section: it is the first bar of the repeated one, played the first time only. */
function joinPickups(plans: readonly SectionPlan[], bars: readonly VoiceBar[]): SectionPlan[] {
  const joined: SectionPlan[] = [];
  for (const plan of plans) {
    const before = joined[joined.length - 1];
    const alone = before && before.to - before.from === 1 && before.times === 1;
    if (!before || !alone || !plan.opens || !isShort(itemAt(bars, before.from))) {
      joined.push(plan);
      continue;
    }
    if (before.label !== null && !before.continued && plan.label !== before.label) {
      joined.push(plan);
      continue;
    }
    const label = plan.label ?? before.label;
    const ending = plan.times > 1 ? [1] : [];
    joined[joined.length - 1] = {
      ...plan,
      label,
      continued: plan.label === before.label ? before.continued : plan.continued,
      from: before.from,
      endings: [ending, ...plan.endings],
    };
  }
  return joined;
}

const isShort = (bar: VoiceBar): boolean => bar.meter !== 'free' && bar.ticks < barTicks(bar.meter);

/** One time through a section, as repeats or the order of parts run it. */
export interface Run {
  readonly section: number;
  /** Which time through it is, from 1. */
  readonly time: number;
}

/** Once through the tune with its repeats. A repeat goes back to its sign, or to the start of its own section. */
export function runByRepeats(plans: readonly SectionPlan[]): Run[] {
  const runs: Run[] = [];
  let open: number[] = [];
  const flush = () => {
    for (const section of open) runs.push({ section, time: 1 });
    open = [];
  };
  plans.forEach((plan, i) => {
    if (plan.opens) flush();
    const inside = open.length > 0 && plans[itemAt(open, 0)]?.opens === true;
    if (plan.times > 1 && !inside) flush();
    open.push(i);
    if (plan.times > 1) {
      for (let time = 1; time <= plan.times; time++) for (const section of open) runs.push({ section, time });
      open = [];
    } else if (!plan.opens && !inside) flush();
  });
  flush();
  return runs;
}

/** More passes than this are no roadmap: an order of parts that says so is cut. */
export const MOST_RUNS = 200;

/**
 * The order of parts that a header gives: letters with counts and parentheses (`A(AB)2`), or whole labels set apart by spaces or
 * commas. Null where no part of the tune bears such a name. Source: ABC standard 2.1, section 3.1.9.
 */
export function runByOrder(
  text: string,
  plans: readonly SectionPlan[],
  at: number,
  findings: Findings,
): Run[] | null {
  const labels = [...new Set(plans.map((plan) => plan.label).filter((label) => label !== null))];
  if (labels.length === 0) return null;
  const words = text.split(/[\s,;.>–-]+/).filter((word) => word !== '');
  const asWords = words.map((word) => labels.find((label) => label.toLowerCase() === word.toLowerCase()));
  const whole = words.length > 0 && asWords.every((label) => label !== undefined);
  const order = whole ? asWords : expandOrder(text).map((letter) => labelOf(letter, labels));
  const names = whole ? words : expandOrder(text);

  const runs: Run[] = [];
  const count = new Map<string, number>();
  order.forEach((label, i) => {
    if (label === undefined) {
      findings.leftOut(`a part in the order of parts that the tune does not have: "${names[i] ?? ''}"`, at);
      return;
    }
    const groups = groupsOf(label, plans);
    const turn = count.get(label) ?? 0;
    count.set(label, turn + 1);
    const group = itemAt(groups, turn % groups.length);
    const mentions = order.filter((other) => other === label).length;
    for (const section of group) {
      const { times, endings } = itemAt(plans, section);
      // Named as often as it has endings, each mention takes the next ending (section 4.10 of the standard).
      if (mentions >= times && endings.some((each) => each.length > 0)) {
        if (runs.length < MOST_RUNS) runs.push({ section, time: (turn % times) + 1 });
        continue;
      }
      for (let time = 1; time <= times && runs.length < MOST_RUNS; time++) runs.push({ section, time });
    }
  });
  return runs.length > 0 ? runs : null;
}

function labelOf(letter: string, labels: readonly string[]): string | undefined {
  const same = labels.find((label) => label.toLowerCase() === letter.toLowerCase());
  if (same !== undefined) return same;
  const initial = labels.filter((label) => label.charAt(0).toLowerCase() === letter.toLowerCase());
  return initial.length === 1 ? initial[0] : undefined;
}

/** The stretches of sections that bear a label: a label and what goes on after it. */
function groupsOf(label: string, plans: readonly SectionPlan[]): number[][] {
  const groups: number[][] = [];
  plans.forEach((plan, i) => {
    if (plan.label !== label) return;
    if (plan.continued && groups.length > 0) lastOf(groups).push(i);
    else groups.push([i]);
  });
  return groups;
}

function expandOrder(text: string): string[] {
  const stack: string[][] = [[]];
  let last: string[] = [];
  for (const [sign] of text.slice(0, 1000).matchAll(/[A-Za-z]|\d{1,2}|[()]/g)) {
    if (sign === '(') {
      stack.push([]);
      last = [];
    } else if (sign === ')') {
      if (stack.length < 2) continue;
      last = stack.pop() ?? [];
      lastOf(stack).push(...last);
    } else if (/\d/.test(sign)) {
      for (let n = 1; n < Number(sign) && lastOf(stack).length < MOST_RUNS; n++) lastOf(stack).push(...last);
    } else {
      last = [sign];
      lastOf(stack).push(sign);
    }
  }
  return stack.flat().slice(0, MOST_RUNS);
}

import { itemAt } from '../base';
import type { Ticks } from '../time';
import { numberAt } from './column';
import { type Ledger, plainNumber, type Rule } from './ledger';
import { countUpTo } from './stretches';
import { restAfter, type VoiceLine } from './voice-line';
import type { Weights } from './weights';

const always = (detail: string) => () => detail;
const BREATH_COST: Rule = {
  name: 'cost of a breath',
  row: 'breathCost',
  says: always('every phrase end needs a cause'),
};
const ANY_REST: Rule = { name: 'silence', row: 'anyRest', says: always('the voice lets go') };
const BREATH: Rule = { name: 'breath mark', row: 'breath', says: always('a breath is written') };
const FERMATA: Rule = { name: 'fermata', row: 'fermata', says: always('a fermata') };
const HELD: Rule = {
  name: 'held',
  row: 'held',
  says: (amount) => (amount > 0 ? 'longer than most notes' : 'shorter than most notes'),
};
const NEXT_SHORTER: Rule = {
  name: 'next shorter',
  row: 'nextShorter',
  says: (amount) => (amount > 0 ? 'the next note is shorter' : 'the next note is longer'),
};
const LEAP: Rule = {
  name: 'leap',
  row: 'leap',
  says: (amount) => `${Math.round(amount * OCTAVE)} semitones to the next note`,
};
const STEP_DOWN: Rule = { name: 'step down', row: 'stepDown', says: always('reached by a step down') };
const SECTION: Rule = { name: 'section', row: 'section', says: always('the section ends') };
const TOGETHER: Rule = { name: 'together', row: 'together', says: always('ends with the leading voice') };

const OCTAVE = 12;
/** A whole tone is the widest step. */
const WIDEST_STEP = 2;

/** Enters what is heard around each note: silence, marks, length, leaps, and where a section or the leading voice ends. */
export function weighSound(
  line: VoiceLine,
  ledger: Ledger,
  weights: Weights,
  together: readonly Ticks[] | null,
): void {
  const rest: Rule = {
    name: 'rest',
    row: 'rest',
    says: (_, i) => {
      const beats = plainNumber(restAfter(line, i));
      return `a rest of ${beats} ${beats === '1' ? 'beat' : 'beats'}`;
    },
  };
  const add = {
    cost: ledger.open(BREATH_COST),
    rest: ledger.open(rest),
    anyRest: ledger.open(ANY_REST),
    breath: ledger.open(BREATH),
    fermata: ledger.open(FERMATA),
    held: ledger.open(HELD),
    nextShorter: ledger.open(NEXT_SHORTER),
    leap: ledger.open(LEAP),
    stepDown: ledger.open(STEP_DOWN),
    section: ledger.open(SECTION),
    together: ledger.open(TOGETHER),
  };
  const middle = middleStep(line);
  const doublings = (of: number, against: number) =>
    Math.max(
      -weights.heldMost,
      Math.min(Math.log2(Math.max(1, of) / Math.max(1, against)), weights.heldMost),
    );
  for (let i = 0; i + 1 < line.count; i++) {
    const { note, startTick } = itemAt(line.notes, i);
    const step = numberAt(line.steps, i);
    const silence = restAfter(line, i);
    add.cost(i, -1);
    if (silence > 0) {
      add.rest(i, Math.min(silence, weights.restBeats));
      add.anyRest(i, 1);
    }
    if (note.breath) add.breath(i, 1);
    if (note.fermata) add.fermata(i, 1);
    add.held(i, doublings(step, middle));
    add.nextShorter(i, doublings(step, numberAt(line.steps, i + 1)));
    const leap = Math.abs(numberAt(line.intervals, i + 1));
    if (leap > 0) add.leap(i, Math.min(leap, OCTAVE) / OCTAVE);
    const fall = -numberAt(line.intervals, i);
    if (fall > 0 && fall <= WIDEST_STEP) add.stepDown(i, 1);
    const [from, to] = [itemAt(line.bars, i), itemAt(line.bars, i + 1)];
    if (from.sectionId !== to.sectionId || from.passId !== to.passId) add.section(i, 1);
    if (together && endsBetween(together, startTick, numberAt(line.onsets, i + 1))) add.together(i, 1);
  }
}

function endsBetween(ends: readonly Ticks[], from: Ticks, to: Ticks): boolean {
  const count = (tick: Ticks) => countUpTo(ends, tick, (end) => end);
  return count(from) < count(to);
}

/** The middle one of the times from note to note. */
function middleStep(line: VoiceLine): Ticks {
  const sorted = line.steps.slice().sort();
  return sorted[sorted.length >> 1] ?? 1;
}

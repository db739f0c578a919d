import { itemAt, lastOf } from '../base';
import { beatStrength, type Ticks } from '../time';
import { asWritten, type LaidLine, spreadIn, withTicks } from './lay';
import type { SheetLine, TapSheet } from './sheet';
import { SPREAD_COSTS, spreadEvenly } from './spread';

/**
 * Another stanza, laid after one that was tapped, line by line: where a line has as many syllables it takes the same rhythm; else words
 * with which both lines begin or end stand on the same beats. Of the others, fewer stand on those of the onsets that suit their stress best, and
 * more are spread between.
 */
export function follow(sheet: TapSheet, tapped: readonly LaidLine[]): readonly LaidLine[] {
  return sheet.lines.map((line, n) => {
    const model = tapped[n];
    if (!model?.tapped) return asWritten(line);
    const ticks = model.syllables.map(({ tick }) => tick);
    const last = lastOf(model.syllables);
    const end = last.tick + last.ticks;
    if (line.syllables.length === model.syllables.length)
      return {
        syllables: line.syllables.map((own, i) => {
          const { tick, ticks: held } = itemAt(model.syllables, i);
          return { ...own, tick, ticks: held };
        }),
        tapped: true,
        unsure: [],
      };
    const start = itemAt(ticks, 0);
    const alike = sharedWords(line, model);
    const together = new Map([
      [0, start] as const,
      ...alike,
      [line.syllables.length - 1, last.tick] as const,
    ]);
    const onsets =
      onSomeOf(sheet, line, ticks, alike) ??
      (line.syllables.length > 1 ? spreadIn(sheet, line, together, start, end, new Set(ticks)) : null) ??
      spreadIn(sheet, line, new Map([[0, start]]), start, end, new Set(ticks)) ??
      spreadEvenly(line.syllables.length, start, Math.max(end, start + line.syllables.length));
    return { syllables: withTicks(line, onsets, end), tapped: true, unsure: [] };
  });
}

/** Onsets of the syllables with which a line begins and ends just as another does. */
function sharedWords(line: SheetLine, model: LaidLine): ReadonlyMap<number, Ticks> {
  const letters = (text: string) => text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');
  const own = line.syllables;
  const other = model.syllables;
  const most = Math.min(own.length, other.length);
  const isAlike = (i: number, j: number) => letters(itemAt(own, i).text) === letters(itemAt(other, j).text);
  const shared = new Map<number, Ticks>();
  let ends = 0;
  while (ends < most && isAlike(own.length - 1 - ends, other.length - 1 - ends)) {
    shared.set(own.length - 1 - ends, itemAt(other, other.length - 1 - ends).tick);
    ends += 1;
  }
  for (let i = 0; i < most - ends && isAlike(i, i); i++) shared.set(i, itemAt(other, i).tick);
  return new Map([...shared].sort((a, b) => a[0] - b[0]));
}

/**
 * Fewer syllables on some of a line's onsets: the least sum of the stresses' costs on their places, by dynamic programming; null where there are not
 * fewer, or words that both lines share stand in the way.
 */
function onSomeOf(
  sheet: TapSheet,
  line: SheetLine,
  ticks: readonly Ticks[],
  shared: ReadonlyMap<number, Ticks>,
): readonly Ticks[] | null {
  const count = line.syllables.length;
  if (count >= ticks.length) return null;
  const strengths = ticks.map((tick) => {
    const bar = sheet.room.findLast((one) => one.startTick <= tick) ?? itemAt(sheet.room, 0);
    return beatStrength(bar.meter, tick - bar.startTick);
  });
  // By syllable and onset: the least cost of all up to there, and the onset before.
  let before: readonly number[] = ticks.map(() => 0);
  const from: number[][] = [];
  for (let i = 0; i < count; i++) {
    const { stress } = itemAt(line.syllables, i);
    const own = ticks.map(() => Infinity);
    const back = ticks.map(() => -1);
    let least = i === 0 ? 0 : Infinity;
    let at = -1;
    ticks.forEach((tick, j) => {
      if (i > 0 && j > 0 && itemAt(before, j - 1) < least) {
        least = itemAt(before, j - 1);
        at = j - 1;
      }
      const fits = (shared.get(i) ?? tick) === tick;
      if (!fits || least === Infinity) return;
      own[j] = least + SPREAD_COSTS.place[stress][itemAt(strengths, j)];
      back[j] = at;
    });
    before = own;
    from.push(back);
  }
  let end = before.indexOf(Math.min(...before));
  if (itemAt(before, end) === Infinity) return null;
  const onsets: Ticks[] = [];
  for (let i = count - 1; i >= 0; i--) {
    onsets.push(itemAt(ticks, end));
    end = itemAt(itemAt(from, i), end);
  }
  return onsets.reverse();
}

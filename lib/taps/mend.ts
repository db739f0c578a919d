import { lastOf } from '../base';
import type { Ticks } from '../time';
import type { LaidLine } from './lay';
import type { SheetSyllable } from './sheet';

/** Shorter than this no syllable is made by hand. */
const SHORTEST: Ticks = 120;

/**
 * A laid line with one syllable moved by so many ticks, alone or with all after it in the line. It stays between its neighbours (of other lines too): a
 * move that would pass one is not made, and the same lines come back. What was sung up to it goes on up to it.
 *
 * @param from where the first line may begin at the earliest: below 0 where a pickup can be put in before the pass
 */
export function moveSyllable(
  lines: readonly LaidLine[],
  line: number,
  index: number,
  by: Ticks,
  withRest: boolean,
  endTick: Ticks,
  from: Ticks = 0,
): readonly LaidLine[] {
  const own = lines[line];
  if (!own?.syllables[index]) return lines;
  const to = withRest ? own.syllables.length - 1 : index;
  const moved = own.syllables.map((syllable, i) =>
    i >= index && i <= to ? { ...syllable, tick: syllable.tick + by } : syllable,
  );
  const fitted = moved.map((syllable, i): SheetSyllable => {
    const was = own.syllables[i];
    const next = own.syllables[i + 1];
    const following = moved[i + 1];
    if (!was || i < index - 1 || i > to) return syllable;
    // Held up to the next one before, so also now; else it keeps its end, and the last one of a line moved whole its length.
    if (next && following && was.tick + was.ticks >= next.tick)
      return { ...syllable, ticks: following.tick - syllable.tick };
    if (i < index || withRest) return syllable;
    return { ...syllable, ticks: was.tick + was.ticks - syllable.tick };
  });
  return withLine(
    lines,
    line,
    { ...own, syllables: fitted, tapped: true, unsure: settled(own, index) },
    endTick,
    from,
  );
}

/** A laid line whose syllable is held longer or shorter; before another of its line it may end in a rest. */
export function holdSyllable(
  lines: readonly LaidLine[],
  line: number,
  index: number,
  by: Ticks,
  endTick: Ticks,
): readonly LaidLine[] {
  const own = lines[line];
  if (!own?.syllables[index]) return lines;
  const syllables = own.syllables.map((syllable, i) =>
    i === index ? { ...syllable, ticks: syllable.ticks + by } : syllable,
  );
  const changed = { ...own, syllables, tapped: true, unsure: settled(own, index) };
  return withLine(lines, line, changed, endTick, Number.NEGATIVE_INFINITY);
}

/**
 * Laid lines sung at half the pace (twice as many beats, factor 2) or at twice the pace, counted from the first downbeat: for taps whose tempo came out as the
 * double or the half of what the band counts. The same lines come back where two syllables would then begin at once.
 */
export function paced(lines: readonly LaidLine[], factor: 2 | 0.5, downbeat: Ticks): readonly LaidLine[] {
  const at = (tick: Ticks): Ticks => downbeat + Math.round((tick - downbeat) * factor);
  const scaled = lines.map((line) => ({
    ...line,
    tapped: true,
    syllables: line.syllables.map((syllable) => {
      const tick = at(syllable.tick);
      return { ...syllable, tick, ticks: Math.max(1, at(syllable.tick + syllable.ticks) - tick) };
    }),
  }));
  const onsets = scaled.flatMap(({ syllables }) => syllables.map(({ tick }) => tick));
  return onsets.every((tick, i) => i === 0 || tick >= (onsets[i - 1] ?? tick) + SHORTEST) ? scaled : lines;
}

const settled = (line: LaidLine, index: number): readonly number[] =>
  line.unsure.filter((one) => one !== index);

function withLine(
  lines: readonly LaidLine[],
  line: number,
  changed: LaidLine,
  endTick: Ticks,
  from: Ticks,
): readonly LaidLine[] {
  const before = lines.slice(0, line).findLast(({ syllables }) => syllables.length > 0);
  const after = lines.slice(line + 1).find(({ syllables }) => syllables.length > 0);
  const floor = before ? lastOf(before.syllables).tick + 1 : from;
  const ceiling = Math.min(endTick, after?.syllables[0]?.tick ?? endTick);
  let at = floor;
  for (const { tick, ticks } of changed.syllables) {
    if (tick < at || ticks < SHORTEST || tick + ticks > ceiling) return lines;
    at = tick + 1;
  }
  const overlaps = changed.syllables.some(({ tick, ticks }, i) => {
    const next = changed.syllables[i + 1];
    return next !== undefined && tick + ticks > next.tick;
  });
  return overlaps ? lines : lines.map((one, i) => (i === line ? changed : one));
}

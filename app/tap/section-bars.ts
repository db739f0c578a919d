import type { SongEdits } from '../../lib/document';
import type { Bar, Song } from '../../lib/song';
import type { LaidLine, TapSheet } from '../../lib/taps';
import { barTicks, beatTicks, type Ticks } from '../../lib/time';

type NewBars = Parameters<SongEdits['insertBars']>[1];

/** A bar like each one after it: every chord lasts twice as long. */
export function doubled(song: Song, { pass }: TapSheet): NewBars {
  const bars = song.sections.find(({ id }) => id === pass.sectionId)?.bars ?? [];
  return bars.flatMap((bar) => (bar.pickup ? [] : [{ afterBarId: bar.id, bar: likeIt(bar) }]));
}

/** As many bars after the last one as the lines need, the last line with as much time as the others mostly have. */
export function atTheEnd(song: Song, sheet: TapSheet, lines: readonly LaidLine[]): NewBars {
  const last = song.sections.find(({ id }) => id === sheet.pass.sectionId)?.bars.at(-1);
  const missing = usualEnd(sheet, lines) - sheet.endTick;
  if (!last || missing <= 0) return [];
  const count = Math.ceil(missing / barTicks(last.meter));
  return Array.from({ length: count }, () => ({ afterBarId: last.id, bar: likeIt(last) }));
}

/** Where the lines are over: the last one has as many bars as most lines have from one to the next, and those that it needs at least. */
function usualEnd({ bars }: TapSheet, lines: readonly Pick<LaidLine, 'syllables'>[]): Ticks {
  const syllables = lines.flatMap((line) => line.syllables);
  const needed = Math.max(0, ...syllables.map(({ tick, ticks }) => tick + ticks));
  const first = bars[0];
  const starts = lines.flatMap((line) => line.syllables[0]?.tick ?? []);
  const [start, second] = starts;
  if (!first || start === undefined || second === undefined) return needed;
  const bar = barTicks(first.meter);
  const downbeat = first.pickup ? first.endTick : 0;
  const steps = starts.slice(1).map((tick, i) => Math.max(1, Math.round((tick - (starts[i] ?? 0)) / bar)));
  const usual = steps.sort((a, b) => a - b)[(steps.length - 1) >> 1] ?? 1;
  const from = Math.round((start - downbeat) / bar);
  return Math.max(needed, downbeat + (from + starts.length * usual) * bar);
}

const likeIt = ({ meter, endings }: Bar): Omit<Bar, 'id'> => ({
  meter,
  ticks: barTicks(meter),
  pickup: false,
  endings,
  key: null,
  tempo: null,
});

/** A pickup for words that begin before a section's first bar, and the bars that give up as much of their ends. */
export interface Pickup {
  readonly bar: Omit<Bar, 'id'>;
  readonly shortened: readonly { readonly barId: string; readonly ticks: Ticks }[];
}

/**
 * The pickup that lines need, in whole beats; null where they need none, or where more than a bar is missing. The bar before a pass of the section
 * is that much shorter, so that the beat goes on through both, if mostly this section follows it and nothing begins in its last beats.
 */
export function pickupFor(song: Song, { pass, bars }: TapSheet, lines: readonly LaidLine[]): Pickup | null {
  const first = bars[0];
  const from = Math.min(0, ...lines.flatMap(({ syllables }) => syllables.map(({ tick }) => tick)));
  if (!first || first.pickup || from === 0) return null;
  const beat = beatTicks(first.meter);
  const ticks = Math.ceil(-from / beat) * beat;
  if (ticks >= barTicks(first.meter)) return null;
  const bar = { meter: first.meter, ticks, pickup: true, endings: [], key: null, tempo: null };
  return { bar, shortened: barsBefore(song, pass.sectionId, ticks) };
}

function barsBefore(song: Song, sectionId: string, ticks: Ticks): Pickup['shortened'] {
  const before = new Map<string, { readonly bar: Bar; readonly into: boolean[] }>();
  song.passes.forEach((pass, i) => {
    const next = song.passes[i + 1];
    const bar = song.sections
      .find(({ id }) => id === pass.sectionId)
      ?.bars.findLast(({ endings }) => endings.length === 0 || endings.includes(pass.ending));
    if (!next || !bar) return;
    const known = before.get(bar.id) ?? { bar, into: [] };
    known.into.push(next.sectionId === sectionId);
    before.set(bar.id, known);
  });
  return [...before.values()].flatMap(({ bar, into }) => {
    const left = bar.ticks - ticks;
    const mostly = into.filter(Boolean).length * 2 > into.length;
    const isFree = [...song.notes, ...song.chords].every(
      ({ barId, offset }) => barId !== bar.id || offset < left,
    );
    return mostly && isFree && left > 0 && !bar.pickup ? [{ barId: bar.id, ticks: left }] : [];
  });
}

/** The bars at a section's end that are left over once its words stand where they are sung: behind the last line's time, with no words and no chords. */
export function leftOver(song: Song, sheet: TapSheet): readonly string[] {
  const section = song.sections.find(({ id }) => id === sheet.pass.sectionId);
  if (!section || sheet.lines.length < 2 || section.bars.some(({ endings }) => endings.length > 0)) return [];
  const used = new Set([...song.notes, ...song.chords].map(({ barId }) => barId));
  const over = usualEnd(sheet, sheet.lines);
  const kept = sheet.bars.findLastIndex(({ id, startTick }) => used.has(id) || startTick < over);
  return sheet.bars.slice(kept + 1).map(({ id }) => id);
}

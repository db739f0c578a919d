import type { PlacedBar, Timeline } from '../../song';
import { barTicks, beatTicks } from '../../time';
import type { Arrangement } from '../arrangement';
import type { ChordNaming } from '../chords';
import type { Instruction } from '../drawing';
import { beatsInFigures, chordInSigns } from '../sentences';
import { paragraph, textBlock } from './head';
import { POINT } from './paged';
import { textAt } from './row-look';
import { scaled } from './text';
import { type Block, type Measure, TURN_COSTS } from './types';

const CHORD = 15 * POINT;
const UNDER = 10 * POINT;
const LENGTH = 9 * POINT;
/** Left of a bar's first chord, and between two chords. */
const INSET = 7;
const APART = 12;
/** Bars to a row: eight, if the fullest bar can bear it. Common practice, no source: charts in fours and eights. */
const TO_A_ROW = [8, 4, 2, 1] as const;

export interface ChartRequest {
  readonly arrangement: Arrangement;
  readonly names: ChordNaming;
  /** Stands under each chord, smaller; null: nothing. */
  readonly under: ChordNaming | null;
  readonly width: number;
  readonly measure: Measure;
}

/** The chords of a song bar by bar, each section once: as they stand in time within the bar, a held one said again fainter. */
export function chartBlocks(request: ChartRequest): readonly Block[] {
  const { arrangement, width, measure } = request;
  return stretchesOf(arrangement).flatMap(({ name, bars, places }) => {
    const heading = paragraph('', 13, {
      runs: [
        { text: `${name}  `, face: 'strong' },
        { text: places, face: 'plain' },
      ],
    });
    return [textBlock(heading, width, measure, 6), ...rowsOfBars(bars, request)];
  });
}

/** Each section once, and once more for each ending that it is played with; and where in the order it stands. */
function stretchesOf({ song, timeline }: Arrangement) {
  const found = new Map<string, { name: string; bars: readonly PlacedBar[]; at: number[] }>();
  timeline.passes.forEach(({ pass, section, startTick, endTick }, i) => {
    const hasEndings = section.bars.some(({ endings }) => endings.length > 0);
    const key = `${section.id} ${hasEndings ? (pass?.ending ?? 1) : ''}`;
    const known = found.get(key);
    if (known) {
      known.at.push(i + 1);
      return;
    }
    const bars = timeline.bars.filter(
      (bar) => bar.startTick >= startTick && bar.startTick < endTick && !bar.bar.pickup,
    );
    const ending = hasEndings && pass ? `, ending ${pass.ending}` : '';
    found.set(key, { name: `${section.name === '' ? 'Section' : section.name}${ending}`, bars, at: [i + 1] });
  });
  return [...found.values()].map(({ name, bars, at }) => ({
    name,
    bars,
    places: song.passes.length < 2 ? '' : `${at.length === 1 ? 'number' : 'numbers'} ${at.join(', ')}`,
  }));
}

interface Named {
  readonly name: string;
  readonly under: string;
  /** Share of its bar before it. */
  readonly at: number;
  /** Held from the bar before. */
  readonly held: boolean;
}

function rowsOfBars(bars: readonly PlacedBar[], request: ChartRequest): readonly Block[] {
  const { arrangement, under, width, measure } = request;
  const named = bars.map((bar) => chordsIn(bar, arrangement.timeline, request));
  const wide = ({ name, under: below }: Named) =>
    Math.max(measure(name, CHORD, 'strong'), measure(below, UNDER, 'plain')) + APART;
  const fullest = Math.max(0, ...named.map((chords) => chords.reduce((sum, one) => sum + wide(one), INSET)));
  const toARow = TO_A_ROW.find((count) => width / count >= fullest) ?? 1;
  const barWidth = width / toARow;
  const height = under === null ? CHORD * 1.5 : CHORD * 1.45 + UNDER * 1.2;
  const blocks: Block[] = [];
  for (let from = 0; from < bars.length; from += toARow) {
    const drawing: Instruction[] = [];
    const shown = bars.slice(from, from + toARow);
    const line = (x: number): Instruction => ({
      kind: 'line',
      x1: x,
      y1: 4,
      x2: x,
      y2: height - 4,
      pen: 'ink',
    });
    shown.forEach((bar, i) => {
      const left = i * barWidth;
      drawing.push(line(left));
      let free = left + INSET;
      const own = lengthOf(bar);
      if (own !== '')
        drawing.push(
          textAt(left + barWidth - 5, 11, own, LENGTH, { face: 'plain', tone: 'quiet', anchor: 'end' }),
        );
      const chords = named[from + i] ?? [];
      let needed = chords.reduce((sum, one) => sum + wide(one), 0);
      for (const one of chords) {
        // As late as it stands in the bar, as far as it and what comes after it still goes in.
        const latest = left + barWidth - needed;
        const x = Math.max(free, Math.min(latest, left + INSET + one.at * (barWidth - INSET)));
        needed -= wide(one);
        const tone = one.held ? 'quiet' : 'ink';
        drawing.push(textAt(x, CHORD * 1.15, one.name, CHORD, { face: 'strong', tone }));
        if (one.under !== '')
          drawing.push(
            textAt(x, CHORD * 1.15 + UNDER * 1.2, one.under, UNDER, { face: 'plain', tone: 'quiet' }),
          );
        free = x + wide(one);
      }
    });
    drawing.push(line(shown.length * barWidth));
    const isLast = from + toARow >= bars.length;
    // A bar alone that is fuller than the sheet is drawn smaller, never over the edge.
    const fitted = fullest > barWidth ? scaled(drawing, barWidth / fullest) : drawing;
    blocks.push({ height, drawing: fitted, turn: isLast ? TURN_COSTS.pass : TURN_COSTS.line, mark: null });
  }
  return blocks;
}

function chordsIn(
  { startTick, endTick }: PlacedBar,
  timeline: Timeline,
  { names, under }: ChartRequest,
): readonly Named[] {
  const chords = timeline.chordsIn(startTick, endTick);
  if (chords.length === 0) return [{ name: '–', under: '', at: 0, held: true }];
  return chords.map(({ symbol, startTick: begins }) => {
    const at = Math.max(begins, startTick);
    return {
      name: chordInSigns(names(symbol, at)),
      under: under === null ? '' : chordInSigns(under(symbol, at)),
      at: (at - startTick) / (endTick - startTick),
      held: begins < startTick,
    };
  });
}

/** Of a bar that is longer or shorter than its meter: how long it is. */
function lengthOf({ bar }: PlacedBar): string {
  return bar.ticks === barTicks(bar.meter) ? '' : beatsInFigures(bar.ticks / beatTicks(bar.meter));
}

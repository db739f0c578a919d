import { barTicks, beatTicks, isCompound, type Meter, type Ticks } from '../time';

/** The beat as a hand counts it, and into how many even steps it first divides. */
interface HandBeat {
  readonly ticks: Ticks;
  readonly parts: number;
}

/**
 * 4/4: quarters in two; 2/2: halves in two; 6/8 and 3/8: dotted quarters in three; other meters in eighths or shorter: in pairs
 * where the bar allows it (4/8), else the whole bar in its units (5/8), so that each downbeat is a down-stroke.
 */
function handBeat(meter: Meter): HandBeat {
  const beat = beatTicks(meter);
  if (isCompound(meter)) return { ticks: beat, parts: 3 };
  if (meter.unit < 8) return { ticks: beat, parts: 2 };
  if (meter.count === 3) return { ticks: 3 * beat, parts: 3 };
  return meter.count % 2 === 0
    ? { ticks: 2 * beat, parts: 2 }
    : { ticks: barTicks(meter), parts: meter.count };
}

/** How often each step of the beat is halved before every onset stands on a step; null: on none within 64ths. */
function halvings(beat: HandBeat, offsets: readonly Ticks[]): number | null {
  for (let times = 0; times <= 4; times++) {
    const step = beat.ticks / (beat.parts * 2 ** times);
    if (offsets.every((offset) => Math.abs(offset - Math.round(offset / step) * step) < 1)) return times;
  }
  return null;
}

/**
 * What the beat gives at a tick: down on the beat, up on the "and".
 *
 * The model: the hand moves evenly, down first, on the grid of the fastest notes, which is the coarsest even
 * division of the beat on which every struck note of the figure stands (eighths at least in 4/4, quarters at
 * least in 2/2). It keeps moving through rests and slurred notes. A beat whose struck notes stand on thirds or sixths
 * of it goes by a grid of its own, so a triplet is down up down, and the next beat is down again. In compound meter
 * each beat has its own grid: down up down in eighths, strict alternation in sixteenths.
 * Common practice, no source; the triplet is our decision (an even hand with the beat kept down).
 *
 * @param struckTicks onsets of all struck notes
 */
export function beatStrokes(
  meter: Meter,
  barTick: Ticks,
  struckTicks: readonly Ticks[],
): (tick: Ticks) => 'down' | 'up' {
  const beat = handBeat(meter);
  const bar = barTicks(meter);
  const place = (tick: Ticks) => {
    const inBar = (((tick - barTick) % bar) + bar) % bar;
    const offset = inBar % beat.ticks;
    return { start: tick - offset, offset };
  };
  const beats = new Map<Ticks, Ticks[]>();
  for (const tick of struckTicks) {
    const { start, offset } = place(tick);
    beats.set(start, [...(beats.get(start) ?? []), offset]);
  }
  const thirds: HandBeat = { ticks: beat.ticks, parts: 3 };
  const ownGrid = new Map<Ticks, Ticks>();
  let shared = 0;
  for (const [start, offsets] of beats) {
    const even = halvings(beat, offsets);
    const grid = even === null ? thirds : beat;
    const times = even ?? halvings(thirds, offsets) ?? 4;
    if (even !== null && beat.parts === 2) shared = Math.max(shared, times);
    else ownGrid.set(start, grid.ticks / (grid.parts * 2 ** times));
  }
  const sharedStep = beat.ticks / (beat.parts * 2 ** shared);
  return (tick) => {
    const { start, offset } = place(tick);
    const step = ownGrid.get(start) ?? (beat.parts === 2 ? sharedStep : beat.ticks / beat.parts);
    return Math.round(offset / step) % 2 === 0 ? 'down' : 'up';
  };
}

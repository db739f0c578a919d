/** A note of an offer, as it is given out. */
export interface Note {
  readonly tick: number;
  readonly ticks: number;
  readonly midi: number;
  readonly string: number;
  readonly fret: number;
  readonly finger: number;
  readonly articulation: string;
  readonly stroke: string | null;
  readonly strokeRule: string | null;
  readonly exception: boolean;
}

export interface Bar {
  readonly startTick: number;
  readonly endTick: number;
  readonly count: number;
  readonly unit: number;
  readonly pickup: boolean;
}

/** An offer with all that it has to answer to, as plain values. */
export interface Case {
  readonly instrument: string;
  readonly tuning: string;
  readonly capo: number;
  readonly fifthCapo: number | null;
  readonly rule: 'toward' | 'alternate';
  readonly spanMillimetres: number;
  readonly eighthsPerMinute: number;
  readonly quartersPerMinute: number;
  readonly family: string;
  readonly notes: readonly Note[];
  readonly startTick: number;
  readonly endTick: number;
  readonly guardTicks: number;
  readonly bars: readonly Bar[];
  readonly chords: readonly {
    readonly symbol: string;
    readonly startTick: number;
    readonly endTick: number;
  }[];
}

/** What the right hand does not strike. */
export const UNSTRUCK = new Set(['hammer', 'pull', 'slide', 'slurred']);

/** The beat of a bar in ticks: dotted in compound meters. */
export function beatOf(bar: Bar): number {
  const unit = 3840 / bar.unit;
  return bar.count > 3 && bar.count % 3 === 0 && bar.unit >= 4 ? 3 * unit : unit;
}

/** Ticks from the barline that a bar's beats count from. */
export function intoBar(bar: Bar, tick: number): number {
  return bar.pickup ? tick - (bar.endTick - (bar.count * 3840) / bar.unit) : tick - bar.startTick;
}

export function barAt(given: Pick<Case, 'bars'>, tick: number): Bar {
  const bar = given.bars.find((each) => each.endTick > tick) ?? given.bars.at(-1);
  if (!bar) throw new Error('no bars');
  return bar;
}

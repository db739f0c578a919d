import { ok, type Result } from '../../lib/base';
import type { SongEdits } from '../../lib/document';
import { type Arrangement, arrange, passName } from '../../lib/parts';
import type { Bar, Pass, Song } from '../../lib/song';
import {
  type Clock,
  eventsOf,
  FREE_MODEL,
  follow,
  type LaidLine,
  type LaidStanza,
  layTapped,
  outsideOf,
  planSung,
  type StressOf,
  type SungChange,
  sheetOf,
  snapTaps,
  snapWithoutTempo,
  TAP_MODEL,
  type Tap,
  type TapEvent,
  type TapReading,
  type TapSheet,
  withSung,
} from '../../lib/taps';
import { barTicks, TICKS_PER_QUARTER } from '../../lib/time';
import { newId } from '../hooks/newId';
import type { Run } from './run';

export type TapBy = 'lines' | 'syllables';
/** What of the beat is heard and seen: all along, before the first line alone, nothing (and the tempo is found from the taps). */
export type BeatUse = 'all along' | 'count-in' | 'none';

/** A pass that can be tapped: each section and stanza once. */
export interface Tappable {
  readonly pass: Pass;
  readonly name: string;
}

export function tappablesOf(song: Song): readonly Tappable[] {
  const seen = new Set<string>();
  return song.passes.flatMap((pass) => {
    const key = `${pass.sectionId} ${pass.stanza}`;
    if (pass.stanza === null || seen.has(key)) return [];
    seen.add(key);
    return [{ pass, name: passName(song, pass) }];
  });
}

/** The lines as the taps of a run have them; lines before its first are as they were. */
export function readTaps(
  sheet: TapSheet,
  before: readonly LaidLine[],
  run: Run,
  taps: readonly Tap[],
  options: {
    readonly by: TapBy;
    readonly beat: BeatUse;
    readonly swing: number;
    /** True while it is still sung: a quick reading, of a heard beat. */
    readonly isLive: boolean;
    /** True where the singer has come to the end. */
    readonly isOver: boolean;
    readonly others: ReadonlySet<number>;
  },
): Result<{ readonly lines: readonly LaidLine[]; readonly reading: TapReading }> {
  const { by, beat, swing, isLive, isOver, others } = options;
  const all = eventsOf(sheet, by);
  const skipped =
    by === 'lines'
      ? run.fromLine
      : sheet.lines.slice(0, run.fromLine).reduce((sum, { syllables }) => sum + syllables.length, 0);
  const input = { taps, events: all.slice(skipped), bars: sheet.room, swing, isOver };
  const clock = beat === 'none' ? clockFromFirst(run.clock, taps, input.events) : run.clock;
  const read =
    beat === 'none' && !isLive
      ? snapWithoutTempo(input)
      : ok(snapTaps({ ...input, clock }, beat === 'all along' || isLive ? TAP_MODEL : FREE_MODEL));
  if (!read.ok) return read;
  const reading = {
    ...read.value,
    snapped: read.value.snapped.map((tap) => ({ ...tap, event: tap.event + skipped })),
    missed: read.value.missed.map((event) => event + skipped),
  };
  const laid = layTapped(sheet, reading, by, others);
  return ok({ reading, lines: laid.map((line, i) => (i < run.fromLine ? (before[i] ?? line) : line)) });
}

/** Until the tempo is found, the first tap is taken as the first event where it is written. */
function clockFromFirst(clock: Clock, taps: readonly Tap[], events: readonly TapEvent[]): Clock {
  const tick = events[0]?.writtenTick ?? 0;
  const seconds = (tick / TICKS_PER_QUARTER) * (60 / clock.quartersPerMinute);
  return { ...clock, zeroSeconds: (taps[0]?.downSeconds ?? 0) - seconds };
}

/** Onsets of the stanzas before one: a later stanza leans on them. */
export function onsetsBefore(song: Song, sheet: TapSheet): ReadonlySet<number> {
  const onsets = new Set<number>();
  for (let stanza = 1; stanza < sheet.stanza; stanza++) {
    const other = sheetOf(song, { ...sheet.pass, stanza }, (line) => line.map(() => 1));
    for (const line of other?.lines ?? []) for (const { tick } of line.syllables) onsets.add(tick);
  }
  return onsets;
}

/** Stanzas of the same section that could follow the tapped one's lines. */
export const followersOf = (song: Song, { pass }: TapSheet): readonly Pass[] =>
  tappablesOf(song)
    .map((one) => one.pass)
    .filter((other) => other.sectionId === pass.sectionId && other.stanza !== pass.stanza);

export function changeOf(
  song: Song,
  sheet: TapSheet,
  lines: readonly LaidLine[],
  followers: readonly Pass[],
  stressOf: StressOf,
): SungChange {
  const others = followers.flatMap((pass): LaidStanza[] => {
    const own = sheetOf(song, pass, stressOf);
    return own ? [{ sheet: own, lines: follow(own, lines) }] : [];
  });
  return planSung(song, [{ sheet, lines }, ...others], newId);
}

/** The one pass as it would stand on the board. */
export function arrangedGuess(song: Song, sheet: TapSheet, lines: readonly LaidLine[]): Arrangement {
  const changed = withSung(song, planSung(song, [{ sheet, lines }], newId));
  return arrange({ ...changed, passes: [sheet.pass], settled: [] });
}

/** Whether a line that reaches outside, left where it was, would be sung at the same time as another. */
export function staysInTheWay(sheet: TapSheet, lines: readonly LaidLine[]): boolean {
  const outside = new Set(outsideOf(sheet, lines));
  const spans = lines.map(({ syllables }, n) => {
    const ticks = ((outside.has(n) ? sheet.lines[n]?.syllables : null) ?? syllables).map(({ tick }) => tick);
    return { from: Math.min(...ticks), to: Math.max(...ticks) };
  });
  return [...outside].some((n) =>
    spans.some((other, i) => {
      const own = spans[n];
      return own !== undefined && i !== n && own.from <= other.to && other.from <= own.to;
    }),
  );
}

type NewBars = Parameters<SongEdits['insertBars']>[1];

/** A bar like each one after it: every chord lasts twice as long. */
export function doubled(song: Song, { pass }: TapSheet): NewBars {
  const bars = song.sections.find(({ id }) => id === pass.sectionId)?.bars ?? [];
  return bars.flatMap((bar) => (bar.pickup ? [] : [{ afterBarId: bar.id, bar: likeIt(bar) }]));
}

/** As many bars after the last one as the lines need. */
export function atTheEnd(song: Song, { pass, endTick }: TapSheet, lines: readonly LaidLine[]): NewBars {
  const last = song.sections.find(({ id }) => id === pass.sectionId)?.bars.at(-1);
  const needed = Math.max(
    0,
    ...lines.flatMap(({ syllables }) => syllables.map(({ tick, ticks }) => tick + ticks)),
  );
  if (!last || needed <= endTick) return [];
  const count = Math.ceil((needed - endTick) / barTicks(last.meter));
  return Array.from({ length: count }, () => ({ afterBarId: last.id, bar: likeIt(last) }));
}

const likeIt = ({ meter, endings }: Bar): Omit<Bar, 'id'> => ({
  meter,
  ticks: barTicks(meter),
  pickup: false,
  endings,
  key: null,
  tempo: null,
});

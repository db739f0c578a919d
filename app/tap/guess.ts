import { ok, type Result } from '../../lib/base';
import { type Arrangement, arrange, passName } from '../../lib/parts';
import type { Pass, Song } from '../../lib/song';
import {
  type Clock,
  chordsWith,
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
  takenLines,
  withSung,
} from '../../lib/taps';
import { TICKS_PER_QUARTER } from '../../lib/time';
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

/**
 * Whether the last line's time has come: who stops before has not missed it. Where lengths are guessed, it comes by the pace of the taps, each
 * taken for the next line or syllable.
 */
export function isOver(song: Song, sheet: TapSheet, run: Run, by: TapBy, taps: readonly Tap[]): boolean {
  const second = (run.clock.quartersPerMinute / 60) * TICKS_PER_QUARTER;
  const now = (performance.now() / 1000 - run.clock.zeroSeconds) * second;
  const written = sheet.lines
    .slice(run.fromLine)
    .flatMap(({ syllables }) => (by === 'lines' ? syllables.slice(0, 1) : syllables))
    .map(({ tick }) => tick);
  const last = sheet.lines.at(-1)?.syllables[0]?.tick ?? 0;
  if (!areChordsGuessed(song, sheet)) return now > last + TICKS_PER_QUARTER;
  const [first, latest] = [written[0] ?? 0, written[taps.length - 1] ?? 0];
  const at = (tap: Tap | undefined) => ((tap?.downSeconds ?? 0) - run.clock.zeroSeconds) * second;
  const pace = latest > first ? (at(taps.at(-1)) - at(taps[0])) / (latest - first) : 1;
  return now > at(taps[0]) + (last - first) * pace + TICKS_PER_QUARTER;
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

/** Whether the chords under a pass still stand on guessed bars. */
export const areChordsGuessed = (song: Song, { pass }: TapSheet): boolean =>
  song.sections.find(({ id }) => id === pass.sectionId)?.chordsGuessed ?? false;

/** @param withChords whether the chords go where their words are sung */
export function changeOf(
  song: Song,
  sheet: TapSheet,
  lines: readonly LaidLine[],
  followers: readonly Pass[],
  withChords: boolean,
  stressOf: StressOf,
): SungChange {
  const others = followers.flatMap((pass): LaidStanza[] => {
    const own = sheetOf(song, pass, stressOf);
    return own ? [{ sheet: own, lines: follow(own, lines) }] : [];
  });
  const change = planSung(song, [{ sheet, lines }, ...others], newId);
  return withChords ? { ...change, chords: chordsWith(song, sheet, lines) } : change;
}

const noStress: StressOf = () => [];

/** The one pass as it would stand on the board. */
export function arrangedGuess(
  song: Song,
  sheet: TapSheet,
  lines: readonly LaidLine[],
  withChords: boolean,
): Arrangement {
  const changed = withSung(song, changeOf(song, sheet, lines, [], withChords, noStress));
  return arrange({ ...changed, passes: [sheet.pass], settled: [] });
}

/** Lines that reach outside and, left where they were, would be sung at the same time as another. */
export function linesInTheWay(sheet: TapSheet, lines: readonly LaidLine[]): readonly number[] {
  const spans = takenLines(sheet, lines).map((syllables) => {
    const ticks = syllables.map(({ tick }) => tick);
    return { from: Math.min(...ticks), to: Math.max(...ticks) };
  });
  return outsideOf(sheet, lines).filter((n) =>
    spans.some((other, i) => {
      const own = spans[n];
      return own !== undefined && i !== n && own.from <= other.to && other.from <= own.to;
    }),
  );
}

export const staysInTheWay = (sheet: TapSheet, lines: readonly LaidLine[]): boolean =>
  linesInTheWay(sheet, lines).length > 0;

/** The lines as they can be shown: those that are in the way have no place yet. */
export function shownLines(sheet: TapSheet, lines: readonly LaidLine[]): readonly LaidLine[] {
  const inTheWay = new Set(linesInTheWay(sheet, lines));
  return inTheWay.size === 0
    ? lines
    : lines.map((line, n) => (inTheWay.has(n) ? { ...line, syllables: [] } : line));
}

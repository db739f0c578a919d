import { itemAt } from '../base';
import { type Pass, roadmapTimeline, type Song, type Syllable } from '../song';
import { barTicks, type Ticks } from '../time';
import type { TapBar, TapEvent } from './types';

/** A syllable of the words that are tapped, where the song has it so far. */
export interface SheetSyllable extends Syllable {
  readonly stress: 0 | 1 | 2;
  readonly noteId: string;
  /** From the pass's start. */
  readonly tick: Ticks;
  readonly ticks: Ticks;
}

/** One line of words. */
export interface SheetLine {
  readonly syllables: readonly SheetSyllable[];
}

/** What one pass gives to tap: its lines, and the bars under them. Ticks count from the pass's start. */
export interface TapSheet {
  readonly pass: Pass;
  /** From 1. */
  readonly stanza: number;
  readonly voiceId: string;
  readonly lines: readonly SheetLine[];
  readonly bars: readonly TapBar[];
  /** The bars with one before them and as many again (two at least) after them, for taps that come before or after. */
  readonly room: readonly TapBar[];
  readonly chords: readonly Ticks[];
  readonly endTick: Ticks;
}

/** Of each syllable of a line, how much weight it has; as many as the line has. */
export type StressOf = (line: readonly Syllable[]) => readonly (0 | 1 | 2)[];

/**
 * The sheet of a pass, or null where it has no bars or no words. Lines end where they were written to end; words that were never written in
 * lines are cut at rests of a beat and more.
 *
 * @param voiceId whose words; left out: those of the first voice that has some
 */
export function sheetOf(song: Song, pass: Pass, stressOf: StressOf, voiceId?: string): TapSheet | null {
  const alone = roadmapTimeline({ ...song, passes: [pass] });
  const voice = song.voices.find(
    ({ id }) => (voiceId ?? id) === id && alone.notes.get(id)?.some(({ syllable }) => syllable),
  );
  if (!voice || pass.stanza === null || alone.bars.length === 0) return null;
  const bars = alone.bars.map(
    ({ bar, startTick, endTick }): TapBar => ({
      id: bar.id,
      startTick,
      endTick,
      meter: bar.meter,
      pickup: bar.pickup,
    }),
  );
  const sung = (alone.notes.get(voice.id) ?? []).map(({ note, startTick, endTick, syllable }) => ({
    noteId: note.id,
    tick: startTick,
    endTick,
    syllable,
  }));
  const written = sung.some(({ syllable }) => syllable?.endsLine);
  const lines: {
    readonly noteId: string;
    readonly tick: Ticks;
    readonly ticks: Ticks;
    readonly syllable: Syllable;
  }[][] = [[]];
  let silentFrom = 0;
  for (const { noteId, tick, endTick, syllable } of sung) {
    const line = itemAt(lines, lines.length - 1);
    const last = line[line.length - 1];
    if (!syllable) {
      // A note without a word of its own goes on with the one before.
      if (last && silentFrom === tick) line[line.length - 1] = { ...last, ticks: endTick - last.tick };
      silentFrom = endTick;
      continue;
    }
    const ends = written ? last?.syllable.endsLine : last && tick - silentFrom >= 960;
    const own = { noteId, tick, ticks: endTick - tick, syllable };
    if (ends) lines.push([own]);
    else line.push(own);
    silentFrom = endTick;
  }
  return {
    pass,
    stanza: pass.stanza,
    voiceId: voice.id,
    lines: lines.map((line) => {
      const stresses = stressOf(line.map(({ syllable }) => syllable));
      return {
        syllables: line.map(({ syllable, noteId, tick, ticks }, i) => ({
          ...syllable,
          endsLine: i === line.length - 1,
          stress: stresses[i] ?? 1,
          noteId,
          tick,
          ticks,
        })),
      };
    }),
    bars,
    room: roomRound(bars),
    chords: alone.chords.map(({ startTick }) => startTick),
    endTick: alone.endTick,
  };
}

function roomRound(bars: readonly TapBar[]): readonly TapBar[] {
  const first = itemAt(bars, 0);
  const last = itemAt(bars, bars.length - 1);
  const full = barTicks(last.meter);
  // Before a pickup, the rest of its bar; before a bar, a whole one.
  const before = first.pickup
    ? barTicks(first.meter) - (first.endTick - first.startTick)
    : barTicks(first.meter);
  const rest: TapBar[] = first.pickup
    ? bars.map((bar, i) => (i === 0 ? { ...bar, startTick: bar.startTick - before, pickup: false } : bar))
    : [{ id: '', startTick: -before, endTick: 0, meter: first.meter, pickup: false }, ...bars];
  const after = Array.from({ length: Math.max(2, bars.length + 2) }, (_, i) => ({
    id: '',
    startTick: last.endTick + i * full,
    endTick: last.endTick + (i + 1) * full,
    meter: last.meter,
    pickup: false,
  }));
  return [...rest, ...after];
}

/** What there is to tap: the first syllable of each line, or every syllable. */
export function eventsOf(sheet: TapSheet, by: 'lines' | 'syllables'): readonly TapEvent[] {
  return sheet.lines.flatMap(({ syllables }) =>
    (by === 'lines' ? syllables.slice(0, 1) : syllables).map(
      ({ stress, tick }, i): TapEvent => ({
        stress,
        writtenTick: by === 'lines' || i === 0 ? tick : null,
        startsLine: i === 0,
      }),
    ),
  );
}

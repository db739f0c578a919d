import type { FillNote, Timeline } from '../../../lib/song';
import { beatOf, beatsSaid, beatTicks } from '../../../lib/time';

/** Where the next key or touch acts: a time on a string (0 for a voice, which has none). */
export interface Cursor {
  readonly tick: number;
  readonly string: number;
}

/** The grid on which notes are put: eighths. Notes that stand elsewhere are places too. */
export const STEP = 480;

/** The times that the cursor goes through, in order: each eighth from the stretch's start on, and each note. */
export function timesOf(notes: readonly FillNote[], startTick: number, endTick: number): readonly number[] {
  const times = new Set(notes.map((note) => note.tick));
  for (let tick = startTick; tick < endTick; tick += STEP) times.add(tick);
  return [...times].sort((a, b) => a - b);
}

/** The note under the cursor, as its place in the list; -1: none. */
export const noteAt = (notes: readonly FillNote[], { tick, string }: Cursor): number =>
  notes.findIndex((note) => note.tick === tick && note.string === string);

/** 'bar 4, beat 3 and a half'. */
export function timeInWords(timeline: Timeline, tick: number): string {
  const { bar, startTick, endTick, number } = timeline.barAt(tick);
  const beat = beatTicks(bar.meter);
  const origin = bar.pickup ? endTick - Math.ceil(bar.ticks / beat) * beat : startTick;
  return `bar ${number}, beat ${beatsSaid(beatOf(bar.meter, tick - origin))}`;
}

const HOW: Readonly<Partial<Record<FillNote['articulation'], string>>> = {
  hammer: 'hammered on',
  pull: 'pulled off',
  slide: 'slid into',
  slurred: 'slurred',
  choke: 'choked',
  tremolo: 'tremolo',
  pinch: 'pinched',
};

/** A note as it is read out: 'fret 2, hammered on'. */
export function noteInWords(note: FillNote | undefined, pitchName: (midi: number) => string): string {
  if (!note) return 'nothing';
  const where = note.string === 0 ? pitchName(note.midi) : note.fret === 0 ? 'open' : `fret ${note.fret}`;
  const how = HOW[note.articulation];
  return `${where}${note.word === undefined ? '' : `, “${note.word}”`}${how ? `, ${how}` : ''}`;
}

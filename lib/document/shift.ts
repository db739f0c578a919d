import type * as Y from 'yjs';
import { z } from 'zod';
import type { Bar, ChordMark, SungNote, Voice } from '../song';
import { type Key, transposeChord, transposeKey } from '../theory';
import { type Fields, mapOf } from './layout';
import { shareFields } from './shelf';

/**
 * A song is transposed by one number, its shift: by how many semitones it stands above how it was first written. Each key, chord and
 * sung note is stored as somebody wrote it, with the shift under which they wrote it, and is read moved by the difference.
 * So a transposition is one small write, and whatever others write at the same time (a note put in, a chord changed, on a train with no
 * signal) is moved with the rest, whichever comes first; what is taken back is exactly as it was written, spelling and all.
 */
export interface Written<T> {
  readonly value: T;
  /** The song's shift when it was written. */
  readonly shift: number;
}

/** Semitones, either way: five octaves. */
export const FURTHEST_SHIFT = 60;
const shiftSchema = z.int().min(-FURTHEST_SHIFT).max(FURTHEST_SHIFT);

/** A stored shift; 0 where none is stored, null where it cannot be read. */
export const readShift = (raw: unknown): number | null =>
  raw === undefined ? 0 : (shiftSchema.safeParse(raw).data ?? null);

/** The shift under which a song stands now. */
export const shiftOf = (doc: Y.Doc): number => readShift(mapOf(doc, 'meta').get('shift')) ?? 0;

/** A value to be stored, with the shift under which it was written; left out where it is 0. */
export const withShift = (fields: object, shift: number): Fields =>
  shift === 0 ? { ...fields } : { ...fields, shift };

/** A note as it reads under a shift. A pitch that would leave the range of MIDI is read in the nearest octave inside it. */
export function noteNow({ value, shift }: Written<SungNote>, now: number): SungNote {
  if (shift === now || value.midi === null) return value;
  return { ...value, midi: pitchNow(value.midi + now - shift) };
}

function pitchNow(moved: number): number {
  let midi = moved;
  while (midi > 127) midi -= 12;
  while (midi < 0) midi += 12;
  return midi;
}

/** A voice as it reads under a shift, by its range. One that would leave the range of MIDI is read in the nearest octave inside it. */
export function voiceNow(voice: Voice, rangeShift: number, now: number, before: Voice | undefined): Voice {
  if (voice.range === null || rangeShift === now) return voice;
  const [a, b] = [voice.range.low, voice.range.high].map((midi) => pitchNow(midi + now - rangeShift));
  const range = { low: Math.min(a ?? 0, b ?? 0), high: Math.max(a ?? 0, b ?? 0) };
  return shareFields(before, { ...voice, range: shareFields(before?.range ?? undefined, range) });
}

/** A chord as it reads under a shift, spelled for the song's key; one that nobody can read stays as it is. */
export function chordNow({ value, shift }: Written<ChordMark>, now: number, key: Key): ChordMark {
  return shift === now ? value : { ...value, symbol: transposeChord(value.symbol, now - shift, key) };
}

export function keyNow({ value, shift }: Written<Key>, now: number): Key {
  return shift === now ? value : transposeKey(value, now - shift);
}

/** A bar as it reads under a shift, by its key. */
export function barNow(bar: Bar, keyShift: number, now: number, before: Bar | undefined): Bar {
  if (bar.key === null || keyShift === now) return bar;
  const key = shareFields(before?.key ?? undefined, keyNow({ value: bar.key, shift: keyShift }, now));
  return shareFields(before, { ...bar, key });
}

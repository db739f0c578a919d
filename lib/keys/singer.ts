import { fail, ok, type Reason, type Result } from '../base';
import type { Song } from '../song';
import { type Key, keySignature, midiOf, pitchName, transposeKey } from '../theory';
import { VOICE_COSTS } from './costs';
import type { Extent, KeyForSinger } from './types';

/** The widest range that a voice can have, and a tune: more is a mistake in writing. Semitones. */
const WIDEST = 48;

/**
 * The lowest and highest note that a voice sings in a song as written, all sections; null where no tune is written (words and chords
 * alone): then the singer's own word will do.
 *
 * @param voiceId left out: the lead's, or the top voice's where none is said to lead
 */
export function tuneExtent(song: Song, voiceId?: string): Extent | null {
  const voice = voiceId ?? (song.voices.find(({ part }) => part === 'lead') ?? song.voices[0])?.id;
  const midis = song.notes.flatMap((note) =>
    note.voiceId === voice && note.midi !== null ? [note.midi] : [],
  );
  if (midis.length === 0) return null;
  return {
    lowest: midis.reduce((a, b) => Math.min(a, b)),
    highest: midis.reduce((a, b) => Math.max(a, b)),
  };
}

/** Reads a singer's own word: `G3 to D5`. Errors: no such notes, or the low one above the high one. */
export function readExtent(lowest: string, highest: string): Result<Extent> {
  const [low, high] = [midiOf(lowest.trim()), midiOf(highest.trim())];
  if (low === null || high === null) {
    const where = low === null ? lowest : highest;
    return fail(
      'this is no note',
      where === '' ? 'the range' : `'${where}' in the range`,
      'write notes like G3, Bb3 or D5',
    );
  }
  return checkedExtent({ lowest: low, highest: high }, `${lowest} to ${highest}`);
}

function checkedExtent(extent: Extent, where: string): Result<Extent> {
  const { lowest, highest } = extent;
  if (![lowest, highest].every((midi) => Number.isInteger(midi) && midi >= 0 && midi <= 127))
    return fail('the lowest or the highest note is none', where, 'give two notes, such as G3 and D5');
  if (lowest > highest)
    return fail('the lowest note lies above the highest', where, 'give the low one first');
  if (highest - lowest > WIDEST)
    return fail('no voice reaches so far', where, 'check the octaves of the two notes');
  return ok(extent);
}

/**
 * The keys for a singer, the best first: those in which the whole tune lies inside the range; where none does, the nearest ones, marked.
 *
 * Model: all twelve keys, each in the octave that costs least. A key costs what the tune's middle lies off the voice's, how far the tune goes
 * into the range's ends, and semitones outside (`VOICE_COSTS`, points). Exact: all are tried.
 *
 * @param tune in the present key: from `tuneExtent`, or the singer's own word where no tune is written
 * @param range the singer's; null: not said
 *
 * Errors: no range, no tune.
 */
export function keysForSinger(
  key: Key,
  tune: Extent | null,
  range: Extent | null,
): Result<readonly KeyForSinger[]> {
  if (range === null) {
    const mend = 'ask the singer for the lowest and the highest note that are comfortable, such as G3 and D5';
    return fail("the singer's range is not said", 'the singer', mend);
  }
  if (tune === null) {
    const mend = 'ask the singer how low and how high the song goes in this key, or write the tune';
    return fail('no tune is written', 'the song', mend);
  }
  const checkedRange = checkedExtent(range, "the singer's range");
  if (!checkedRange.ok) return checkedRange;
  const checkedTune = checkedExtent(tune, 'the tune');
  if (!checkedTune.ok) return checkedTune;
  const all = Array.from({ length: 12 }, (_, up) => {
    const moves = [up - 36, up - 24, up - 12, up, up + 12, up + 24].filter(
      (by) => tune.lowest + by >= 0 && tune.highest + by <= 127,
    );
    return moves
      .map((semitones) => keyFor(key, semitones, tune, range))
      .reduce((best, each) => (better(each, best) < 0 ? each : best));
  }).sort(better);
  const fitting = all.filter(({ fits }) => fits);
  return ok(fitting.length > 0 ? fitting : all);
}

/** On a tie the key nearer to the present one, then the one with fewer accidentals. */
function better(a: KeyForSinger, b: KeyForSinger): number {
  return (
    a.cost - b.cost ||
    Math.abs(a.semitones) - Math.abs(b.semitones) ||
    Math.abs(keySignature(a.key)) - Math.abs(keySignature(b.key))
  );
}

function keyFor(from: Key, semitones: number, tune: Extent, range: Extent): KeyForSinger {
  const extent = { lowest: tune.lowest + semitones, highest: tune.highest + semitones };
  const { offMiddle, nearTop, nearBottom, edge, outside } = VOICE_COSTS;
  const middle = (extent.lowest + extent.highest - range.lowest - range.highest) / 2;
  const beyond = Math.max(0, extent.highest - range.highest) + Math.max(0, range.lowest - extent.lowest);
  const top = Math.min(edge, Math.max(0, extent.highest - (range.highest - edge)));
  const bottom = Math.min(edge, Math.max(0, range.lowest + edge - extent.lowest));
  const rows: [string, number, string][] = [
    ['middle', Math.abs(middle) * offMiddle, middle > 0 ? 'lies high in the voice' : 'lies low in the voice'],
    ['top', top * nearTop, `${pitchName(extent.highest)} is near the top`],
    ['bottom', bottom * nearBottom, `${pitchName(extent.lowest)} is near the bottom`],
    ['outside', beyond * outside, `${beyond} semitones out of range`],
  ];
  const reasons = rows
    .map(([rule, weight, detail]): Reason => ({ rule, weight, detail }))
    .filter(({ weight }) => weight > 0);
  return {
    key: transposeKey(from, semitones),
    semitones,
    extent,
    fits: beyond === 0,
    cost: reasons.reduce((sum, { weight }) => sum + weight, 0),
    reasons,
  };
}

import type { MidiFile, MidiVoice } from './midi-parse';
import { type MidiWords, shareOnNotes } from './midi-words';

/** A voice that could be the melody, with what speaks for it. */
export interface Candidate {
  readonly voice: MidiVoice;
  /** What people call it: `track 2, "Voice"`. */
  readonly called: string;
  readonly points: number;
  readonly why: string;
}

/**
 * The voices of a file that could be sung, as the file has them, each with points: the words fall on its notes (100 for all of them, 20 more where they stand in its own track); its
 * name says melody or voice (40); it is singable (up to 30: one note at a time, within a singer's range, notes that move by
 * step, neither few nor very many). Drums (channel 10) are none. Common practice, no source.
 */
export function candidatesOf(file: MidiFile, { syllables, track }: MidiWords): readonly Candidate[] {
  const near = file.ticksPerQuarter / 8;
  return file.voices
    .filter(({ channel, notes }) => channel !== 10 && notes.length > 0)
    .map((voice): Candidate => {
      const share = shareOnNotes(
        syllables,
        voice.notes.map(({ from }) => from),
        near,
      );
      const words = share >= 0.5 ? 100 * share + (voice.track === track ? 20 : 0) : 0;
      const named = MELODY.test(voice.name ?? '') ? 40 : OTHER.test(voice.name ?? '') ? -20 : 0;
      const fit = singable(voice, file.ticksPerQuarter);
      const channels = file.voices.filter(({ track }) => track === voice.track).length > 1;
      const called = `track ${voice.track}${channels ? `, channel ${voice.channel}` : ''}${voice.name ? `, "${voice.name}"` : ''}`;
      const why =
        words > 0
          ? 'the words fall on its notes'
          : named > 0
            ? 'its name says so'
            : 'it is the most singable';
      return { voice, called, points: words + named + fit, why };
    });
}

const MELODY = /\b(?:melod\w*|vocals?|voices?|vox|lead|sing\w*|sopran\w*|tune|cantus)\b/i;
const OTHER =
  /\b(?:bass|drums?|percussion|piano|guitars?|strings|pad|chords?|accomp\w*|organ|left hand|backing)\b/i;

function singable({ notes }: MidiVoice, ticksPerQuarter: number): number {
  let together = 0;
  let steps = 0;
  let inRange = 0;
  for (let i = 0; i < notes.length; i++) {
    const note = notes[i];
    const next = notes[i + 1];
    if (!note) continue;
    if (note.pitch >= 45 && note.pitch <= 81) inRange += 1;
    if (!next) continue;
    if (next.from < note.to - ticksPerQuarter / 4 || next.from === note.from) together += 1;
    if (Math.abs(next.pitch - note.pitch) <= 4) steps += 1;
  }
  const pairs = Math.max(1, notes.length - 1);
  const enough = Math.min(1, notes.length / 24);
  return 30 * enough * (1 - together / pairs) * (inRange / notes.length) * (0.4 + (0.6 * steps) / pairs);
}

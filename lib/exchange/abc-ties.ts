import { lastOf } from '../base';
import type { RawNote, VoiceBar } from './abc-types';

/** Joins tied notes of one pitch, within bars and across them; a tie to another pitch joins nothing. */
export function joinTies(bars: readonly VoiceBar[], onTwoSyllables: (note: RawNote) => void): RawNote[] {
  const joined: RawNote[] = [];
  let endTick = 0;
  let tick = 0;
  for (const bar of bars) {
    for (const note of bar.notes) {
      const before = joined.length > 0 ? lastOf(joined) : null;
      if (before?.tied && before.midi === note.midi && endTick === tick + note.offset) {
        before.ticks += note.ticks;
        before.fermata ||= note.fermata;
        before.breath = note.breath;
        joinSyllables(before, note, onTwoSyllables);
        before.tied = note.tied;
      } else {
        joined.push(note);
      }
      endTick = tick + note.offset + note.ticks;
    }
    tick += bar.ticks;
  }
  return joined;
}

/** A syllable under the second of two tied notes has no onset of its own: it is sung on the first, after the first one. */
function joinSyllables(note: RawNote, next: RawNote, onTwo: (note: RawNote) => void): void {
  next.syllables.forEach((syllable, stanza) => {
    while (note.syllables.length <= stanza) note.syllables.push(null);
    const first = note.syllables[stanza] ?? null;
    if (!syllable) return;
    if (first) onTwo(next);
    note.syllables[stanza] = first
      ? { ...syllable, text: `${first.text}${first.joins ? '' : ' '}${syllable.text}`.slice(0, 200) }
      : syllable;
  });
}

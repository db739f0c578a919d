import type { Ticks } from '../time';
import type { RawNote } from './abc-types';
import type { Findings } from './report';

/**
 * When a slur says that what is under it is one phrase. Common practice, no source: in sung music a slur over the notes of one syllable says that they are its
 * notes; over a line of words it can say nothing but that they are sung in one breath. Where there are no words, short slurs are the bow's or the tongue's.
 */
const PHRASE = {
  /** So many syllables begin under it. */
  syllables: 4,
  /** Without words: so many notes, over a bar at least. */
  notes: 5,
} as const;

interface Open {
  syllables: number;
  notes: number;
  ticks: Ticks;
}

/**
 * Marks the ends of a voice's phrase slurs as ends of phrases (`breath`); slurs over a syllable's notes are left alone, its words say as much. To be called once
 * the words are under their notes.
 *
 * @param bars the notes of one voice bar by bar, each with the length of its bar
 */
export function readPhraseSlurs(
  bars: readonly { readonly ticks: Ticks; readonly notes: readonly RawNote[] }[],
  findings: Findings,
): void {
  const open = new Map<string, Open>();
  let isTied = false;
  for (const { ticks: bar, notes } of bars) {
    for (const note of notes) {
      for (const label of note.slurs?.starts ?? [])
        if (!note.slurs?.ends.includes(label)) open.set(label, { syllables: 0, notes: 0, ticks: 0 });
      for (const slur of open.values()) {
        if (note.syllables.some((syllable) => syllable)) slur.syllables += 1;
        if (!isTied) slur.notes += 1;
        slur.ticks += note.ticks;
      }
      isTied = note.tied;
      for (const label of note.slurs?.ends ?? []) {
        const slur = open.get(label);
        open.delete(label);
        const isPhrase =
          slur &&
          (slur.syllables > 0
            ? slur.syllables >= PHRASE.syllables
            : slur.notes >= PHRASE.notes && slur.ticks >= bar);
        if (isPhrase) {
          note.breath = true;
          findings.guessed(
            'a slur over a whole line of words (or, without words, over a bar and more) was read as one phrase: its end is kept as the end of a phrase, the slur itself is not',
          );
        }
        // One slur ends where the next begins.
        if (note.slurs?.starts.includes(label))
          open.set(label, {
            syllables: note.syllables.some((syllable) => syllable) ? 1 : 0,
            notes: 1,
            ticks: note.ticks,
          });
      }
    }
  }
}

import { DEFAULT_TEMPO, type Song } from '../song';
import type { Findings } from './report';

/** What a song with a written tune holds, in short, and what it lacks. */
export function reportSong(song: Song, findings: Findings): void {
  const count = (n: number, one: string, many: string) => `${n} ${n === 1 ? one : many}`;
  const bars = song.sections.reduce((sum, section) => sum + section.bars.length, 0);
  const stanzas = Math.max(0, ...song.passes.map((pass) => pass.stanza ?? 0));
  const sung = song.notes.some((note) => note.syllables.length > 0);
  findings.read(count(song.voices.length, 'voice', 'voices'));
  findings.read(count(bars, 'bar', 'bars'));
  findings.read(count(song.notes.length, 'note', 'notes'));
  findings.read(sung ? count(stanzas, 'stanza', 'stanzas') : 'no words');
  findings.read(song.chords.length > 0 ? count(song.chords.length, 'chord', 'chords') : 'no chords');
  if (song.notes.length === 0)
    findings.warn('there is no melody: the bars hold rests only; spaces cannot be told from singing');
  else if (!sung) findings.warn('there are no words; phrases are told from the tune and its rests alone');
  if (song.chords.length === 0)
    findings.warn('there are no chord symbols; add them before asking for offers');
  if (song.tempo === null)
    findings.warn(`no tempo is given; ${DEFAULT_TEMPO} quarter notes a minute are taken until one is`);
}

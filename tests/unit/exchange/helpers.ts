import { makeIds, must, randomFrom } from '../../../lib/base';
import { readAbc, type SongRead } from '../../../lib/exchange';
import { checkSong, type Song, songSchema, writtenTimeline } from '../../../lib/song';

/** Reads ABC that is meant to be read, and checks what must hold of every song. */
export async function read(text: string): Promise<SongRead> {
  const result = await readAbc(text, { makeId: makeIds(randomFrom(7)), title: 'Untitled' });
  if (!result.ok) throw new Error(`${result.error.what} (${result.error.where})`);
  const breaches = checkSong(result.value.song);
  if (breaches.length > 0) throw new Error(breaches.join('; '));
  songSchema.parse(result.value.song);
  return result.value;
}

/** Music of one voice under a plain header: 4/4, eighth notes, C major. */
export const tune = (music: string, header = 'M:4/4\nL:1/8\nK:C'): string =>
  `X:1\nT:Test\n${header}\n${music}\n`;

/** `[midi, start, length]` of the notes of a voice, in ticks from the first bar's start; midi -1 where the tune is not written. */
export function notesOf(song: Song, voice = 0): number[][] {
  const id = must(song.voices[voice], 'the voice').id;
  const placed = writtenTimeline(song).notes.get(id) ?? [];
  return placed.map(({ note, startTick }) => [note.midi ?? -1, startTick, note.ticks]);
}

export const pitches = (song: Song, voice = 0): number[] =>
  notesOf(song, voice).map(([midi]) => must(midi, 'a pitch'));

export const lengths = (song: Song, voice = 0): number[] =>
  notesOf(song, voice).map(([, , ticks]) => must(ticks, 'a length'));

/** Syllables of a stanza by note, `-` after one that joins, `` for a note without one. */
export function words(song: Song, stanza = 1, voice = 0): string[] {
  const id = must(song.voices[voice], 'the voice').id;
  return song.notes
    .filter((note) => note.voiceId === id)
    .map((note) => {
      const syllable = note.syllables[stanza - 1];
      return syllable ? `${syllable.text}${syllable.joins ? '-' : ''}` : '';
    });
}

/** The roadmap as `name stanza ending`. */
export const roadmap = (song: Song): string[] =>
  song.passes.map((pass) => {
    const section = must(
      song.sections.find((each) => each.id === pass.sectionId),
      'the section',
    );
    return `${section.name} ${pass.stanza ?? 'nobody'} ${pass.ending}`;
  });

export const barLengths = (song: Song): number[] =>
  song.sections.flatMap((section) => section.bars.map((bar) => bar.ticks));

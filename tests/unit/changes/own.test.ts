import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { must } from '@/lib/base';
import { changesBetween, withOwn } from '@/lib/changes';
import { newSongDocument, readSong, type SongEdits } from '@/lib/document';
import { type Player, type Song, songSchema } from '@/lib/song';
import { SONG, songEdits } from '../document/sample';

const NOBODY: readonly Player[] = [];
const songOf = (doc: ReturnType<typeof newSongDocument>) => must(readSong(doc).song, 'the song');
type Edit = (edits: SongEdits) => unknown;

/** A song after edits, made by the document itself; each person's ids and times are the same in every run. */
function edited(song: Song, who: number, edits: readonly Edit[]): Song {
  const doc = newSongDocument(song);
  const on = songEdits(doc, who);
  for (const edit of edits) edit(on);
  return songOf(doc);
}

const first = must(SONG.passes[0], 'a pass');
const [noteA, noteB] = SONG.notes;
const chord = must(SONG.chords[0], 'a chord');
const place = { passId: first.id, noteId: null, voiceId: null };

/** What others do, and what one does oneself: nobody touches what another does. */
const OTHERS: readonly Edit[] = [
  (on) => on.setTempo(131),
  (on) => on.setRole(first.id, 'ben', 'lay out'),
  (on) => on.comment(null, 'Louder'),
  (on) => on.setNote(must(noteA, 'a note').id, { breath: !noteA?.breath }),
  (on) => on.propose(place, { from: 0, to: 960 }, { kind: 'left open' }),
  (on) => on.setSetting('bo', { capo: 5 }),
];
const OWN: readonly Edit[] = [
  (on) => on.setTitle('The Mill Above'),
  (on) => on.setRole(first.id, 'ann', 'harmony'),
  (on) => on.comment(null, 'Softer'),
  (on) => on.setNote(must(noteB, 'another note').id, { fermata: !noteB?.fermata }),
  (on) => on.setChord(chord.barId, chord.offset, 'Em'),
  (on) => on.setSetting('ann', { capo: 6 }),
  (on) => on.setVoice(must(SONG.voices[0], 'a voice').id, { name: 'Top' }),
];

describe('what one did oneself', () => {
  it('is no news: all of it, where nobody else did anything, whatever it is', () => {
    for (const edit of [...OWN, ...OTHERS]) {
      const now = edited(SONG, 1, [edit]);
      expect(changesBetween(SONG, now, NOBODY).length, String(edit)).toBeGreaterThan(0);
      expect(changesBetween(withOwn(SONG, SONG, now), now, NOBODY)).toEqual([]);
    }
    expect(withOwn(SONG, SONG, SONG)).toBe(SONG);
  });

  it('is no news beside what others did, and theirs stays news', () => {
    fc.assert(
      fc.property(fc.subarray([...OTHERS]), fc.subarray([...OWN]), (others, own) => {
        const before = edited(SONG, 2, others);
        const now = edited(before, 1, own);
        const seen = withOwn(SONG, before, now);
        expect(songSchema.safeParse(seen).success).toBe(true);
        // By another way: the same edits of one's own, had nobody else done anything.
        expect(seen).toEqual(edited(SONG, 1, own));
        const told = changesBetween(seen, now, NOBODY);
        expect(told.length).toBeGreaterThanOrEqual(others.length);
        expect(told.map(({ rule, sentence }) => `${rule} ${sentence}`).sort()).toEqual(
          changesBetween(edited(SONG, 1, own), now, NOBODY)
            .map(({ rule, sentence }) => `${rule} ${sentence}`)
            .sort(),
        );
      }),
      { numRuns: 60 },
    );
  });

  it('taken out by oneself stays out; what another took out is still told', () => {
    const both = edited(SONG, 2, [(on) => on.comment(null, 'One'), (on) => on.comment(null, 'Two')]);
    const [one, two] = both.comments.slice(-2);
    const without = (song: Song, id: string | undefined): Song => ({
      ...song,
      comments: song.comments.filter((comment) => comment.id !== id),
    });
    const byOther = without(both, one?.id);
    const now = without(byOther, two?.id);
    const told = changesBetween(withOwn(both, byOther, now), now, NOBODY);
    expect(told.map(({ sentence }) => sentence)).toEqual(['Somebody took back: “One”']);
  });
});

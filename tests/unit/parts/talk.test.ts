import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, must } from '@/lib/base';
import { arrange, placeOfLine, placeOfPass, talkOf, unanswered, whereInWords } from '@/lib/parts';
import { type Comment, commentSchema, type Place, type Song } from '@/lib/song';
import { demoBand } from '@/server/demo';

const demo = await demoBand();
const song: Song = { ...itemAt(demo.songs, 0), comments: [] };
const arrangement = arrange(song);
const verse = must(
  arrangement.passes.find(({ passId }) => song.passes.find(({ id }) => id === passId)?.name === 'Verse 1'),
  'verse 1',
);
const passId = must(verse.passId, 'its pass');
const line = itemAt(verse.lines, 1);
const ofLine = must(placeOfLine(line, passId, arrangement.timeline), 'a line with words');
const space = must(
  arrangement.spaces.find(({ place }) => place.passId === passId && place.noteId !== null),
  'a space of it',
);

const comment = (id: string, place: Place | null, by: string | null = 'ann'): Comment => ({
  id,
  place,
  text: id,
  by,
  at: 1,
});
/** What a song's talk comes to, in ids. */
function talk(comments: readonly Comment[], on: Partial<Song> = {}) {
  const { bySpace, byLine, byPass, ofSong } = talkOf(arrange({ ...song, ...on, comments }));
  const ids = (said: readonly Comment[] | undefined) => (said ?? []).map(({ id }) => id);
  const all = (map: ReadonlyMap<string, readonly Comment[]>) =>
    Object.fromEntries([...map].map(([id, said]) => [id, ids(said)]));
  return { space: all(bySpace), line: all(byLine), pass: all(byPass), song: ids(ofSong) };
}

describe('what is said of a song', () => {
  it('is of a space, a line, a pass or the song, each told from the others', () => {
    const said = [
      comment('of it all', null),
      comment('of the pass', placeOfPass(passId)),
      comment('of the line', ofLine),
      comment('of the space', space.place),
    ];
    for (const one of said) expect(commentSchema.safeParse(one).success).toBe(true);
    const told = talk(said);
    expect(told.song).toEqual(['of it all']);
    expect(told.pass).toEqual({ [passId]: ['of the pass'] });
    expect(told.line).toEqual({ [line.key]: ['of the line'] });
    expect(told.space).toEqual({ [space.id]: ['of the space'] });
    expect(whereInWords(arrangement, ofLine)).toBe(`Verse 1, “${line.words.replace(/[,;:.]+$/, '')}”`);
    expect(whereInWords(arrangement, placeOfPass(passId))).toMatch(/^Verse 1/);
  });

  it('every line with words has a place of its own, and comes back from it', () => {
    for (const pass of arrangement.passes)
      for (const one of pass.lines) {
        const place = placeOfLine(one, must(pass.passId, 'a pass'), arrangement.timeline);
        if (place === null) expect(one.words).toBe('');
        else expect(talk([comment('c', place)]).line).toEqual({ [one.key]: ['c'] });
      }
  });

  it('is of the pass and of its space, where nobody sings in it', () => {
    const played = must(
      arrangement.spaces.find(({ kind }) => kind === 'instrumental'),
      'a break',
    );
    const told = talk([comment('c', played.place)]);
    expect(told.pass).toEqual({ [played.place.passId]: ['c'] });
    expect(told.space).toEqual({ [played.id]: ['c'] });
  });

  it('is kept in sight where what it was of is gone', () => {
    const noNote = { ...ofLine, noteId: 'gone' };
    expect(talk([comment('c', noNote)]).pass).toEqual({ [passId]: ['c'] });
    expect(talk([comment('c', { ...space.place, noteId: 'gone' })]).pass).toEqual({ [passId]: ['c'] });
    const passes = song.passes.filter(({ id }) => id !== passId);
    expect(talk([comment('c', ofLine)], { passes }).song).toEqual(['c']);
    // The first note of a line has no space after it: of the line that it is in.
    const first = itemAt(
      must(arrangement.timeline.notes.get(must(song.voices[0], 'a voice').id), 'its notes').filter(
        (note) => note.startTick >= line.startTick,
      ),
      0,
    );
    const noSpace = { passId, noteId: first.note.id, voiceId: first.voiceId };
    expect(talk([comment('c', noSpace)])).toMatchObject({ line: { [line.key]: ['c'] }, space: {} });
  });
});

describe('a talk', () => {
  /** The speakers in turn, by a letter each; what is open, by its place in the talk. */
  const open = (speakers: string) =>
    unanswered([...speakers].map((by, i) => comment(String(i), null, by === '.' ? null : by))).map(
      ({ id }) => id,
    );

  it('waits until somebody else has spoken', () => {
    expect(open('')).toEqual([]);
    expect(open('a')).toEqual(['0']);
    expect(open('aa')).toEqual(['0', '1']);
    expect(open('ab')).toEqual([]);
    expect(open('aab')).toEqual([]);
    expect(open('aba')).toEqual(['2']);
    expect(open('abab')).toEqual([]);
    expect(open('.a')).toEqual([]);
    expect(open('..')).toEqual(['0', '1']);
  });

  it('is never open by two people at once, and an answer ends it', () => {
    fc.assert(
      fc.property(fc.array(fc.constantFrom('a', 'b', 'c')), (speakers) => {
        const left = open(speakers.join(''));
        expect(new Set(left.map((id) => speakers[Number(id)])).size).toBeLessThanOrEqual(1);
        const last = left.length > 0 ? speakers[Number(left[0])] : undefined;
        if (last !== undefined) expect(open([...speakers, last === 'a' ? 'b' : 'a'].join(''))).toEqual([]);
      }),
    );
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkSong, lastNoteOfWord, moveNote, roadmapTimeline, type Song } from '@/lib/song';
import { tinySong } from '../spaces/tiny-song';

/** Four quarters, the third with a rest after it: 0, 960, 1920 (to 2400), 3840. */
const song = tinySong(
  [{ name: 'Verse', voices: [{ part: 'lead', notes: '1 1 .5 z1.5 2', words: ['one two three four'] }] }],
  { passes: [{ stanza: 1 }, { stanza: 1 }] },
);

const withMoved = (before: Song, noteId: string, toTick: number, passId = 'p1'): Song | string => {
  const moved = moveNote(roadmapTimeline(before), passId, noteId, toTick);
  if (!moved.ok) return moved.error.what;
  const changed = new Map(moved.value.map((note) => [note.id, note]));
  return { ...before, notes: before.notes.map((note) => changed.get(note.id) ?? note) };
};
const stretches = (now: Song | string) =>
  typeof now === 'string'
    ? now
    : roadmapTimeline(now)
        .notes.get('v1')
        ?.filter(({ passId }) => passId === 'p1')
        .map(({ startTick, endTick }) => [startTick, endTick]);

describe('moving a sung note along the beats', () => {
  it('takes along the end of the note before, which is held up to it', () => {
    expect(stretches(withMoved(song, 's1v1n2', 1440))).toEqual([
      [0, 1440],
      [1440, 1920],
      [1920, 2400],
      [3840, 5760],
    ]);
    expect(stretches(withMoved(song, 's1v1n2', 480))).toEqual([
      [0, 480],
      [480, 1920],
      [1920, 2400],
      [3840, 5760],
    ]);
  });

  it('keeps its length where it would come behind its own end, and its bar is the one it is then in', () => {
    expect(stretches(withMoved(song, 's1v1n3', 2880))).toEqual([
      [0, 960],
      [960, 2880],
      [2880, 3360],
      [3840, 5760],
    ]);
    const now = withMoved(song, 's1v1n4', 2880);
    expect(stretches(now)?.[3]).toEqual([2880, 5760]);
    expect(typeof now === 'string' ? now : now.notes[3]?.barId).toBe('s1b1');
  });

  it('leaves a rest before it a rest', () => {
    expect(stretches(withMoved(song, 's1v1n4', 4800))).toEqual([
      [0, 960],
      [960, 1920],
      [1920, 2400],
      [4800, 5760],
    ]);
  });

  it('passes no neighbour and does not leave its pass', () => {
    expect(withMoved(song, 's1v1n2', 0)).toBe('There is no room before it');
    expect(withMoved(song, 's1v1n2', 1920)).toBe('There is no room after it');
    expect(withMoved(song, 's1v1n1', -480)).toBe('There is no room before it');
    expect(withMoved(song, 's1v1n1', 7560, 'p2')).toBe('There is no room before it');
    expect(withMoved(song, 's1v1n4', 7680)).toBe('There is no room after it');
    expect(withMoved(song, 'gone', 0)).toBe('The word is not there any more');
  });

  it('moves it in every pass that sings it', () => {
    const now = withMoved(song, 's1v1n1', 7680 + 240, 'p2');
    expect(stretches(now)?.[0]).toEqual([240, 960]);
  });

  it('keeps notes in order and apart, and all other notes as they were, whatever is asked', () => {
    fc.assert(
      fc.property(fc.nat(3), fc.integer({ min: -500, max: 8000 }), (index, toTick) => {
        const id = `s1v1n${index + 1}`;
        const now = withMoved(song, id, toTick);
        if (typeof now === 'string') return;
        expect(checkSong(now)).toEqual([]);
        const sung = stretches(now);
        if (typeof sung === 'string' || !sung) throw new Error('no notes');
        expect(sung[index]?.[0]).toBe(toTick);
        sung.forEach(([start = 0, end = 0], i) => {
          expect(end - start).toBeGreaterThanOrEqual(120);
          expect(end).toBeLessThanOrEqual(sung[i + 1]?.[0] ?? 7680);
        });
        const others = (one: Song) => one.notes.filter((_, i) => i !== index && i !== index - 1);
        expect(others(now)).toEqual(others(song));
      }),
    );
  });
});

it('a word that is held over several notes ends on the last of them', () => {
  const held = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '1 1 1 z1 1 1' }] }], {
    passes: [{}],
  });
  const notes = held.notes.map((note, i) => ({
    ...note,
    syllables: i === 0 || i === 4 ? [{ text: 'la', joins: false, endsLine: false }] : [],
  }));
  const timeline = roadmapTimeline({ ...held, notes });
  expect(['s1v1n1', 's1v1n4', 's1v1n5', 'gone'].map((id) => lastNoteOfWord(timeline, 'p1', id))).toEqual([
    's1v1n3',
    's1v1n4',
    's1v1n5',
    'gone',
  ]);
});

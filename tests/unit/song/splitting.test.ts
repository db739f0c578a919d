import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Result } from '@/lib/base';
import {
  checkSong,
  dropWord,
  type NoteChange,
  roadmapTimeline,
  type Song,
  songSchema,
  splitWord,
} from '@/lib/song';
import { tinySong } from '../spaces/tiny-song';

/** Two stanzas on three notes; the second stanza has no word of its own on the second note. */
const base = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '1 1 2' }] }], {
  passes: [{ stanza: 1 }, { stanza: 2 }],
});
const word = (text: string) => ({ text, joins: false, endsLine: false });
const song: Song = {
  ...base,
  notes: base.notes.map((note, i) => ({
    ...note,
    syllables: [[word('one'), word('uno')], [word('two')], [word('three'), word('tre')]][i] ?? [],
  })),
};

function changed(before: Song, change: Result<NoteChange>): Song {
  if (!change.ok) throw new Error(change.error.what);
  const { put, remove } = change.value;
  const away = new Set([...remove, ...put.map(({ id }) => id)]);
  const now = { ...before, notes: [...before.notes.filter(({ id }) => !away.has(id)), ...put] };
  expect(checkSong(now)).toEqual([]);
  expect(songSchema.parse(now)).toEqual(now);
  return now;
}

/** What a pass sings: words with where they begin and end, a bare note as a dash. */
const sung = (now: Song, passId: string, origin = 0) =>
  roadmapTimeline(now)
    .notes.get('v1')
    ?.filter((one) => one.passId === passId)
    .map(
      ({ syllable, startTick, endTick }) =>
        `${syllable?.text ?? '–'} ${startTick - origin} ${endTick - origin}`,
    );

const split = (before: Song, noteId: string, tick: number) =>
  splitWord(roadmapTimeline(before), 'p1', noteId, 1, { tick, word: word('new'), newId: 'new' });
const drop = (before: Song, noteId: string, stanza = 1, passId = 'p1') =>
  dropWord(before, roadmapTimeline(before), passId, noteId, stanza);

describe('a new word', () => {
  it('shares the time of the one before it', () => {
    const now = changed(song, split(song, 's1v1n2', 1440));
    expect(sung(now, 'p1')).toEqual(['one 0 960', 'two 960 1440', 'new 1440 1920', 'three 1920 3840']);
    expect(sung(now, 'p2', 3840)).toEqual(['uno 0 960', '– 960 1440', '– 1440 1920', 'tre 1920 3840']);
  });

  it('leaves the other stanzas’ words on that note as they are', () => {
    const now = changed(song, split(song, 's1v1n3', 2880));
    expect(sung(now, 'p1')).toEqual(['one 0 960', 'two 960 1920', 'three 1920 2880', 'new 2880 3840']);
    expect(sung(now, 'p2', 3840)).toEqual(sung(song, 'p2', 3840));
  });

  it('is refused where there is no room, or nothing to share', () => {
    expect(split(song, 's1v1n2', 1000).ok).toBe(false);
    expect(split(song, 's1v1n2', 1900).ok).toBe(false);
    expect(split(song, 'gone', 1440).ok).toBe(false);
  });
});

describe('a word that is taken out', () => {
  it('leaves its time to the word before, and its note is gone where nobody else sings it', () => {
    const now = changed(song, drop(song, 's1v1n2'));
    expect(sung(now, 'p1')).toEqual(['one 0 1920', 'three 1920 3840']);
    expect(now.notes.map(({ id }) => id).sort()).toEqual(['s1v1n1', 's1v1n3']);
  });

  it('stays the other stanzas’', () => {
    const now = changed(song, drop(song, 's1v1n3'));
    expect(sung(now, 'p1')).toEqual(['one 0 960', 'two 960 3840']);
    expect(sung(now, 'p2', 3840)).toEqual(sung(song, 'p2', 3840));
  });

  it('leaves silence where it began after one, or first', () => {
    expect(sung(changed(song, drop(song, 's1v1n1')), 'p1')).toEqual(['two 960 1920', 'three 1920 3840']);
  });
});

it('split and dropped again, every stanza sings as before, wherever it was', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 3 }), fc.integer({ min: 1, max: 3720 }), (index, tick) => {
      const made = split(song, `s1v1n${index}`, tick);
      if (!made.ok) return;
      const back = changed(changed(song, made), drop(changed(song, made), 'new'));
      expect(sung(back, 'p1')).toEqual(sung(song, 'p1'));
      expect(sung(back, 'p2', 3840)).toEqual(sung(song, 'p2', 3840));
    }),
  );
});

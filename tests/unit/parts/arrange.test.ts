import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt } from '@/lib/base';
import { hearsSame, offerFills } from '@/lib/fills';
import { plainSetup } from '@/lib/instruments';
import { type Arrangement, arrange, singsSame, soundsSame } from '@/lib/parts';
import type { Answer, Song } from '@/lib/song';
import { demoBand } from '@/server/demo';

let songs: readonly Song[] = [];
beforeAll(async () => {
  songs = (await demoBand()).songs;
});

const at = <T>(list: readonly T[], n: number): T => itemAt(list, n % list.length);
const without = <T>(list: readonly T[], n: number): readonly T[] =>
  list.filter((_, i) => i !== n % Math.max(1, list.length));
const changed = <T>(list: readonly T[], n: number, change: (one: T) => T): readonly T[] =>
  list.map((one, i) => (i === n % list.length ? change(one) : one));

/** Whole answers, so that a test can say which of them an edit touches. */
const leftOpen = (id: string, space: Arrangement['spaces'][number]): Answer => ({
  id,
  place: space.place,
  extent: { from: 0, to: space.endTick - space.startTick },
  holding: { kind: 'left open' },
  by: null,
  at: 1_000_000,
});

/** What people do to a song, each as another state of it; what is not touched stays the same object, as in a document's readings. */
const EDITS: Readonly<Record<string, (song: Song, n: number) => Song>> = {
  'a chord written anew': (song, n) => ({
    ...song,
    chords: changed(song.chords, n, (one) => ({ ...one, symbol: one.symbol === 'Am' ? 'C' : 'Am' })),
  }),
  'a chord taken out': (song, n) => ({ ...song, chords: without(song.chords, n) }),
  'an answer taken back': (song, n) => ({ ...song, settled: without(song.settled, n) }),
  'a space left open': (song, n) => ({
    ...song,
    settled: [...song.settled, leftOpen(`open-${n}`, at(arrange(song).spaces, n))],
  }),
  'a word written anew': (song, n) => ({
    ...song,
    notes: changed(song.notes, n, (note) => ({
      ...note,
      syllables: note.syllables.map((one) => one && { ...one, text: `${one.text}er` }),
    })),
  }),
  'a note taken out': (song, n) => ({ ...song, notes: without(song.notes, n) }),
  'a breath': (song, n) => ({
    ...song,
    notes: changed(song.notes, n, (note) => ({ ...note, breath: !note.breath })),
  }),
  'a pass once more': (song, n) => ({
    ...song,
    passes: [...song.passes, { ...at(song.passes, n), id: `again-${n}-${song.passes.length}` }],
  }),
  'a pass left out': (song, n) =>
    song.passes.length > 1 ? { ...song, passes: without(song.passes, n) } : song,
  'another tempo': (song, n) => ({ ...song, tempo: 60 + (n % 100) }),
  'another title': (song, n) => ({ ...song, title: `${song.title} ${n}` }),
};

const edits = fc.array(fc.tuple(fc.constantFrom(...Object.keys(EDITS)), fc.nat(10_000)), {
  minLength: 1,
  maxLength: 5,
});
const apply = (song: Song, [name, n]: readonly [string, number]): Song => EDITS[name]?.(song, n) ?? song;

/** All that a page draws; the timeline is a thing with workings of its own, the same for a song either way. */
const drawn = ({ timeline: _, ...rest }: Arrangement) => rest;

describe('arrange after another state of the song', () => {
  it('says what it says with nothing before, through any edits one after another', () => {
    fc.assert(
      fc.property(fc.nat(10), edits, (which, list) => {
        let song = at(songs, which);
        let last = arrange(song);
        for (const edit of list) {
          song = apply(song, edit);
          last = arrange(song, undefined, undefined, last);
          expect(drawn(last), edit[0]).toEqual(drawn(arrange(song)));
          expect(last.timeline.song).toBe(song);
        }
      }),
      { numRuns: 20 },
    );
  }, 120_000);

  it('keeps every line, space and standing that no answer touches', () => {
    for (const song of songs) {
      const before = arrange(song);
      const space = itemAt(before.spaces, before.spaces.length - 1);
      const answer = leftOpen('left-open', space);
      const now = arrange({ ...song, settled: [...song.settled, answer] }, undefined, undefined, before);
      expect(now.passes).toBe(before.passes);
      expect(now.spaces).toBe(before.spaces);
      expect(now.bySpace.get(space.id)?.answer).toBe(answer);
      for (const standing of before.standings) expect(now.standings).toContain(standing);
    }
  });

  it('draws only the lines anew over which a chord is another', () => {
    for (const song of songs.filter(({ chords }) => chords.length > 0)) {
      const before = arrange(song);
      const chord = itemAt(song.chords, Math.floor(song.chords.length / 2));
      const chords = song.chords.map((one) => (one === chord ? { ...one, symbol: 'Bb13' } : one));
      const now = arrange({ ...song, chords }, undefined, undefined, before);
      const lines = before.passes.flatMap((pass) => pass.lines);
      const after = now.passes.flatMap((pass) => pass.lines);
      const own = (line: (typeof lines)[number]) =>
        line.segments.some(({ bar }) => bar.bar.id === chord.barId) ||
        line.chordBefore !== after.find(({ key }) => key === line.key)?.chordBefore ||
        // A chord that sounds on into a space of the line is told with the space.
        line.segments.some(({ spaces }) =>
          spaces.some(({ space }) => space.chords.some(({ symbol }) => symbol === chord.symbol)),
        );
      expect(after).toHaveLength(lines.length);
      expect(after.some((line, i) => line !== lines[i])).toBe(true);
      lines.forEach((line, i) => {
        if (!own(line)) expect(after[i], line.key).toBe(line);
      });
      expect(lines.some((line) => !own(line))).toBe(true);
    }
  });
});

const PLAYER = {
  setup: plainSetup('guitar'),
  rule: 'toward',
  spanMillimetres: null,
  comfortEighthsPerMinute: null,
} as const;

describe('a song that sounds the same', () => {
  it('is one in which only answers, proposals and talk differ, and its ideas for a sung space are the same', () => {
    for (const song of songs) {
      const bare = { ...song, settled: [], proposals: [], votes: [], comments: [] };
      expect(song.settled.length).toBeGreaterThan(0);
      expect(soundsSame(song, bare)).toBe(true);
      const ideas = (of: Song) => {
        const { timeline, spaces } = arrange(of);
        return spaces
          .filter(({ kind }) => kind !== 'instrumental')
          .slice(0, 4)
          .map((space) => offerFills({ ...PLAYER, timeline, space, count: 3 }));
      };
      expect(ideas(bare)).toEqual(ideas(song));
    }
  });

  it('gives a space the same ideas while chords are others elsewhere, and says where they are not', () => {
    let kept = 0;
    let heard = 0;
    for (const song of songs) {
      const before = arrange(song);
      for (const [i, chord] of song.chords.entries()) {
        const chords = song.chords.map((one, at) => (at === i ? { ...one, symbol: 'Bb13' } : one));
        const now = arrange({ ...song, chords });
        expect(singsSame(before.song, now.song), chord.symbol).toBe(true);
        before.spaces.forEach((space, at) => {
          if (space.kind === 'instrumental' || (i + at) % 13 !== 0) return;
          const after = itemAt(now.spaces, at);
          const ideas = (of: Arrangement, here: typeof space) =>
            offerFills({ ...PLAYER, timeline: of.timeline, space: here, count: 2 });
          if (!hearsSame(before.timeline, now.timeline, space)) heard += 1;
          else {
            kept += 1;
            expect(ideas(now, after), `${chord.symbol}, ${space.id}`).toEqual(ideas(before, space));
          }
        });
      }
    }
    expect(kept).toBeGreaterThan(50);
    expect(heard).toBeGreaterThan(5);
  });

  it('hears another chord in the space, and the one that it leads to', () => {
    for (const song of songs) {
      const { timeline, spaces } = arrange(song);
      for (const space of spaces.filter(({ kind, before }) => kind !== 'instrumental' && before !== null)) {
        for (const tick of [space.startTick, space.endTick]) {
          const at = timeline.chordAt(tick);
          if (!at) continue;
          const bar = timeline.barAt(at.startTick).bar.id;
          const chords = song.chords.map((one) => (one.barId === bar ? { ...one, symbol: 'Bb13' } : one));
          const now = arrange({ ...song, chords });
          if (now.timeline.chordAt(tick)?.symbol !== at.symbol)
            expect(hearsSame(timeline, now.timeline, space), `${space.id} at ${tick}`).toBe(false);
        }
      }
    }
  });

  it('is no longer one once its notes, chords, passes or tempo are others', () => {
    for (const song of songs)
      for (const change of [
        { notes: song.notes.slice(1) },
        { chords: song.chords.slice(1) },
        { passes: song.passes.slice(1) },
        { tempo: (song.tempo ?? 120) + 1 },
      ])
        expect(soundsSame(song, { ...song, ...change })).toBe(false);
  });
});

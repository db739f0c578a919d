import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';
import * as Y from 'yjs';
import { newBandDocument, newSongDocument, readBand, readSong, watchBand, watchSong } from '@/lib/document';
import { bandSchema, checkSong, type Song, songSchema, UNDECIDED } from '@/lib/song';
import { BAND, bandEdits, bar, SONG, songEdits } from './sample';

/** Songs of any size whose parts stand in reading order. */
const songs: fc.Arbitrary<Song> = fc
  .record({
    title: fc.string({ maxLength: 40 }),
    tempo: fc.option(fc.integer({ min: 10, max: 600 })),
    bars: fc.array(fc.array(fc.integer({ min: 1, max: 8 }), { maxLength: 6 }), { maxLength: 4 }),
    voices: fc.integer({ min: 1, max: 3 }),
    notes: fc.array(
      fc.record({
        at: fc.nat(7),
        midi: fc.integer({ min: 0, max: 127 }),
        words: fc.array(fc.option(fc.string({ maxLength: 9 })), { maxLength: 3 }),
      }),
      { maxLength: 20 },
    ),
    passes: fc.array(fc.nat(3), { maxLength: 6 }),
  })
  .map(({ title, tempo, bars, voices, notes, passes }) => {
    const sections = bars.map((lengths, s) => ({
      id: `s${s}`,
      name: '',
      bars: lengths.map((eighths, b) =>
        bar(`s${s}:b${b}`, { ticks: eighths * 480, endings: eighths === 3 ? [1, 2] : [] }),
      ),
    }));
    const all = sections.flatMap((section) => section.bars);
    const rows = notes.flatMap(({ at, midi, words }, i) => {
      const place = all[i % Math.max(1, all.length)];
      const last = words.findLastIndex((word) => word !== null);
      if (!place) return [];
      return [
        {
          bar: i % all.length,
          voice: i % voices,
          note: {
            id: `n%${String(i).padStart(2, '0')}:`,
            voiceId: `v${i % voices}`,
            barId: place.id,
            offset: Math.min(at * 480, place.ticks - 1),
            ticks: 480,
            midi,
            syllables: words
              .slice(0, last + 1)
              .map((text) => (text === null ? null : { text, joins: i % 2 === 0, endsLine: i % 3 === 0 })),
            stanzas: i % 4 === 0 ? [2, 5] : [],
            breath: i % 5 === 0,
            fermata: false,
          },
        },
      ];
    });
    rows.sort(
      (a, b) =>
        a.bar - b.bar ||
        a.note.offset - b.note.offset ||
        a.voice - b.voice ||
        (a.note.id < b.note.id ? -1 : 1),
    );
    return {
      ...SONG,
      ...UNDECIDED,
      title,
      tempo,
      sections,
      voices: Array.from({ length: voices }, (_, v) => ({
        id: `v${v}`,
        name: '',
        part: 'other' as const,
        playerId: null,
        range: null,
      })),
      notes: rows.map((row) => row.note),
      chords: [],
      passes: passes.flatMap((s, i) =>
        s < sections.length
          ? [{ id: `p${i}`, sectionId: `s${s}`, stanza: null, ending: 1, name: '', roles: {} }]
          : [],
      ),
    };
  });

describe('a song document', () => {
  it('reads as the song that was put in', () => {
    expect(songSchema.parse(SONG)).toEqual(SONG);
    expect(readSong(newSongDocument(SONG))).toEqual({ song: SONG, broken: [], readOnly: false });
  });

  it('reads as the song that was put in, for any song', () => {
    fc.assert(
      fc.property(songs, (song) => {
        const { song: read, broken } = readSong(newSongDocument(song));
        expect(read).toEqual(song);
        expect(broken).toEqual([]);
        expect(checkSong(read)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it('is the same bytes for the same song under one client id, and never written on under it', () => {
    const one = newSongDocument(SONG, 5);
    expect(Y.encodeStateAsUpdate(one)).toEqual(Y.encodeStateAsUpdate(newSongDocument(SONG, 5)));
    expect(one.clientID).not.toBe(5);
  });

  it('reads as an empty song, read only, where nothing has been put in', () => {
    const reading = readSong(new Y.Doc());
    expect(reading.readOnly).toBe(true);
    expect(reading.broken).toEqual([]);
    expect(reading.song.sections).toEqual([]);
  });

  it('keeps the identity of what did not change', () => {
    const doc = newSongDocument(SONG);
    const edits = songEdits(doc);
    const before = readSong(doc);
    expect(readSong(doc)).toBe(before);
    edits.setSyllable('n2', 1, { text: 'wheel', joins: false, endsLine: false });
    const after = readSong(doc);
    expect(after.song).not.toBe(before.song);
    const { notes, ...rest } = after.song;
    for (const [key, value] of Object.entries(rest)) {
      expect(value, key).toBe(new Map<string, unknown>(Object.entries(before.song)).get(key));
    }
    expect(notes.filter((each) => !before.song.notes.includes(each)).map((each) => each.id)).toEqual(['n2']);

    edits.setBar('v1', { ticks: 3000 });
    const barSet = readSong(doc).song;
    expect(barSet.sections[0]).not.toBe(after.song.sections[0]);
    expect(barSet.sections[0]?.bars[0]).toBe(after.song.sections[0]?.bars[0]);
    expect(barSet.sections[1]).toBe(after.song.sections[1]);
    expect(barSet.notes).toBe(after.song.notes);
    edits.undo();
    edits.undo();
    expect(readSong(doc).song).toEqual(SONG);
  });

  it('tells a watcher once for each edit that changed what is read', () => {
    const doc = newSongDocument(SONG);
    const edits = songEdits(doc);
    const listener = vi.fn();
    const stop = watchSong(doc, listener);
    edits.setTitle('Another');
    edits.setTitle('Another');
    edits.addPass({ sectionId: 'chorus', roles: { ann: 'break' } });
    doc.getMap('elsewhere').set('a', 1);
    expect(listener).toHaveBeenCalledTimes(2);
    expect(listener).toHaveBeenLastCalledWith(readSong(doc));
    stop();
    edits.setTitle('Unheard');
    expect(listener).toHaveBeenCalledTimes(2);
  });

  it('leaves out and lists what cannot be read or hangs on nothing, and deletes none of it', () => {
    const doc = newSongDocument(SONG);
    const put = (name: string, key: string, value: unknown) => doc.getMap(name).set(key, value);
    put('notes', 'bad', { voiceId: 'lead', barId: 'v1', offset: 0, ticks: 0, midi: 60 });
    put('notes', 'barless', { voiceId: 'lead', barId: 'nowhere', offset: 0, ticks: 1, midi: 60 });
    put('notes', 'voiceless', { voiceId: 'nobody', barId: 'v1', offset: 0, ticks: 1, midi: 60 });
    put('notes', 'late', { voiceId: 'lead', barId: 'v1', offset: 2880, ticks: 1, midi: 60 });
    put('chords', 'text', 'G');
    put('bars', 'odd', 7);
    put('passes', 'lost', new Y.Map(Object.entries({ sectionId: 'none', position: 'a0', stanza: 1 })));
    put('settled', 'short', { ...SONG.settled[0], extent: { from: 5, to: 5 } });
    put('words', 'n1', { text: 'la' });
    put('meta', 'tempo', -1);
    const state = Y.encodeStateAsUpdate(doc);
    const { song, broken } = readSong(doc);
    expect(song).toEqual({ ...SONG, tempo: null, tempoRange: null });
    expect([...broken].sort()).toEqual(
      [
        'note bad cannot be read',
        'note barless has no bar',
        'note voiceless has no voice',
        'note late lies behind the end of its bar',
        'chord text cannot be read',
        'bar odd cannot be read',
        'pass lost has no section',
        'settled answer short cannot be read',
        'word n1 cannot be read',
        "the song's tempo cannot be read",
      ].sort(),
    );
    expect(Y.encodeStateAsUpdate(doc)).toEqual(state);
  });

  it('holds its invariants whatever stands in the maps', () => {
    const names = [...newSongDocument(SONG).share.keys()];
    const keys = [
      'verse',
      'v1',
      'lead',
      'pass-1',
      'n1',
      'n1:1',
      'ann:capo',
      's1',
      'p1',
      'p1:ann',
      'key',
      'version',
      '__proto__',
    ];
    const fields = [
      'position',
      'sectionId',
      'ticks',
      'meter',
      'removed',
      'offset',
      'barId',
      'place',
      'at',
      'role:ann',
    ];
    const junk = fc
      .oneof(fc.jsonValue(), fc.dictionary(fc.constantFrom(...fields), fc.jsonValue()))
      .map((value): unknown => JSON.parse(JSON.stringify(value)));
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.constantFrom(...names), fc.constantFrom(...keys), junk, fc.boolean()), {
          maxLength: 12,
        }),
        (writes) => {
          const doc = newSongDocument(SONG);
          readSong(doc);
          for (const [name, key, value, nested] of writes) {
            const map = doc.getMap(name);
            const there = map.get(key);
            if (typeof value !== 'object' || value === null) map.set(key, value);
            else if (there instanceof Y.Map)
              for (const [field, each] of Object.entries(value)) there.set(field, each);
            else map.set(key, nested ? new Y.Map(Object.entries(value)) : value);
          }
          const { song } = readSong(doc);
          expect(checkSong(song)).toEqual([]);
          const copy = new Y.Doc();
          Y.applyUpdate(copy, Y.encodeStateAsUpdate(doc));
          expect(readSong(copy)).toEqual(readSong(doc));
        },
      ),
      { numRuns: 150 },
    );
  });

  it('stays small: a hundred bars with four notes, a word on each and two chords a bar', () => {
    const lengths = Array.from({ length: 100 }, (_, i) => i);
    const id = (kind: string, i: number) => `${kind}${String(i).padStart(13, '0')}`;
    const song: Song = {
      ...SONG,
      sections: [{ id: id('s', 0), name: 'Verse', bars: lengths.map((i) => bar(id('b', i))) }],
      passes: [],
      notes: lengths.flatMap((i) =>
        [0, 1, 2].map((beat) => ({
          id: id('n', i * 3 + beat),
          voiceId: 'lead',
          barId: id('b', i),
          offset: beat * 960,
          ticks: 960,
          midi: 60 + beat,
          syllables: [{ text: 'word', joins: false, endsLine: false }],
          stanzas: [],
          breath: false,
          fermata: false,
        })),
      ),
      chords: lengths.map((i) => ({ id: id('c', i), barId: id('b', i), offset: 0, symbol: 'G' })),
    };
    const doc = newSongDocument(song);
    expect(readSong(doc).song.notes).toHaveLength(300);
    expect(Y.encodeStateAsUpdate(doc).length).toBeLessThan(70_000);
    const before = Y.encodeStateVector(doc);
    songEdits(doc).setSyllable(id('n', 7), 1, { text: 'other', joins: false, endsLine: false });
    expect(Y.encodeStateAsUpdate(doc, before).length).toBeLessThan(200);
  });
});

describe('a band document', () => {
  it('reads as the band that was put in', () => {
    expect(bandSchema.parse(BAND)).toEqual(BAND);
    expect(readBand(newBandDocument(BAND))).toEqual({ band: BAND, broken: [], readOnly: false });
  });

  it('keeps the identity of what did not change, and tells watchers', () => {
    const doc = newBandDocument(BAND);
    const listener = vi.fn();
    watchBand(doc, listener);
    const before = readBand(doc).band;
    bandEdits(doc).addToSet('short', 'late');
    const after = readBand(doc).band;
    expect(listener).toHaveBeenCalledTimes(1);
    expect(after.players).toBe(before.players);
    expect(after.sets[0]).toBe(before.sets[0]);
    expect(after.sets[1]?.entries.map((entry) => entry.songId)).toEqual(['late']);
  });

  it('lists what cannot be read', () => {
    const doc = newBandDocument(BAND);
    doc.getMap('players').set('x', new Y.Map([['position', 'a0']]));
    doc
      .getMap('entries')
      .set('y', new Y.Map(Object.entries({ position: 'a0', setId: 'none', songId: 'mill' })));
    expect(readBand(doc).band).toEqual(BAND);
    expect(readBand(doc).broken).toEqual(['entry y has no set', 'player x cannot be read']);
  });
});

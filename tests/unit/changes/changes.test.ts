import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must } from '@/lib/base';
import { changesBetween } from '@/lib/changes';
import { newSongDocument, readSong, type SongEdits } from '@/lib/document';
import { type Player, type Song, songSchema } from '@/lib/song';
import { demoBand } from '@/server/demo';
import { songEdits } from '../document/sample';

let song: Song;
let players: readonly Player[];
beforeAll(async () => {
  const demo = await demoBand();
  song = itemAt(demo.songs, 0);
  players = demo.band.players;
});

/** The sentences after an edit of the song. */
function told(edit: (edits: SongEdits) => unknown): readonly string[] {
  const doc = newSongDocument(song);
  const before = must(readSong(doc).song, 'the song');
  edit(songEdits(doc));
  const now = must(readSong(doc).song, 'the song');
  return changesBetween(before, now, players).map(({ sentence }) => sentence);
}

/** The same with its fields in another order, as a file may have them. */
const turned = (value: unknown): unknown =>
  JSON.parse(JSON.stringify(value), (_field, inside: unknown) =>
    typeof inside === 'object' && inside !== null && !Array.isArray(inside)
      ? Object.fromEntries(Object.entries(inside).reverse())
      : inside,
  );

const guitarist = () =>
  must(
    players.find(({ instruments }) => instruments[0] === 'guitar'),
    'a guitarist',
  );
const pass = (name: string) =>
  must(
    song.passes.find((one) => one.name === name),
    name,
  );
const first = () => must(song.settled[0], 'an answer');

describe('what became of a song', () => {
  it('is nothing between equal states', () => {
    expect(changesBetween(song, song, players)).toEqual([]);
    expect(changesBetween(song, structuredClone(song), players)).toEqual([]);
    expect(changesBetween(song, songSchema.parse(turned(song)), players)).toEqual([]);
  });

  it('is said as a bandmate would say it', () => {
    expect(told((edits) => edits.setTitle('South Side Snow'))).toEqual([
      '“North Side Snow” is called “South Side Snow”',
    ]);
    expect(told((edits) => edits.setTempo(96))).toEqual(['the tempo is ♩\u00a0=\u00a096']);
    expect(told((edits) => edits.removePass(pass('Verse 3').id))[0]).toBe('Verse 3 was cut');
    expect(told((edits) => edits.setSetting(guitarist().id, { capo: 4 }))).toEqual([
      `${guitarist().name}: guitar, capo 4`,
    ]);
    expect(told((edits) => edits.setRole(pass('Verse 1').id, guitarist().id, 'lay out'))).toEqual([
      `${guitarist().name} in Verse 1: lay out`,
    ]);
    expect(told((edits) => edits.transpose(2))[0]).toBe('the key went from G to A');
    expect(told((edits) => edits.comment(null, 'A bit slower, please'))).toEqual([
      'Somebody: “A bit slower, please”',
    ]);
  });

  it('tells who settled what, where, and what was there before', () => {
    const { place, extent } = first();
    const [sentence, ...more] = told((edits) => edits.settle(place, extent, { kind: 'left open' }));
    expect(sentence).toMatch(/^left open in .+, (after|at|before) .+ \(was .+\)$/);
    expect(more).toEqual([]);
    expect(told((edits) => edits.unsettle(place))[0]).toMatch(/^taken back in /);
    const adLib = { kind: 'ad lib', playerId: guitarist().id } as const;
    expect(told((edits) => edits.propose(place, extent, adLib))[0]).toMatch(
      new RegExp(`^somebody put to the band: ${guitarist().name}, ad lib, in `),
    );
  });

  it('tells words, tune and chords by section', () => {
    const chord = must(song.chords[0], 'a chord');
    expect(told((edits) => edits.setChord(chord.barId, chord.offset, 'Bm'))).toEqual([
      expect.stringMatching(/^chords changed in one bar of /),
    ]);
    const note = must(
      song.notes.find(({ syllables }) => syllables[0]),
      'a sung word',
    );
    expect(
      told((edits) => edits.setSyllable(note.id, 1, { text: 'thaw', joins: false, endsLine: false })),
    ).toEqual([expect.stringMatching(/^words changed in one bar of /)]);
    expect(told((edits) => edits.setNote(note.id, { breath: !note.breath }))).toEqual([
      expect.stringMatching(/^the tune changed in one bar of /),
    ]);
  });

  it('is at least one sentence for whatever differs', () => {
    const less = <T>(list: readonly T[]): readonly T[] => list.slice(0, -1);
    const place = { passId: pass('Verse 1').id, noteId: null, voiceId: null };
    const answer = { id: 'new', place, extent: { from: 0, to: 960 }, by: null, at: 1 };
    const open = { ...answer, holding: { kind: 'left open' } } as const;
    /** By field: the field otherwise. A field that is not here is one of which nothing is said yet. */
    const otherwise: { readonly [F in Exclude<keyof Song, 'id'>]: Song[F] } = {
      title: 'Another',
      key: { tonic: 'B', mode: 'minor' },
      tempo: 61,
      feel: { ratio: 3 },
      sections: song.sections.map((one) => ({ ...one, name: `${one.name} too` })),
      passes: less(song.passes),
      voices: song.voices.map((voice) => ({ ...voice, name: 'Lark' })),
      notes: less(song.notes),
      chords: less(song.chords),
      settings: less(song.settings),
      settled: less(song.settled),
      proposals: [...song.proposals, open],
      votes: [{ proposalId: 'new', playerId: guitarist().id, yes: true }],
      comments: [{ id: 'c', place: null, text: 'Hear hear', by: null, at: 1 }],
      phraseEnds: [{ noteId: must(song.notes[0], 'a note').id, stanza: null, ends: true }],
      tempoRange: { low: 80, high: 90, at: 1 },
      start: { playerId: null, with: 'a shout', counts: null, tempo: null },
      ending: { kind: 'dead stop', signalBy: null, note: 'together' },
      singing: [
        { passId: place.passId, voiceId: must(song.voices[0], 'a voice').id, noteId: null, playerId: null },
      ],
    };
    const names = Object.keys(song).filter((name) => name !== 'id');
    expect(Object.keys(otherwise).sort()).toEqual(names.sort());
    for (const [name, value] of Object.entries(otherwise)) {
      const now = { ...song, [name]: value };
      expect(changesBetween(song, now, players).length, name).toBeGreaterThan(0);
      expect(changesBetween(now, song, players).length, `${name}, back`).toBeGreaterThan(0);
    }
  });

  it('is the same whichever of several edits came first', () => {
    const edits: readonly ((on: SongEdits) => unknown)[] = [
      (on) => on.setTempo(120),
      (on) => on.setSetting(guitarist().id, { capo: 3 }),
      (on) => on.comment(null, 'Good'),
      (on) => on.removePass(pass('Verse 2').id),
      (on) => on.unsettle(first().place),
    ];
    const inOrder = told((on) => edits.map((edit) => edit(on)));
    expect(inOrder.length).toBeGreaterThanOrEqual(edits.length);
    fc.assert(
      fc.property(fc.shuffledSubarray([...edits.keys()], { minLength: edits.length }), (order) => {
        expect(told((on) => order.map((i) => itemAt(edits, i)(on)))).toEqual(inOrder);
      }),
      { numRuns: 10 },
    );
  });
});

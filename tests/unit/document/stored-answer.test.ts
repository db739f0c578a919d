import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { must } from '@/lib/base';
import { newSongDocument, readSong } from '@/lib/document';
import { namedAnswer, storedAnswer } from '@/lib/document/stored-answer';
import { ARTICULATIONS, STROKES } from '@/lib/instruments';
import { type Answer, answerSchema } from '@/lib/song';
import { SONG } from './sample';

const S1 = must(SONG.settled[0], 's1');

const answers: fc.Arbitrary<Answer> = fc
  .record({
    notes: fc.array(
      fc.record({
        tick: fc.integer({ min: -2000, max: 9000 }),
        ticks: fc.integer({ min: 1, max: 4000 }),
        midi: fc.integer({ min: 0, max: 127 }),
        string: fc.integer({ min: 1, max: 6 }),
        fret: fc.nat(20),
        finger: fc.nat(4),
        articulation: fc.constantFrom(...ARTICULATIONS),
        stroke: fc.option(fc.constantFrom(...STROKES)),
        strokeRule: fc.option(fc.constantFrom('', 'the beat', 'toward the next string')),
        exception: fc.boolean(),
        word: fc.option(fc.string({ minLength: 1, maxLength: 8 })),
      }),
      { maxLength: 12 },
    ),
    chords: fc.array(fc.record({ tick: fc.nat(9000), symbol: fc.string({ maxLength: 8 }) }), {
      maxLength: 4,
    }),
    family: fc.string({ maxLength: 20 }),
  })
  .map(({ notes, ...fill }) => ({
    ...S1,
    holding: {
      kind: 'fill',
      playerId: 'ann',
      fill: {
        ...fill,
        notes: notes.map(({ word, ...note }) => (word === null ? note : { ...note, word })),
      },
    },
  }));

describe('a stored answer', () => {
  it('reads as what was stored, for any fill', () => {
    fc.assert(
      fc.property(answers, (answer) => {
        const doc = newSongDocument({ ...SONG, settled: [answer] });
        expect(answerSchema.parse(readSong(doc).song.settled[0])).toEqual(answer);
        expect(namedAnswer(storedAnswer(answer))).toMatchObject({ holding: answer.holding });
      }),
      { numRuns: 200 },
    );
  });

  it('reads with names too, as version 1 stored it', () => {
    const doc = newSongDocument({ ...SONG, settled: [] });
    const { id, ...fields } = S1;
    doc.getMap('settled').set(id, fields);
    expect(readSong(doc).song.settled).toEqual([S1]);
  });

  it('is listed where a row is no note, and the rest is read', () => {
    const doc = newSongDocument(SONG);
    const { holding: _holding, ...fields } = storedAnswer(S1);
    for (const notes of [[[1, 2]], [7], 'none', [[0, 480, 60, 1, 0, 0, 'down', 5]], [null]]) {
      const fill = { family: '', rules: [], notes, chords: [] };
      doc.getMap('settled').set('s9', { ...fields, holding: { kind: 'fill', playerId: 'ann', fill } });
      expect(readSong(doc).broken).toEqual(['settled answer s9 cannot be read']);
      expect(readSong(doc).song).toEqual(SONG);
    }
  });

  it('is small: ten notes in less than 600 bytes', () => {
    const { holding } = S1;
    const note = must(holding.kind === 'fill' ? holding.fill.notes[0] : null, 'note');
    const notes = Array.from({ length: 10 }, (_, i) => ({ ...note, tick: 480 * i, midi: 64 + i }));
    const bytes = (settled: readonly Answer[]) =>
      Y.encodeStateAsUpdate(newSongDocument({ ...SONG, settled }, 1)).length;
    const long = (name: string) => name.padEnd(14, '-');
    const answer: Answer = {
      ...S1,
      id: long('s1'),
      place: { passId: long('p'), noteId: long('n'), voiceId: long('v') },
      by: long('ann'),
      at: 1_760_000_000_000,
      holding: {
        kind: 'fill',
        playerId: long('ann'),
        fill: { family: 'forward roll', notes, chords: [{ tick: 960, symbol: 'G' }] },
      },
    };
    const size = bytes([answer]) - bytes([]);
    expect(size).toBeGreaterThan(300);
    expect(size).toBeLessThan(600);
  });
});

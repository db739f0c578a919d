import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must, type Result } from '@/lib/base';
import { tuningsOf } from '@/lib/instruments';
import {
  changeKey,
  type Extent,
  HIGHEST_FIFTH,
  HIGHEST_PROPOSED,
  keysForSinger,
  readExtent,
  setupsForKey,
  tuneExtent,
} from '@/lib/keys';
import type { Band, Song } from '@/lib/song';
import { keyName, parseKey, pitchClassOf, scaleOf } from '@/lib/theory';
import { demoBand } from '@/server/demo';

const key = (name: string) => must(parseKey(name), name);
const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(`${result.error.what}: ${result.error.where}`);
  return result.value;
};
const extents = (least: number, most: number) =>
  fc
    .tuple(fc.integer({ min: least, max: most }), fc.integer({ min: 0, max: 30 }))
    .map(([lowest, span]): Extent => ({ lowest, highest: lowest + span }));

describe('keys for a singer', () => {
  it('are all that put the whole tune inside the range, each once, the best first', () => {
    fc.assert(
      fc.property(extents(40, 70), extents(40, 70), (tune, range) => {
        const found = value(keysForSinger(key('G'), tune, range));
        const fitting = new Set<number>();
        for (let by = -36; by <= 35; by++) {
          if (tune.lowest + by >= range.lowest && tune.highest + by <= range.highest)
            fitting.add(pitchClassOf(by));
        }
        const given = found.map(({ semitones }) => pitchClassOf(semitones));
        expect(new Set(given).size).toBe(given.length);
        if (fitting.size > 0) {
          expect(new Set(given)).toEqual(fitting);
          expect(found.every(({ fits }) => fits)).toBe(true);
        } else {
          expect(given).toHaveLength(12);
          expect(found.some(({ fits }) => fits)).toBe(false);
        }
        const costs = found.map(({ cost }) => cost);
        expect(costs).toEqual([...costs].sort((a, b) => a - b));
        for (const { cost, reasons } of found)
          expect(cost).toBeCloseTo(reasons.reduce((sum, { weight }) => sum + weight, 0));
      }),
      { numRuns: 100 },
    );
  });

  const tune = { lowest: 60, highest: 72 };
  it.each<[string, () => Result<unknown>]>([
    ['no range', () => keysForSinger(key('G'), tune, null)],
    ['no tune', () => keysForSinger(key('G'), null, tune)],
    ['a range upside down', () => keysForSinger(key('G'), tune, { lowest: 72, highest: 60 })],
    ['a range that is no number', () => keysForSinger(key('G'), tune, { lowest: Number.NaN, highest: 60 })],
    ['a range of a piano', () => keysForSinger(key('G'), tune, { lowest: 21, highest: 108 })],
    ['no notes', () => readExtent('low', 'high')],
    ['nothing said', () => readExtent('', '')],
  ])('%s: says what, where and what mends it', (_, ask) => {
    const answer = ask();
    expect(answer.ok).toBe(false);
    if (!answer.ok) for (const text of Object.values(answer.error)) expect(text.length).toBeGreaterThan(3);
  });

  it("a singer's own word is read", () => {
    expect(value(readExtent('G3', 'D5'))).toEqual({ lowest: 55, highest: 74 });
  });
});

describe('setups for a key', () => {
  it('are every capo and fifth string that can be, the cheapest first, each with its reasons', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('guitar', 'banjo', 'resonator guitar', 'mandolin', 'fiddle', 'bass'),
        fc.constantFrom(
          'G',
          'Ab',
          'A',
          'Bb',
          'B',
          'C',
          'Db',
          'D',
          'Eb',
          'E',
          'F',
          'F#',
          'Em',
          'Bm',
          'D mixolydian',
        ),
        (instrument, name) => {
          const before = {
            setup: { instrument, tuning: 'standard', capo: 0, fifthCapo: null },
            key: key('C'),
          } as const;
          const ways = value(setupsForKey(key(name), before));
          const capos = ['guitar', 'banjo', 'resonator guitar'].includes(instrument)
            ? HIGHEST_PROPOSED + 1
            : 1;
          const fifths = instrument === 'banjo' ? HIGHEST_FIFTH + 1 : 1;
          expect(ways).toHaveLength(capos * fifths);
          ways.forEach(({ setup, shapes, cost, reasons }, i) => {
            expect(cost).toBeCloseTo(reasons.reduce((sum, { weight }) => sum + weight, 0));
            if (i > 0) expect(cost).toBeGreaterThanOrEqual(itemAt(ways, i - 1).cost);
            // The shapes, a capo higher, sound the key.
            expect(scaleOf(shapes).map((each) => pitchClassOf(each + setup.capo))).toEqual(
              scaleOf(key(name)),
            );
          });
        },
      ),
      { numRuns: 60 },
    );
  });

  it('a setup that cannot be is told', () => {
    const before = {
      setup: { instrument: 'guitar', tuning: 'sideways', capo: 0, fifthCapo: null },
      key: key('C'),
    } as const;
    expect(setupsForKey(key('G'), before).ok).toBe(false);
  });
});

describe('a song to another key', () => {
  let band: Band;
  let waltz: Song;
  let fast: Song;
  beforeAll(async () => {
    const demo = await demoBand();
    band = demo.band;
    [waltz, fast] = [itemAt(demo.songs, 0), itemAt(demo.songs, 1)];
  });

  it('in B tonight: guitar and banjo take their capos along, and say why', () => {
    const change = value(changeKey(fast, band.players, key('B')));
    expect(change.semitones).toBe(2);
    const said = change.players.map(({ instrument, after, shapes }) => [
      instrument,
      after.capo,
      keyName(shapes),
    ]);
    expect(said).toContainEqual(['guitar', 4, 'G']);
    expect(said).toContainEqual(['banjo', 4, 'G']);
    expect(said).toContainEqual(['fiddle', 0, 'B']);
    for (const { reasons, others } of change.players) {
      expect(reasons.length).toBeGreaterThan(0);
      expect(others.length).toBeGreaterThanOrEqual(0);
    }
  });

  it('fills that the capo carries along sound in the new key with the same frets; the others are named', () => {
    let carried = 0;
    for (const song of [waltz, fast]) {
      for (const name of ['G', 'Bb', 'B', 'D']) {
        const change = value(changeKey(song, band.players, key(name)));
        const answers = [...song.settled, ...song.proposals].filter(({ holding }) => holding.kind === 'fill');
        expect(change.fills.map(({ answerId }) => answerId)).toEqual(answers.map(({ id }) => id));
        for (const { answerId, playerId, fill } of change.fills) {
          const holding = must(
            answers.find(({ id }) => id === answerId),
            'the answer',
          ).holding;
          if (holding.kind !== 'fill' || fill === null) continue;
          carried += 1;
          const { instrument, capo, fifthCapo, tuning } = must(
            change.players.find((each) => each.playerId === playerId),
            'the player',
          ).after;
          const open = must(
            tuningsOf(instrument).find((each) => each.name === tuning),
            'the tuning',
          ).midi;
          fill.notes.forEach((note, i) => {
            const old = itemAt(holding.fill.notes, i);
            const raised = instrument === 'banjo' && note.string === 5 ? (fifthCapo ?? capo) : capo;
            expect(note.midi).toBe(itemAt(open, note.string - 1) + raised + note.fret);
            expect(pitchClassOf(note.midi - old.midi)).toBe(pitchClassOf(change.semitones));
            expect({ ...note, midi: 0 }).toEqual({ ...old, midi: 0 });
          });
        }
        const anew = change.fills.filter(({ fill }) => fill === null).length;
        expect(change.cautions.some((caution) => caution.includes('solved anew'))).toBe(anew > 0);
      }
    }
    expect(carried).toBeGreaterThan(5);
  });

  it('a guest’s range chooses the octave, and what lies outside is told', () => {
    const tune = must(tuneExtent(waltz), 'a tune');
    const low = { lowest: tune.lowest - 10, highest: tune.highest - 7 };
    expect(value(changeKey(waltz, band.players, key('B'), { range: low })).semitones).toBe(-8);
    const narrow = { lowest: tune.lowest, highest: tune.lowest + 3 };
    const { cautions } = value(changeKey(waltz, band.players, key('B'), { range: narrow }));
    expect(cautions.join()).toContain("singer's range");
  });

  it('another mode is no transposition', () => {
    expect(changeKey(waltz, band.players, key('Bm')).ok).toBe(false);
  });
});

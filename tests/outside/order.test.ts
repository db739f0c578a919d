import { describe, expect, it } from 'vitest';
import { randomFrom } from '@/lib/base';
import { betweenSongs, type Evening, EveningModel, orderSet } from '@/lib/sets';
import { banjo, evening, eveningByChance, guitar, mandolin, song } from '../unit/sets/evenings';
import { leastByIntegers } from './order-program';

describe('what players do between songs', () => {
  const steps = (from: Parameters<typeof song>[1], to: Parameters<typeof song>[1]) =>
    betweenSongs(song('from', from), song('to', to)).steps;

  // Common practice, no source: to play in A, banjo capo 2 and the fifth string up to A; in B, capo 4 and up to B.
  it.each([
    [2, 'A'],
    [4, 'B'],
  ])('with the capo at %i the fifth string goes up to %s', (capo, note) => {
    const from = { needs: [guitar(0), banjo(0)] };
    const to = { needs: [guitar(capo), banjo(capo)] };
    expect(steps(from, to)).toEqual([
      `guitar: capo to ${capo}`,
      `banjo: capo to ${capo}, fifth string up to ${note}`,
    ]);
    expect(steps(to, from)).toEqual(['guitar: capo off', 'banjo: capo off, fifth string down to G']);
  });

  // Common practice, no source: drop D lowers the guitar's sixth string from E2 to D2, two semitones, and nothing else; the banjo's double C
  // lowers its fourth from D3 to C3 and raises its second from B3 to C4.
  it('strings that two tunings share are left alone', () => {
    expect(steps({ needs: [guitar(0)] }, { needs: [guitar(0, 'drop D')] })).toEqual([
      'guitar: string 6 down to D2',
    ]);
    expect(steps({ needs: [banjo(0)] }, { needs: [banjo(0, null, 'double C')] })).toEqual([
      'banjo: string 2 up to C4, string 4 down to C3',
    ]);
    expect(steps({ needs: [banjo(0)] }, { needs: [banjo(0, null, 'open G')] })).toEqual([]);
  });

  // Common practice, no source: who takes up another instrument lays the first one down; who lays out has the whole song to change.
  it('another instrument is taken up as it rests; who lays out changes meanwhile', () => {
    const other = { needs: [guitar(3, 'standard', 'cass')] };
    expect(steps({ needs: [mandolin()] }, other)).toEqual(['cass: take up the guitar, capo to 3']);
    expect(steps({ needs: [] }, other)).toEqual([]);
    expect(steps(other, { needs: [] })).toEqual([]);
  });

  // Common practice, no source: talk covers a change; without it the crowd waits.
  it('what is said to the crowd covers a change of instrument', () => {
    const [from, to] = [{ needs: [mandolin()] }, { needs: [guitar(0, 'standard', 'cass')] }];
    const silent = betweenSongs(song('from', from), song('to', to));
    const spoken = betweenSongs(song('from', from), song('to', { ...to, talkSeconds: 30 }));
    expect(silent.waitingSeconds).toBeGreaterThan(0);
    expect(spoken).toMatchObject({ waitingSeconds: 0, seconds: 30, effortSeconds: silent.effortSeconds });
  });
});

describe('the trade’s advice for a set, where one order alone follows it', () => {
  const order = (wanted: Evening) => {
    const answer = orderSet(wanted);
    return answer.ok ? answer.value.order : [];
  };

  // Common practice, no source: as few capo moves as can be, a strong opener and closer, the singer's voice rested.
  it('keeps songs of one capo together, opens and closes strong, lets the other singer lead between', () => {
    const capos = [0, 4, 0, 4, 0, 4].map((capo, i) =>
      song(`s${i}`, { tempo: null, key: null, needs: [guitar(capo), banjo(capo)] }),
    );
    const places = order(evening(capos)).map(
      (id) => capos.find((each) => each.id === id)?.needs[0]?.setup.capo,
    );
    expect([
      [0, 0, 0, 4, 4, 4],
      [4, 4, 4, 0, 0, 0],
    ]).toContainEqual(places);
    const strong = [2, 5, 1, 4, 3].map((energy, i) => song(`s${i}`, { tempo: null, key: null, energy }));
    const found = order(evening(strong));
    expect([found[0], found.at(-1)]).toEqual(['s3', 's1']);
    const sung = ['ina', 'ina', 'ina', null, null].map((leadSinger, i) =>
      song(`s${i}`, { tempo: null, key: null, leadSinger }),
    );
    expect(order(evening(sung)).map((id) => sung.find((each) => each.id === id)?.leadSinger)).toEqual([
      'ina',
      null,
      'ina',
      null,
      'ina',
    ]);
  });
});

/**
 * Reference library: highs (an independent solver of integer programs), on the same cost tables. The tables themselves are held against every
 * term of whole orders in the unit tests.
 */
describe('the same order as an integer program', () => {
  const evenings: [string, Evening][] = [
    ...[5, 7, 9, 10].map((count): [string, Evening] => [
      `${count} songs`,
      eveningByChance(count, randomFrom(100 + count)),
    ]),
    ['two sets', eveningByChance(9, randomFrom(3), { sets: [5, 4] })],
    [
      'a medley, near and apart',
      eveningByChance(9, randomFrom(5), {
        joined: [['s2', 's6']],
        near: [['s0', 's8']],
        apart: [['s1', 's3']],
      }),
    ],
  ];
  const plain = eveningByChance(10, randomFrom(6));
  evenings.push([
    'two songs held',
    {
      ...plain,
      songs: plain.songs.map((each, i) =>
        i === 4 ? { ...each, place: 0 } : i === 7 ? { ...each, place: 6 } : each,
      ),
    },
  ]);

  it.each(evenings)('%s: costs as much', async (_, wanted) => {
    const answer = orderSet(wanted);
    if (!answer.ok) throw new Error(answer.error.what);
    const held = new Map(
      wanted.songs.flatMap(({ place }, i) => (place === null ? [] : [[place, i] as const])),
    );
    const { cost } = await leastByIntegers(new EveningModel(wanted).tables, held);
    expect(Math.round(answer.value.total * 10)).toBe(cost);
  });
});

import { describe, expect, it } from 'vitest';
import { itemAt, must } from '@/lib/base';
import { arrange, holdingInWords, putForward, whereInWords } from '@/lib/parts';
import type { Answer, Band, Holding, Song, Vote } from '@/lib/song';
import { demoBand } from '@/server/demo';

const demo = await demoBand();
const bare: Song = { ...itemAt(demo.songs, 0), settled: [], proposals: [], votes: [], comments: [] };
const { spaces } = arrange(bare);
const [ann, ben, cy, dot] = ['ann', 'ben', 'cy', 'dot'];
const players = ['ann', 'ben', 'cy', 'dot'].map((id) => ({
  ...itemAt(demo.band.players, 0),
  id,
  name: id.toUpperCase(),
}));
const band = (fields: Partial<Band>): Band => ({
  ...demo.band,
  players,
  leaderId: null,
  votes: false,
  ...fields,
});
const has = (playerId: string): Holding => ({ kind: 'ad lib', playerId });

/** An answer for the how manyth space of the song. */
const answer = (id: string, at: number, by: string | null, holding: Holding = has('ben')): Answer => ({
  id,
  place: itemAt(spaces, at).place,
  extent: { from: 0, to: 960 },
  holding,
  by,
  at: 1,
});
const votes = (...said: readonly (readonly [string, boolean])[]): readonly Vote[] =>
  said.map(([playerId, yes]) => ({ proposalId: 'p', playerId, yes }));

/** The ids that wait for a player. */
function waiting(song: Partial<Song>, on: Band, you: string | null): readonly string[] {
  const put = putForward(arrange({ ...bare, ...song }), on, [], you);
  return put.filter(({ waits }) => waits).map((one) => one.answer.id);
}

describe('what is put to the band over a song', () => {
  it('stands in the order of the song, whatever hangs on nothing any more last', () => {
    const gone = {
      ...answer('gone', 0, ann),
      place: { passId: 'no such pass', noteId: null, voiceId: null },
    };
    const proposals = [gone, answer('late', 5, ann), answer('early', 1, ben), answer('middle', 3, cy)];
    const put = putForward(arrange({ ...bare, proposals }), band({}), [], ann);
    expect(put.map((one) => one.answer.id)).toEqual(['early', 'middle', 'late', 'gone']);
    expect(put.map(({ space }) => space?.id ?? null)).toEqual([
      itemAt(spaces, 1).id,
      itemAt(spaces, 3).id,
      itemAt(spaces, 5).id,
      null,
    ]);
    expect(put.at(-1)?.waits).toBe(false);
    expect(
      putForward(arrange({ ...bare, proposals }), band({}), [itemAt(proposals, 1)], ann).map(
        (one) => one.answer.id,
      ),
    ).toEqual(['early', 'middle', 'gone']);
  });

  it('without votes waits for whose word it is, and not for who put it forward', () => {
    const proposals = [answer('p', 2, ben)];
    const led = band({ leaderId: ann });
    expect([ann, ben, cy, null].map((you) => waiting({ proposals }, led, you ?? null))).toEqual([
      ['p'],
      [],
      [],
      [],
    ]);
    // Nobody leads and nobody holds it: anybody else says.
    expect([ann, ben, cy].map((you) => waiting({ proposals }, band({}), you ?? null).length)).toEqual([
      1, 0, 1,
    ]);
    // Who holds the space says, too.
    const settled = [answer('s', 2, cy, has('cy'))];
    expect(
      [ann, ben, cy, dot].map((you) => waiting({ proposals, settled }, led, you ?? null).length),
    ).toEqual([1, 0, 1, 0]);
  });

  it('with votes waits for whose yes or no is missing while it can be carried, and for all once it is', () => {
    const proposals = [answer('p', 2, ben)];
    const voting = band({ leaderId: ann, votes: true });
    const each = (given: readonly Vote[]) =>
      [ann, ben, cy, dot].map((you) => waiting({ proposals, votes: given }, voting, you ?? null).length);
    expect(each([])).toEqual([1, 1, 1, 1]);
    // Ann leads, and may settle it anyhow.
    expect(each(votes(['ann', true], ['cy', false]))).toEqual([1, 1, 0, 1]);
    // Two no of four: it cannot be carried, so that no vote is missing.
    expect(each(votes(['dot', false], ['cy', false]))).toEqual([1, 0, 0, 0]);
    expect(each(votes(['ann', true], ['ben', true], ['cy', true]))).toEqual([1, 1, 1, 1]);
  });

  it('is said with its place', () => {
    const arrangement = arrange(bare);
    const space = must(
      spaces.find(({ kind }) => kind === 'instrumental'),
      'a pass in which nobody sings',
    );
    expect(whereInWords(arrangement, space.place)).toMatch(/^.+, nobody sings$/);
    expect(whereInWords(arrangement, { ...space.place, passId: 'no such pass' })).toBe('a pass that is gone');
    const fill = { family: 'answer', notes: [], chords: [] };
    expect(holdingInWords({ kind: 'fill', playerId: 'ben', fill }, players)).toBe('an answer for BEN');
    expect(
      holdingInWords({ kind: 'fill', playerId: 'ben', fill: { ...fill, family: 'run up' } }, players),
    ).toBe('a run up for BEN');
    expect(holdingInWords(has('gone'), players)).toBe('somebody who has left, ad lib');
    expect(holdingInWords({ kind: 'left open' }, players)).toBe('left open');
  });
});

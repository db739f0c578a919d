import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Answer,
  type Holding,
  mayJustSettle,
  type Place,
  type Player,
  tallyOf,
  type Vote,
  whoseWord,
  wordOnLettingGo,
  wordOnProposal,
  wordOnSettling,
  wordOnStandingIn,
} from '@/lib/song';

const player = (id: string): Player => ({
  id,
  name: id.toUpperCase(),
  initials: id,
  instruments: ['guitar'],
  sings: 'none',
  rule: 'toward',
  comfortEighthsPerMinute: null,
  spanMillimetres: null,
  range: null,
  ink: 0,
});
const players = ['ann', 'ben', 'cy', 'dot'].map(player);
const has = (playerId: string): Holding => ({ kind: 'ad lib', playerId });
const OPEN: Holding = { kind: 'left open' };

describe('whose word it is', () => {
  it('is the leader’s and the player’s own that somebody stands in for them, and anybody’s where nobody leads', () => {
    const led = { players, leaderId: 'ann' };
    expect(wordOnStandingIn(led, 'ben').playerIds).toEqual(['ann', 'ben']);
    expect(wordOnStandingIn(led, 'ben').reason.detail).toBe('ANN leads the band and decides who stands in');
    expect(wordOnStandingIn(led, 'ann').playerIds).toEqual(['ann']);
    expect(mayJustSettle(wordOnStandingIn(led, 'ben'), 'cy')).toBe(false);
    // Who has left the band leads it no more.
    for (const leaderId of [null, 'gone'])
      expect(mayJustSettle(wordOnStandingIn({ players, leaderId }, 'ben'), null)).toBe(true);
  });

  it('is the holder’s about notes and the leader’s about who holds; both may settle', () => {
    const cases: readonly (readonly [
      string | null,
      Holding | null,
      Holding | null,
      readonly string[],
      string,
    ])[] = [
      ['ann', has('ben'), has('ben'), ['ben', 'ann'], 'BEN holds it and decides about its notes'],
      ['ann', has('ben'), has('cy'), ['ann', 'ben'], 'ANN leads the band and decides who holds it'],
      ['ann', has('ben'), OPEN, ['ann', 'ben'], 'ANN leads the band and decides who holds it'],
      ['ann', has('ben'), null, ['ann', 'ben'], 'ANN leads the band and decides who holds it'],
      ['ann', has('ann'), has('ann'), ['ann'], 'ANN holds it and decides about its notes'],
      ['ann', null, has('cy'), ['ann'], 'ANN leads the band and decides who holds it'],
      ['ann', OPEN, has('cy'), ['ann'], 'ANN leads the band and decides who holds it'],
      [null, has('ben'), has('cy'), ['ben'], 'BEN holds it and decides who has it next'],
      [null, null, has('cy'), [], 'nobody holds it and the band has named no leader: anybody settles it'],
      [
        'gone',
        has('gone'),
        has('cy'),
        [],
        'nobody holds it and the band has named no leader: anybody settles it',
      ],
    ];
    for (const [leaderId, standing, next, playerIds, detail] of cases) {
      const word = whoseWord({ leaderId, players }, standing, next);
      expect(word.playerIds).toEqual(playerIds);
      expect(word.reason.detail).toBe(detail);
      for (const { id } of players)
        expect(mayJustSettle(word, id)).toBe(playerIds.length === 0 || playerIds.includes(id));
      expect(mayJustSettle(word, null)).toBe(playerIds.length === 0);
    }
  });
});

describe('of two answers that were settled at once', () => {
  it('who settled the other may let go of it too; nobody else is added', () => {
    const stands = { holding: has('ben') };
    const may = (leaderId: string | null, holding: Holding, by: string | null) =>
      wordOnLettingGo({ leaderId, players }, { holding }, { by }).playerIds;
    expect(may('ann', stands.holding, 'cy')).toEqual(['ben', 'ann', 'cy']);
    expect(may('ann', stands.holding, 'ann')).toEqual(['ben', 'ann']);
    expect(may('ann', stands.holding, null)).toEqual(['ben', 'ann']);
    expect(may('ann', OPEN, 'cy')).toEqual(['ann', 'cy']);
    // Anybody's stays anybody's.
    expect(may(null, OPEN, 'cy')).toEqual([]);
  });
});

describe('a tally', () => {
  it('is carried by more than half of the band, and knows nobody who has left', () => {
    const someone = fc.constantFrom('ann', 'ben', 'cy', 'dot', 'gone');
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 4 }),
        fc.uniqueArray(
          fc.record({ playerId: someone, yes: fc.boolean(), proposalId: fc.constantFrom('p', 'q') }),
          { selector: (vote) => `${vote.proposalId} ${vote.playerId}` },
        ),
        (size, votes) => {
          const band = { players: players.slice(0, size) };
          const { yes, no, silent, carried } = tallyOf({ id: 'p' }, { votes }, band);
          expect([...yes, ...no, ...silent].sort()).toEqual(band.players.map(({ id }) => id).sort());
          for (const id of yes) expect(votes).toContainEqual({ playerId: id, yes: true, proposalId: 'p' });
          for (const id of no) expect(votes).toContainEqual({ playerId: id, yes: false, proposalId: 'p' });
          // The least number that is more than half: 1 of 1, 2 of 2, 2 of 3, 3 of 4.
          const least = [Number.POSITIVE_INFINITY, 1, 2, 2, 3][size] ?? Number.NaN;
          expect(carried).toBe(yes.length >= least);
        },
      ),
      { numRuns: 200 },
    );
  });
});

/** Votes on `p`, as `+` yes and `-` no, in the players' order. */
const said = (signs: string): readonly Vote[] =>
  [...signs].flatMap((sign, i) =>
    sign === '.' ? [] : [{ proposalId: 'p', playerId: players[i]?.id ?? '', yes: sign === '+' }],
  );

describe('what was put to the band', () => {
  it('is carried, wants so many more, or cannot carry any more, as counted by hand', () => {
    // Common practice, no source: a majority is more than half of all who belong, not of those who voted.
    const cases: readonly (readonly [size: number, votes: string, missing: number, canCarry: boolean])[] = [
      [4, '....', 3, true],
      [4, '+++.', 0, true],
      [4, '++..', 1, true],
      [4, '++-.', 1, true],
      [4, '++--', 1, false],
      [4, '--..', 3, false],
      [3, '+..', 1, true],
      [3, '+-.', 1, true],
      [3, '--.', 2, false],
      [2, '+-', 1, false],
      [2, '++', 0, true],
      [1, '-', 1, false],
    ];
    for (const [size, votes, missing, canCarry] of cases) {
      const tally = tallyOf({ id: 'p' }, { votes: said(votes) }, { players: players.slice(0, size) });
      expect([votes, tally.missing, tally.canCarry, tally.carried]).toEqual([
        votes,
        missing,
        canCarry,
        missing === 0,
      ]);
    }
  });

  it('is anybody’s to settle once it is carried, where the band votes, and else as any other answer', () => {
    const put = { id: 'p', holding: has('cy') };
    const band = { leaderId: 'ann', players, votes: true };
    const carried = { votes: said('+++.') };
    const open = { votes: said('++..') };
    const may = (on: typeof band, votes: typeof open) =>
      players
        .map(({ id }) => id)
        .filter((id) => mayJustSettle(wordOnProposal(on, votes, has('ben'), put), id));
    expect(may(band, carried)).toEqual(['ann', 'ben', 'cy', 'dot']);
    expect(wordOnProposal(band, carried, has('ben'), put).reason.detail).toBe(
      'more than half of the band said yes: anybody settles it',
    );
    expect(may(band, open)).toEqual(['ann', 'ben']);
    expect(may({ ...band, votes: false }, carried)).toEqual(['ann', 'ben']);
    expect(wordOnProposal(band, open, has('ben'), put)).toEqual(whoseWord(band, has('ben'), put.holding));
  });
});

describe('what a plan says, or a mend', () => {
  const here: Place = { passId: 'verse', noteId: 'n1', voiceId: 'lead' };
  const there: Place = { ...here, noteId: 'n2' };
  const answer = (id: string, place: Place, holding: Holding): Answer => ({
    id,
    place,
    extent: { from: 0, to: 960 },
    holding,
    by: null,
    at: 0,
  });
  const band = { leaderId: 'ann', players, votes: true };
  const song = { settled: [answer('s', here, has('ben'))], proposals: [], votes: [] };
  const may = (
    on: Parameters<typeof wordOnSettling>[0],
    place: Place,
    next: Holding | null,
    of: Parameters<typeof wordOnSettling>[1] = song,
  ) => wordOnSettling(on, of, place, next).playerIds;

  it('is asked for over what stands at that very place', () => {
    // Ben holds `here`: its notes are his, who else has it the leader's. Nobody holds `there`.
    expect(may(band, here, has('ben'))).toEqual(['ben', 'ann']);
    expect(may(band, here, has('cy'))).toEqual(['ann', 'ben']);
    expect(may(band, here, null)).toEqual(['ann', 'ben']);
    expect(may(band, there, has('ben'))).toEqual(['ann']);
    expect(may({ ...band, leaderId: null }, here, null)).toEqual(['ben']);
    expect(may({ ...band, leaderId: null }, there, has('ben'))).toEqual([]);
  });

  it('is anybody’s where the band has carried that very answer for that place, and votes', () => {
    const put = [answer('p', there, has('cy')), answer('q', there, OPEN)];
    const carried = { ...song, proposals: put, votes: said('+++.') };
    expect(may(band, there, has('cy'), carried)).toEqual([]);
    expect(may(band, there, has('dot'), carried)).toEqual(['ann']);
    expect(may(band, there, OPEN, carried)).toEqual(['ann']);
    expect(may(band, here, has('cy'), carried)).toEqual(['ann', 'ben']);
    expect(may({ ...band, votes: false }, there, has('cy'), carried)).toEqual(['ann']);
    expect(may(band, there, has('cy'), { ...carried, votes: said('++..') })).toEqual(['ann']);
  });
});

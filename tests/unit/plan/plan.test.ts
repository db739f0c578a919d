import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import {
  allBestOffers,
  findClashes,
  type Plan,
  type PlanRequest,
  planSpaces,
  settlingOfEntry,
} from '../../../lib/plan';
import { type FreedomContext, whoIsFree } from '../../../lib/players';
import { type Answer, roadmapTimeline } from '../../../lib/song';
import { findSpaces } from '../../../lib/spaces';
import { demoBand } from '../../../server/demo';

let requests: readonly PlanRequest[] = [];
let plans: readonly Plan[] = [];

beforeAll(async () => {
  const { band, songs } = await demoBand();
  requests = songs.map((song) => {
    const timeline = roadmapTimeline(song);
    const context: FreedomContext = {
      timeline,
      players: band.players,
      spaces: findSpaces(timeline),
      settled: song.settled,
    };
    return { ...context, fits: allBestOffers(context), openShare: band.openShare };
  });
  plans = requests.map((request) => planSpaces(request).plan);
});

const accepted = (plan: Plan): readonly Answer[] =>
  plan.entries
    .filter(({ settled }) => !settled)
    .map((entry, i) => ({ ...settlingOfEntry(entry), id: `planned-${i}`, by: null, at: 0 }));

describe('planSpaces', () => {
  it('answers each space once, in time order, with a cost that is the sum of its reasons', () => {
    plans.forEach((plan, i) => {
      const { spaces } = itemAt(requests, i);
      expect(plan.entries.map(({ space }) => space.id)).toEqual(spaces.map(({ id }) => id));
      for (const { cost, reasons } of plan.entries)
        expect(reasons.reduce((sum, { weight }) => sum + weight, 0)).toBe(cost);
      expect(plan.entries.reduce((sum, { cost }) => sum + cost, 0)).toBe(plan.total);
      expect(plan.exact).toBe(true);
      expect(plan.lowerBound).toBe(plan.total);
    });
  });

  it('does not hold against the only player that they go on', () => {
    for (const full of requests) {
      const players = full.players.filter(({ instruments }) => instruments.includes('guitar')).slice(0, 1);
      const context = { ...full, players, settled: [] };
      const { plan } = planSpaces({ ...context, fits: allBestOffers(context) });
      const held = plan.entries.filter(({ holder }) => holder !== null);
      expect(held.length).toBeGreaterThan(0);
      expect(held.flatMap(({ reasons }) => reasons.map(({ rule }) => rule))).not.toContain('staysOn');
    }
  });

  it('gives a space only to who is free for it, and keeps to what is settled', () => {
    plans.forEach((plan, i) => {
      const request = itemAt(requests, i);
      for (const { space, holder, settled } of plan.entries) {
        if (holder === null || settled) continue;
        const freedom = whoIsFree(space, request).find(({ playerId }) => playerId === holder);
        expect(freedom?.free, space.id).toBe(true);
      }
      expect(plan.entries.filter(({ settled }) => settled)).toHaveLength(request.settled.length);
      for (const { place, holding } of request.settled) {
        const entry = must(
          plan.entries.find(
            ({ space }) => space.place.noteId === place.noteId && space.place.passId === place.passId,
          ),
          'its entry',
        );
        expect(entry.holder).toBe(holding.kind === 'left open' ? null : holding.playerId);
      }
    });
  });

  it('shares turns, and leaves about as many spaces open as the band wants', () => {
    plans.forEach((plan, i) => {
      const { players, openShare } = itemAt(requests, i);
      const sung = plan.entries.filter(({ space }) => space.kind !== 'instrumental');
      const open = sung.filter(({ holder }) => holder === null).length;
      expect(Math.abs(open - openShare * sung.length)).toBeLessThanOrEqual(1.5);
      const turns = players
        .filter(({ instruments }) => !instruments.includes('bass'))
        .map(({ id }) => plan.entries.filter(({ holder }) => holder === id).length);
      expect(Math.max(...turns) - Math.min(...turns)).toBeLessThanOrEqual(3);
    });
  });

  it('changes holders mostly between passes or at their halves', () => {
    const rules = plans.flatMap(({ entries }) =>
      entries.flatMap(({ reasons }) => reasons.map(({ rule }) => rule)),
    );
    const count = (rule: string) => rules.filter((each) => each === rule).length;
    expect(count('changeInside')).toBeLessThan(
      (count('nextTurn') + count('changeAtHalf') + count('keeps')) / 4,
    );
  });

  it('accepted whole, brings no clash that was not there before', () => {
    plans.forEach((plan, i) => {
      const request = itemAt(requests, i);
      const told = (settled: readonly Answer[]) =>
        findClashes({ ...request, settled }).map(({ rule, spaceId }) => `${rule} ${spaceId}`);
      const before = new Set(told(request.settled));
      expect(told([...request.settled, ...accepted(plan)]).filter((clash) => !before.has(clash))).toEqual([]);
    });
  });

  it('leaves all open where that is wanted, and none that somebody could fill where it is not', () => {
    const request = { ...itemAt(requests, 0), settled: [] };
    const openOf = (openShare: number) =>
      planSpaces({ ...request, openShare }).plan.entries.filter(
        ({ space, holder }) => holder === null && space.kind !== 'instrumental',
      ).length;
    const all = request.spaces.filter(({ kind }) => kind !== 'instrumental').length;
    expect(openOf(1)).toBeGreaterThanOrEqual(all - 1);
    expect(openOf(0)).toBeLessThanOrEqual(1);
    expect(openOf(0.5)).toBeGreaterThan(openOf(0.2));
  });

  it('says what would be next best, never for less', () => {
    const planned = planSpaces(itemAt(requests, 1));
    for (const { space, holder, settled } of planned.plan.entries.slice(0, 6)) {
      const next = planned.nextBest(space.id);
      if (settled) expect(next).toBeNull();
      else if (next) {
        expect(next.holder).not.toBe(holder);
        expect(next.more).toBeGreaterThanOrEqual(0);
      }
    }
  });
});

import { describe, expect, it } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { findClashes, planSpaces, settlingOf } from '../../../lib/plan';
import type { FreedomContext } from '../../../lib/players';
import { type Answer, type OneMicrophone, type Player, writtenTimeline } from '../../../lib/song';
import { findSpaces } from '../../../lib/spaces';
import { somebody } from '../players/somebody';
import { QUARTER, tinySong } from '../spaces/tiny-song';

const player = (id: string, more: Partial<Player> = {}): Player =>
  somebody(id, { rule: 'alternate', initials: id, ...more });
const PLAYERS = [
  player('Ann', { sings: 'lead', instruments: ['voice'] }),
  player('Ben', { instruments: ['banjo'] }),
  player('Cy', { instruments: ['fiddle'] }),
];

/** At 120, with a second each way: four beats of a space are gone for who comes in and makes room again. */
function contextOf(
  rest: number,
  microphone: OneMicrophone | null,
  settled: readonly Answer[] = [],
): FreedomContext {
  const song = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: `4 z${rest} 4 z${rest} 4` }] }], {
    tempo: 120,
  });
  const timeline = writtenTimeline(song);
  return { timeline, players: PLAYERS, spaces: findSpaces(timeline), settled, microphone };
}

const around = (places: readonly string[]): OneMicrophone => ({ inSeconds: 1, outSeconds: 1, places });

const adLib = (context: FreedomContext, at: number, playerId: string, beats: number): Answer => ({
  id: `ad lib ${at}`,
  place: itemAt(context.spaces, at).place,
  extent: { from: 4 * QUARTER, to: (4 + beats) * QUARTER },
  holding: { kind: 'ad lib', playerId },
  by: null,
  at,
});

// Common practice, no source: the one who has just played must get out of the way; values counted by hand.
describe('clashes around one microphone', () => {
  it('tell where somebody cannot get to it in time, and are mended', () => {
    const places = ['Ann', 'Ben', 'Cy'];
    const bare = contextOf(3, around(places));
    const settled = [adLib(bare, 0, 'Ben', 3)];
    expect(findClashes(contextOf(3, null, settled))).toEqual([]);
    const context = contextOf(3, around(places), settled);
    const clashes = findClashes(context);
    expect(clashes.map(({ rule, players, detail }) => [rule, players, detail])).toEqual([
      [
        'not at the microphone',
        ['Ben'],
        'Ben has no time in 3 beats to come in to the microphone and make room for the singer',
      ],
    ]);
    const { edit } = itemAt(clashes, 0).mend;
    const { place, extent, holding } = must(settlingOf(edit, context), 'a mend');
    const mended = [{ ...itemAt(settled, 0), place, extent, holding }];
    expect(findClashes(contextOf(3, around(places), mended))).toEqual([]);
  });

  it('are none where there is time', () => {
    const microphone = around(['Ann', 'Ben', 'Cy']);
    const bare = contextOf(8, microphone);
    expect(findClashes(contextOf(8, microphone, [adLib(bare, 0, 'Ben', 8)]))).toEqual([]);
  });
});

describe('a plan around one microphone', () => {
  // Four places, so that two stand on each side: Ben, on Ann's, meets her on the way in and out; Cy, on the other, never.
  const BEN_BY_ANN = ['Ben', 'Ann', 'gone', 'Cy'];
  const CY_BY_ANN = ['Cy', 'Ann', 'gone', 'Ben'];
  const heldOf = (players: readonly Player[], places: readonly string[]) =>
    planSpaces({
      ...contextOf(8, around(places)),
      players,
      fits: new Map(),
      openShare: 0,
    }).plan.entries.filter(({ holder }) => holder !== null);

  it('counts whom a holder crosses, there and back', () => {
    const held = heldOf(PLAYERS.slice(0, 2), BEN_BY_ANN);
    expect(held.length).toBeGreaterThan(0);
    for (const { reasons } of held)
      expect(reasons.filter(({ rule }) => rule === 'crosses')).toEqual([
        { rule: 'crosses', weight: 4, detail: 'crosses Ann at the microphone, there and back' },
      ]);
  });

  it('rather gives a space to who crosses nobody', () => {
    const first = (places: readonly string[]) => heldOf(PLAYERS, places)[0]?.holder;
    expect([first(BEN_BY_ANN), first(CY_BY_ANN)]).toEqual(['Cy', 'Ben']);
  });

  it('gives no space to who has no time to come in', () => {
    const { plan } = planSpaces({
      ...contextOf(3, around(['Ann', 'Ben', 'Cy'])),
      fits: new Map(),
      openShare: 0,
    });
    expect(plan.entries.map(({ holder }) => holder)).toEqual(plan.entries.map(() => null));
  });
});

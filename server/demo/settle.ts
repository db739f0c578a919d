import { itemAt, type MakeId, must } from '../../lib/base';
import { fillOf, offerFills, originOf } from '../../lib/fills';
import { whoIsFree } from '../../lib/players';
import { type Answer, type Holding, roadmapTimeline, type Song } from '../../lib/song';
import { findSpaces, narrowSpace, type Space } from '../../lib/spaces';
import type { DemoPlayerName, DemoPlayers } from './players';

/** What the demo's band has said about a space, found by its pass and its place among that pass's spaces, from 0. */
export interface PlannedAnswer {
  readonly pass: string;
  readonly space: number;
  readonly by: DemoPlayerName;
  readonly holding:
    | { readonly kind: 'fill'; readonly holder: DemoPlayerName; readonly rank: number }
    | { readonly kind: 'ad lib'; readonly holder: DemoPlayerName }
    | { readonly kind: 'left open' };
}

const fill = (holder: DemoPlayerName, rank = 1) => ({ kind: 'fill', holder, rank }) as const;
const adLib = (holder: DemoPlayerName) => ({ kind: 'ad lib', holder }) as const;
const LEFT_OPEN = { kind: 'left open' } as const;

/** The last verse ends on what was kept of the snow: after it nobody plays. */
export const WALTZ_ANSWERS: readonly PlannedAnswer[] = [
  { pass: 'Verse 1', space: 0, by: 'fiddle', holding: adLib('fiddle') },
  { pass: 'Chorus 1', space: 3, by: 'guitar', holding: fill('guitar') },
  { pass: 'Verse 2', space: 2, by: 'banjo', holding: fill('banjo') },
  { pass: 'Verse 3', space: 2, by: 'guitar', holding: LEFT_OPEN },
];

/** The preacher drops the ring in the third verse, and the band with it. */
export const FAST_ANSWERS: readonly PlannedAnswer[] = [
  { pass: 'Verse 1', space: 0, by: 'banjo', holding: fill('banjo') },
  { pass: 'Verse 1', space: 2, by: 'banjo', holding: fill('banjo') },
  { pass: 'Verse 2', space: 0, by: 'mandolin', holding: adLib('mandolin') },
  { pass: 'Verse 2', space: 3, by: 'guitar', holding: fill('guitar') },
  { pass: 'Verse 3', space: 2, by: 'guitar', holding: LEFT_OPEN },
];

/** An evening of practice before the gig, a minute between one answer and the next. */
const PRACTICE = Date.UTC(2026, 9, 14, 18, 30);
const MINUTE = 60_000;
/** Offers are looked through as the page shows them. */
const LOOKED_AT = 6;

/** The planned answers as settled ones, one after another; fills from what the program offers the holder for the time that they have there. */
export function settle(
  song: Song,
  planned: readonly PlannedAnswer[],
  players: DemoPlayers,
  makeId: MakeId,
): readonly Answer[] {
  const timeline = roadmapTimeline(song);
  const spaces = findSpaces(timeline);
  const settled: Answer[] = [];
  planned.forEach(({ pass: name, space: index, by, holding }, i) => {
    const pass = must(
      song.passes.find((each) => each.name === name),
      `the pass '${name}'`,
    );
    const space = itemAt(
      spaces.filter((each) => each.place.passId === pass.id),
      index,
    );
    const origin = originOf(space);
    const extent = { from: space.startTick - origin, to: space.endTick - origin };
    const held: Holding =
      holding.kind === 'fill'
        ? {
            kind: 'fill',
            playerId: players[holding.holder].id,
            fill: offered(holding.holder, holding.rank, space),
          }
        : holding.kind === 'ad lib'
          ? { kind: 'ad lib', playerId: players[holding.holder].id }
          : holding;
    settled.push({
      id: makeId(),
      place: space.place,
      extent,
      holding: held,
      by: players[by].id,
      at: PRACTICE + i * MINUTE,
    });
  });
  return settled;

  function offered(holder: DemoPlayerName, rank: number, space: Space) {
    const player = players[holder];
    const setting = must(
      song.settings.find((each) => each.playerId === player.id),
      `the setting of ${player.name}`,
    );
    const context = { timeline, players: Object.values(players), spaces, settled };
    const freedom = whoIsFree(space, context).find(({ playerId }) => playerId === player.id);
    const own = narrowSpace(space, must(freedom?.stretch, `time for ${player.name}`), timeline);
    const offers = offerFills({
      timeline,
      space: own,
      setup: setting,
      rule: setting.rule ?? player.rule,
      spanMillimetres: player.spanMillimetres,
      comfortEighthsPerMinute: player.comfortEighthsPerMinute,
      count: LOOKED_AT,
    });
    if (!offers.ok) throw new Error(`no offers for ${player.name}: ${offers.error.what}`);
    return fillOf(itemAt(offers.value, rank - 1), space).fill;
  }
}

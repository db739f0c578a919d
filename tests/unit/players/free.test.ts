import { describe, expect, it } from 'vitest';
import { itemAt } from '../../../lib/base';
import { type FreedomContext, whoIsFree } from '../../../lib/players';
import {
  type Answer,
  type Pass,
  type Player,
  roadmapTimeline,
  type Song,
  type Timeline,
  writtenTimeline,
} from '../../../lib/song';
import { findSpaces } from '../../../lib/spaces';
import { QUARTER, tinySong } from '../spaces/tiny-song';
import { somebody } from './somebody';

const player = (id: string, more: Partial<Player> = {}): Player =>
  somebody(id, { name: id.toUpperCase(), initials: id, rule: 'alternate', ...more });

function contextOf(timeline: Timeline, players: Player[], settled: readonly Answer[] = []): FreedomContext {
  return { timeline, players, spaces: findSpaces(timeline), settled };
}

/** For each space: who is free (+) and who is not (−), each with the reasons. */
function said(context: FreedomContext): string[][] {
  return context.spaces.map((space) =>
    whoIsFree(space, context).map(
      ({ playerId, free, reasons }) =>
        `${playerId} ${free ? '+' : '-'} ${reasons.map((reason) => reason.detail).join('; ')}`,
    ),
  );
}

function adLib(song: Song, noteId: string, playerId: string, quarters: [number, number]): Answer {
  return {
    id: `${noteId}-${playerId}`,
    place: { passId: 'written', noteId, voiceId: song.voices[0]?.id ?? null },
    extent: { from: quarters[0] * QUARTER, to: quarters[1] * QUARTER },
    holding: { kind: 'ad lib', playerId },
    by: null,
    at: 0,
  };
}

const verse = (notes: string, tenor?: string) => ({
  name: 'Verse',
  voices: [{ part: 'lead' as const, notes }, ...(tenor ? [{ part: 'tenor' as const, notes: tenor }] : [])],
});

describe('whoIsFree', () => {
  it('lets a singer take a space that leaves time to come back, and no shorter one', () => {
    const timeline = writtenTimeline(tinySong([verse('1 1 1 z5 1 1 1 1 1 1 z2 1 1 1 1')]));
    const context = contextOf(timeline, [player('ann', { sings: 'lead' }), player('bo')]);
    expect(said(context)).toEqual([
      ['ann + there is time enough for a fill; sings lead again from bar 3', 'bo + does not sing here'],
      ['ann - sings lead again from bar 5', 'bo + does not sing here'],
    ]);
    const [ann] = whoIsFree(itemAt(context.spaces, 0), context);
    expect(ann?.stretch).toEqual({ startTick: 3 * QUARTER, endTick: 7 * QUARTER });
    expect(ann?.reasons[1]?.weight).toBe(-1);
  });

  it('gives a singer half a second where a beat is shorter', () => {
    const timeline = writtenTimeline(tinySong([verse('4 z4 4')], { tempo: 240 }));
    const context = contextOf(timeline, [player('ann', { sings: 'lead' })]);
    expect(whoIsFree(itemAt(context.spaces, 0), context)[0]?.stretch?.endTick).toBe(6 * QUARTER);
  });

  it('keeps a harmony singer out of what they sing, and says until when', () => {
    const timeline = writtenTimeline(tinySong([verse('4 z8 4', '12 4')]));
    const context = contextOf(timeline, [
      player('bo', { sings: 'tenor' }),
      player('cy', { sings: 'baritone' }),
    ]);
    expect(said(context)).toEqual([
      [
        'bo - sings tenor to the end of bar 4',
        'cy + there is time enough for a fill; sings baritone again from bar 4',
      ],
    ]);
  });

  it('gives a break to its holder, keeps them free before it, and the others out of it', () => {
    const passes: Partial<Pass>[] = [
      { roles: { ann: 'lead', bo: 'harmony', cy: 'lay out' } },
      { stanza: null, roles: { bo: 'break' } },
    ];
    const timeline = roadmapTimeline(tinySong([verse('1 1 1 z5 4 z4')], { passes }));
    const context = contextOf(timeline, [
      player('ann', { sings: 'lead' }),
      player('bo', { sings: 'tenor' }),
      player('cy'),
      player('di'),
    ]);
    expect(said(context)).toEqual([
      [
        'ann + there is time enough for a fill; sings lead again from bar 3',
        'bo + there is time enough for a fill; sings tenor again from bar 3',
        'cy - lays out in Verse 1',
        'di + plays backup here',
      ],
      [
        'ann + does not sing again',
        'bo - takes the break in bar 5',
        'cy - lays out in Verse 1',
        'di + plays backup here',
      ],
      [
        'ann - BO has the break',
        'bo + takes the break here',
        'cy - BO has the break',
        'di - BO has the break',
      ],
    ]);
  });

  it('knows the other fills of a player, but not the one that stands on the space itself', () => {
    const song = tinySong([verse('1 1 1 z5 1 1 1 1 1 1 z6 1 1 1 1')]);
    const timeline = writtenTimeline(song);
    const answers = [adLib(song, 's1v1n3', 'ann', [1, 6]), adLib(song, 's1v1n9', 'bo', [1, 7])];
    const context = contextOf(timeline, [player('ann'), player('bo')], answers);
    expect(said(context)).toEqual([
      ['ann + does not sing here', 'bo + does not sing here'],
      ['ann + does not sing here', 'bo + does not sing here'],
    ]);
    const longer = contextOf(
      timeline,
      [player('ann'), player('bo')],
      [adLib(song, 's1v1n3', 'ann', [1, 16]), adLib(song, 's1v1n9', 'bo', [-6, 7])],
    );
    expect(said(longer)).toEqual([
      ['ann + does not sing here', 'bo + there is time enough for a fill; has the fill in bar 2, beat 4'],
      ['ann - has the fill in bar 1, beat 4', 'bo + does not sing here'],
    ]);
  });

  it('lets the last answer for a place stand', () => {
    const song = tinySong([verse('1 1 1 z5 1 1 1 1 1 1 z6 1 1 1 1')]);
    const context = contextOf(
      writtenTimeline(song),
      [player('ann')],
      [adLib(song, 's1v1n3', 'ann', [1, 20]), adLib(song, 's1v1n3', 'bo', [1, 20])],
    );
    expect(said(context)[1]).toEqual(['ann + does not sing here']);
  });

  it('asks for an instrument', () => {
    const context = contextOf(writtenTimeline(tinySong([verse('4 z4')])), [
      player('ann', { instruments: ['voice'] }),
      player('bo', { instruments: [] }),
    ]);
    expect(said(context)).toEqual([['ann - sings, and plays no instrument', 'bo - no instrument is named']]);
  });

  it('takes a voice without a written singer to be sung by who sings that part in the band', () => {
    const passes: Partial<Pass>[] = [{ roles: { bo: 'backup' } }];
    const timeline = roadmapTimeline(tinySong([verse('4 z3 1 4', '4 z3 1 4')], { passes }));
    const context = contextOf(timeline, [
      player('ann', { sings: 'lead' }),
      player('bo', { sings: 'tenor' }),
      player('cy', { sings: 'tenor' }),
    ]);
    expect(said(context)[0]).toEqual([
      'ann + there is time enough for a fill; sings lead again from bar 2, beat 4',
      'bo + plays backup here',
      'cy + there is time enough for a fill; sings tenor again from bar 2, beat 4',
    ]);
  });
});

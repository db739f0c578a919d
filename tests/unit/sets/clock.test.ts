import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must, randomFrom } from '@/lib/base';
import { EveningModel, runningClock, setSongOf, songSeconds } from '@/lib/sets';
import type { Band, Song } from '@/lib/song';
import { demoBand } from '@/server/demo';
import { evening, eveningByChance, song } from './evenings';

let band: Band;
let waltz: Song;
let fast: Song;
beforeAll(async () => {
  const demo = await demoBand();
  band = demo.band;
  [waltz, fast] = [itemAt(demo.songs, 0), itemAt(demo.songs, 1)];
});

/** Bars of each pass, with its own ending, one after another, at the song's one tempo; reckoned apart from the timeline. */
function byBars({ passes, sections, tempo }: Song): number {
  let quarters = 0;
  for (const { sectionId, ending } of passes) {
    const section = must(
      sections.find(({ id }) => id === sectionId),
      'the section',
    );
    for (const bar of section.bars) {
      if (bar.endings.length === 0 || bar.endings.includes(ending)) quarters += bar.ticks / 960;
    }
  }
  return (quarters * 60) / (tempo ?? 100);
}

describe('how long a song is', () => {
  it('its passes, bar by bar, at its tempo', () => {
    for (const each of [waltz, fast]) {
      expect(each.sections.flatMap(({ bars }) => bars).every(({ tempo }) => tempo === null)).toBe(true);
      expect(songSeconds(each)).toBeCloseTo(byBars(each), 6);
    }
  });

  it('twice the tempo is half as long; a pass less is shorter; swing changes nothing', () => {
    const tempo = must(fast.tempo, 'a tempo');
    expect(songSeconds({ ...fast, tempo: tempo * 2 })).toBeCloseTo(songSeconds(fast) / 2, 6);
    expect(songSeconds({ ...fast, passes: fast.passes.slice(1) })).toBeLessThan(songSeconds(fast));
    expect(songSeconds({ ...fast, feel: { ratio: 2 } })).toBe(songSeconds(fast));
  });
});

describe('a song of the band as an evening sees it', () => {
  it('takes capos from the song, the singer from its lead, and leaves out who lays out', () => {
    const seen = setSongOf(fast, band.players, { energy: 5 });
    const setups = seen.needs.map(({ setup }) => [setup.instrument, setup.capo]);
    expect(setups).toEqual([
      ['guitar', 2],
      ['banjo', 2],
      ['mandolin', 0],
      ['fiddle', 0],
      ['bass', 0],
    ]);
    expect(seen).toMatchObject({ leadSinger: band.players[0]?.id, energy: 5, meter: { count: 4, unit: 4 } });
    expect(setSongOf(waltz, band.players).meter).toEqual({ count: 3, unit: 4 });
    const banjo = must(band.players[1], 'the banjo').id;
    const passes = fast.passes.map((pass) => ({
      ...pass,
      roles: { ...pass.roles, [banjo]: 'lay out' as const },
    }));
    expect(setSongOf({ ...fast, passes }, band.players).needs.map(({ playerId }) => playerId)).not.toContain(
      banjo,
    );
  });
});

describe('the running clock', () => {
  it('runs on from song to song, begins anew with each set, and ends with the total', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 1e6 }), (count, seed) => {
        const first = 1 + (seed % count);
        const sets = first < count ? [first, count - first] : [count];
        const wanted = eveningByChance(count, randomFrom(seed), { sets, targetSeconds: 1800 });
        const costs = new EveningModel(wanted).costsOf(wanted.songs.map(({ id }) => id));
        const { entries, seconds, overSeconds, setSeconds } = runningClock(wanted, costs);
        entries.forEach((entry, i) => {
          const { seconds: length, talkSeconds } = itemAt(wanted.songs, i);
          const before = entries[i - 1];
          const between = costs.between[i - 1];
          const opens = before === undefined || before.set !== entry.set;
          expect(entry.startSeconds).toBeCloseTo(
            opens ? talkSeconds : before.endSeconds + must(between, 'between').seconds,
            6,
          );
          expect(entry.endSeconds - entry.startSeconds).toBeCloseTo(length, 6);
        });
        const ends = sets.map(
          (_, set) =>
            must(
              entries.findLast((entry) => entry.set === set),
              'a set',
            ).endSeconds,
        );
        expect(setSeconds).toHaveLength(ends.length);
        setSeconds.forEach((each, i) => {
          expect(each).toBeCloseTo(itemAt(ends, i), 6);
        });
        expect(seconds).toBeCloseTo(
          ends.reduce((sum, end) => sum + end, 0),
          6,
        );
        expect(overSeconds).toBeCloseTo(seconds - 1800, 6);
      }),
      { numRuns: 60 },
    );
  });

  it('a medley has no stop; without a time promised nothing is over', () => {
    const wanted = evening([song('a'), song('b')], { joined: [['a', 'b']] });
    const clock = runningClock(wanted, new EveningModel(wanted).costsOf(['a', 'b']));
    expect(clock).toMatchObject({ seconds: 360, overSeconds: null });
  });
});

import { expect, test } from 'vitest';
import { HYMN_FILES } from '../sweep/hymns';
import { emptyJudged, judgeSpace, offChord } from '../sweep/judge';
import { songsToSweep } from '../sweep/spaces';

/*
 * The short form of the sweep over spaces and instruments: the same songs, requests and checker, few of them.
 * Source: Common practice, no source, but for what tests/outside/checker names beside each table; the tunes of the hymns are
 * public domain, from the Open Hymnal Project.
 */
const SPACES = 60;

test('offers for spaces of hymns, own tunes and random songs keep every rule', async () => {
  if (HYMN_FILES.length === 0)
    console.log(
      'checks not made: ../shared/data/hymns is not beside the project (breathing variants of hymns)',
    );
  const judged = emptyJudged();
  const missed: string[] = [];
  const sources = new Set<string>();
  let spaces = 0;
  for await (const found of songsToSweep(SPACES, 1)) {
    sources.add(found.source);
    missed.push(...found.missed.map((what) => `${found.name}: ${what}`));
    for (const space of found.spaces) {
      spaces += 1;
      judgeSpace(judged, found.name, found.timeline, space, spaces);
    }
  }
  expect(spaces).toBeGreaterThanOrEqual(SPACES);
  expect(sources.size).toBe(HYMN_FILES.length > 0 ? 3 : 2);
  expect(missed).toEqual([]);
  expect(judged.breaches.map(({ instrument, where, what }) => `${instrument}, ${where}: ${what}`)).toEqual(
    [],
  );
  expect(offChord(judged)).toEqual([]);
  for (const [instrument, count] of judged.counts)
    expect(count.offers, instrument).toBeGreaterThan(3 * count.spaces);
});

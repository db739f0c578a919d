import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { itemAt, makeIds, randomFrom } from '../../lib/base';
import { readEndingOf, readSongFile } from '../../lib/exchange';
import { type OfferRequest, offerFills, varyFill, WAYS } from '../../lib/fills';
import { INSTRUMENTS, plainSetup } from '../../lib/instruments';
import { type Timeline, writtenTimeline } from '../../lib/song';
import { findSpaces } from '../../lib/spaces';
import { generatedSong, timelineOf } from '../unit/fills/songs';
import { titleFaults } from './checker/titles';

/*
 * A title is true of the notes that sound: for every offer, and every turn of the best ones.
 * Source: Common practice, no source; see checker/titles.
 */

interface Tally {
  spaces: number;
  titles: number;
  readonly faults: string[];
}

function check(tally: Tally, name: string, timeline: Timeline): void {
  for (const space of findSpaces(timeline)) {
    if (space.kind === 'instrumental') continue;
    tally.spaces += 1;
    for (const instrument of INSTRUMENTS) {
      const request: OfferRequest = {
        timeline,
        space,
        setup: plainSetup(instrument),
        rule: 'toward',
        spanMillimetres: null,
        comfortEighthsPerMinute: null,
        count: 12,
      };
      const offers = offerFills(request);
      if (!offers.ok) throw new Error(`${name} ${space.id}: ${offers.error.what}`);
      const best = offers.value[0];
      // The turns of one idea in each space, another way from player to player.
      const way = itemAt(WAYS, (tally.titles + space.bar) % WAYS.length);
      const turned = best ? varyFill(request, best, way) : null;
      for (const offer of turned?.ok ? [...offers.value, turned.value] : offers.value) {
        tally.titles += 1;
        for (const fault of titleFaults(offer.title, offer.notes, instrument))
          tally.faults.push(`${name} ${space.bar}.${space.beat} ${instrument} '${offer.title}': ${fault}`);
      }
    }
  }
}

const tunes = new URL('../tunes/', import.meta.url);
const files = readdirSync(tunes).filter((name) => readEndingOf(name) !== null);

describe('titles in the test tunes', () => {
  test.each(files)('%s', async (file) => {
    const read = await readSongFile(file, readFileSync(new URL(file, tunes)), {
      makeId: makeIds(randomFrom(7)),
    });
    if (!read.ok) throw new Error(`${file}: ${read.error.what}`);
    const tally: Tally = { spaces: 0, titles: 0, faults: [] };
    check(tally, file, writtenTimeline(read.value.song));
    expect(tally.faults).toEqual([]);
    expect(tally.titles).toBeGreaterThanOrEqual(tally.spaces * INSTRUMENTS.length * 2);
  });
});

test.each([201, 202, 203, 204, 205, 206, 207, 208])('titles in generated song %i', (seed) => {
  const tally: Tally = { spaces: 0, titles: 0, faults: [] };
  check(tally, `song ${seed}`, timelineOf(generatedSong(seed)));
  expect(tally.faults).toEqual([]);
  expect(tally.titles).toBeGreaterThan(20);
});

describe('the judge of titles', () => {
  const line = (...pitches: readonly number[]) =>
    pitches.map((midi, i) => ({ tick: i * 480, midi, string: 1, articulation: 'struck' }));

  test.each([
    ['a run up into D', [66, 64, 62]],
    ['a run down into D', [62, 64, 74]],
    ['a run up into D', [62, 64, 65]],
    ['a run down and up into D', [66, 64, 62]],
    ['a run up and down into D', [57, 61, 62]],
    ['a forward roll, then a run up into Bm', [50, 55, 59, 66, 64, 62, 59]],
    ['a run down into the third of G', [71, 69, 67]],
    ['root, fifth and octave over D and A7', [38, 45, 38, 45]],
    ['root and the fifth below over D', [38, 45, 38]],
    ['a run down into G, with a choke', [71, 69, 67]],
    ['a turnaround of four notes over G', [43, 40, 38]],
    ['a walk up in quarters to C', [43, 45, 47]],
    ['a line up with the drone between, to G', [62, 60, 59]],
  ])('hears that %s is not true of %j', (title, pitches) => {
    expect(titleFaults(title, line(...pitches), 'guitar')).not.toEqual([]);
  });

  test.each([
    ['a run up into D', [57, 61, 62]],
    ['a forward roll, then a run down into the third of G', [50, 55, 59, 76, 74, 72, 71]],
    ['root, fifth and octave over D', [38, 45, 50, 45]],
  ])('and that %s is, of %j', (title, pitches) => {
    expect(titleFaults(title, line(...pitches), 'guitar')).toEqual([]);
  });
});

import fc from 'fast-check';
import { breaksNothing, unnoticedInBands, unnoticedInSongs } from '../../unit/document/tidy-worlds';
import { BAND_ROOM, mergesAsStated, SONG_ROOM } from '../merge-commands';
import { fillSurvives } from '../merge-fill';
import type { Happened } from '../merge-line';
import type { Report, Suite } from '../suite';

/** Of each property, in a run. */
const TRIES = 4;

async function run(seed: number, report: Report): Promise<void> {
  const tell = ({ edits, cuts, merges, reloads }: Happened) => {
    report.count('edits merged', edits);
    report.count('lines cut', cuts);
    report.count('merges', merges);
    report.count('reloads', reloads);
  };
  const how = { seed, numRuns: TRIES };
  fc.assert(mergesAsStated(SONG_ROOM, 80, tell), how);
  fc.assert(mergesAsStated(BAND_ROOM, 80, tell), how);
  fc.assert(
    fillSurvives(undefined, (what) =>
      report.count(what === 'sounds' ? 'fills that sound' : 'fills kept aside'),
    ),
    how,
  );
  const tidied = (cleaned: number) => report.count('things tidied up', cleaned);
  fc.assert(unnoticedInSongs(tidied), how);
  fc.assert(unnoticedInBands(tidied), how);
  fc.assert(breaksNothing(tidied), how);
}

/** People who edit at once, held against a model of merging; a fill amid all that is done around it, and tidying unnoticed. */
export const merge: Suite = { name: 'merge', runs: { short: 5, long: 150 }, run };

/**
 * Speed of a break of 32 bars on every instrument, and how it grows; thresholds from a file. Exits 1 beyond them.
 */
import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { itemAt, makeIds, randomFrom } from '../../lib/base';
import { readAbc } from '../../lib/exchange';
import { breakFor } from '../../lib/fills';
import { INSTRUMENTS, type InstrumentName, plainSetup } from '../../lib/instruments';
import { type Timeline, writtenTimeline } from '../../lib/song';
import { median, milliseconds, percentile, timesOf } from './measure';
import { benchSong } from './songs';

const { breakMilliseconds, breakGrowthForThreeTimes } = z
  .object({ breakMilliseconds: z.number(), breakGrowthForThreeTimes: z.number() })
  .parse(JSON.parse(readFileSync(new URL('./thresholds.json', import.meta.url), 'utf8')));

async function songOf(bars: number): Promise<Timeline> {
  const read = await readAbc(benchSong(bars), { makeId: makeIds(randomFrom(1)), title: 'bench' });
  if (!read.ok) throw new Error(`${read.error.what}: ${read.error.where}`);
  return writtenTimeline(read.value.song);
}

function breakOf(timeline: Timeline, instrument: InstrumentName): number {
  const found = breakFor({
    timeline,
    startTick: 0,
    endTick: timeline.endTick,
    setup: plainSetup(instrument),
    rule: 'toward',
    spanMillimetres: null,
    comfortEighthsPerMinute: null,
    voiceId: null,
    plain: false,
  });
  if (!found.ok) throw new Error(`${instrument}: ${found.error.what}`);
  return found.value.notes.length;
}

const short = await songOf(32);
const long = await songOf(96);
let failed = false;
for (const instrument of INSTRUMENTS) {
  if (instrument === 'voice') continue;
  const times = await timesOf(11, () => breakOf(short, instrument));
  const longer = await timesOf(3, () => breakOf(long, instrument));
  // The quickest of each: what a busy machine adds to the others is no growth.
  const growth = itemAt(longer, 0) / itemAt(times, 0);
  console.log(
    `break of 32 bars, ${instrument}: ${breakOf(short, instrument)} notes, median ${milliseconds(median(times))}, p90 ${milliseconds(percentile(times, 0.9))}; three times the bars take ${growth.toFixed(1)} times as long`,
  );
  if (median(times) > breakMilliseconds || growth > breakGrowthForThreeTimes) failed = true;
}
if (failed) {
  console.error(`Beyond ${breakMilliseconds} ms, or ${breakGrowthForThreeTimes} times as long.`);
  process.exit(1);
}

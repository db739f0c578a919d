/**
 * Speed of the way from a song's text to its offers, at three lengths; growth; thresholds from a file. Exits 1 beyond them.
 */
import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { itemAt, makeIds, must, randomFrom } from '../../lib/base';
import { readAbc } from '../../lib/exchange';
import { offerFills } from '../../lib/fills';
import { whoIsFree } from '../../lib/players';
import { type Player, type Song, writtenTimeline } from '../../lib/song';
import { findSpaces } from '../../lib/spaces';
import { median, milliseconds, percentile, timesOf } from './measure';
import { benchSong } from './songs';

const thresholds = z
  .object({ growthForTenTimes: z.number(), offersMedianMilliseconds: z.number() })
  .parse(JSON.parse(readFileSync(new URL('./thresholds.json', import.meta.url), 'utf8')));

const LENGTHS = [32, 96, 960];
const RUNS = 41;

const player = (id: string, instrument: Player['instruments'][number], sings: Player['sings']): Player => ({
  id,
  name: id,
  initials: id,
  instruments: [instrument],
  sings,
  rule: 'toward',
  comfortEighthsPerMinute: null,
  spanMillimetres: null,
  range: null,
  ink: 0,
});
const players = [
  player('a', 'guitar', 'lead'),
  player('b', 'banjo', 'tenor'),
  player('c', 'mandolin', 'baritone'),
  player('d', 'fiddle', 'none'),
  player('e', 'bass', 'none'),
];

async function songOf(text: string): Promise<Song> {
  const read = await readAbc(text, { makeId: makeIds(randomFrom(1)), title: 'bench' });
  if (!read.ok) throw new Error(`${read.error.what}: ${read.error.where}`);
  return read.value.song;
}

interface Row {
  readonly bars: number;
  readonly reading: number;
  readonly spaces: number;
  readonly free: number;
}

const rows: Row[] = [];
let worst = { median: 0, p99: 0, bars: 0 };
for (const bars of LENGTHS) {
  const text = benchSong(bars);
  const song = await songOf(text);
  const timeline = writtenTimeline(song);
  const spaces = findSpaces(timeline);
  const readings = await timesOf(bars > 500 ? 11 : RUNS, () => songOf(text));
  const findings = await timesOf(RUNS, () => findSpaces(writtenTimeline(song)));
  const frees = await timesOf(RUNS, () => {
    const context = { timeline, players, spaces, settled: [] };
    return spaces.map((space) => whoIsFree(space, context));
  });
  const [reading, finding, free] = [median(readings), median(findings), median(frees)];
  rows.push({ bars, reading, spaces: finding, free });
  const times: number[] = [];
  for (let i = 0; i < 40; i++) {
    const space = itemAt(spaces, (i * 7) % spaces.length);
    const capo = i % 3;
    const instrument = i % 2 === 0 ? 'guitar' : 'banjo';
    times.push(
      median(
        await timesOf(3, () =>
          offerFills({
            timeline,
            space,
            setup: { instrument, tuning: 'standard', capo, fifthCapo: null },
            rule: 'toward',
            spanMillimetres: null,
            comfortEighthsPerMinute: null,
            count: 5,
          }),
        ),
      ),
    );
  }
  times.sort((a, b) => a - b);
  const now = { median: median(times), p99: percentile(times, 0.99), bars };
  if (now.median > worst.median) worst = now;
  console.log(
    `${String(bars).padStart(4)} bars, ${spaces.length} spaces, ${players.length} players: reading ${milliseconds(reading)}, ` +
      `spaces ${milliseconds(finding)}, free (all) ${milliseconds(free)}, offers (one space, one player) median ${milliseconds(now.median)}, worst ${milliseconds(now.p99)}`,
  );
}

let failed = 0;
const check = (what: string, value: number, most: number, unit: string) => {
  const holds = value <= most;
  if (!holds) failed += 1;
  console.log(`${holds ? 'holds ' : 'BEYOND'}  ${what}: ${value.toFixed(2)}${unit} (at most ${most}${unit})`);
};
const short = must(
  rows.find((row) => row.bars === 96),
  'the row of 96 bars',
);
const long = must(
  rows.find((row) => row.bars === 960),
  'the row of 960 bars',
);
check(
  'reading, growth for ten times the bars',
  long.reading / short.reading,
  thresholds.growthForTenTimes,
  '×',
);
check('spaces, growth for ten times the bars', long.spaces / short.spaces, thresholds.growthForTenTimes, '×');
check('free, growth for ten times the bars', long.free / short.free, thresholds.growthForTenTimes, '×');
check(`offers, median (${worst.bars} bars)`, worst.median, thresholds.offersMedianMilliseconds, ' ms');
process.exit(failed > 0 ? 1 : 0);

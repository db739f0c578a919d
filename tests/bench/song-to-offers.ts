/**
 * Where phrases end, beside two published rules; then the speed of the way from a song's text to its offers, at three lengths;
 * growth; one note edited; thresholds from a file. Exits 1 beyond them.
 */
import { readFileSync } from 'node:fs';
import { z } from 'zod';
import { itemAt, makeIds, must, randomFrom } from '../../lib/base';
import { readAbc } from '../../lib/exchange';
import { offerFills } from '../../lib/fills';
import { whoIsFree } from '../../lib/players';
import { type Player, type Song, writtenTimeline } from '../../lib/song';
import { findSpaces, phrasesAndSpaces } from '../../lib/spaces';
import { fastest, median, milliseconds, percentile, timesOf } from './measure';
import { printPhraseTable } from './phrase-table';
import { benchSong } from './songs';

const thresholds = z
  .object({
    growthForTenTimes: z.number(),
    offersMedianMilliseconds: z.number(),
    editShareOfFrame: z.number(),
  })
  .parse(JSON.parse(readFileSync(new URL('./thresholds.json', import.meta.url), 'utf8')));

const LENGTHS = [32, 96, 960];
/** A page is drawn 60 times a second. */
const FRAME_MILLISECONDS = 1000 / 60;
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

/** Times of all runs, rising. */
interface Row {
  readonly bars: number;
  readonly reading: readonly number[];
  readonly spaces: readonly number[];
  readonly free: readonly number[];
  readonly edit: number;
}

/** One note moved up and down by turns: the whole song laid along time again, its phrases and spaces found anew. */
function editOf(song: Song): () => unknown {
  let edits = 0;
  return () => {
    edits += 1;
    const at = Math.floor(song.notes.length / 2);
    const notes = song.notes.map((note, i) => (i === at ? { ...note, midi: 60 + (edits % 2) } : note));
    return phrasesAndSpaces(writtenTimeline({ ...song, notes }));
  };
}

await printPhraseTable();

const rows: Row[] = [];
let worst = { median: 0, p99: 0, bars: 0 };
for (const bars of LENGTHS) {
  const text = benchSong(bars);
  const song = await songOf(text);
  const timeline = writtenTimeline(song);
  const spaces = findSpaces(timeline);
  const readings = await timesOf(bars > 500 ? 21 : RUNS, () => songOf(text));
  const findings = await timesOf(RUNS, () => findSpaces(writtenTimeline(song)));
  const frees = await timesOf(RUNS, () => {
    const context = { timeline, players, spaces, settled: [] };
    return spaces.map((space) => whoIsFree(space, context));
  });
  const edits = await timesOf(RUNS, editOf(song));
  const [reading, finding, free] = [median(readings), median(findings), median(frees)];
  const edit = median(edits);
  rows.push({ bars, reading: readings, spaces: findings, free: frees, edit });
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
      `spaces ${milliseconds(finding)}, one note edited ${milliseconds(edit)}, free (all) ${milliseconds(free)}, offers (one space, one player) median ${milliseconds(now.median)}, worst ${milliseconds(now.p99)}`,
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
for (const part of ['reading', 'spaces', 'free'] as const) {
  const growth = fastest(long[part]) / fastest(short[part]);
  check(`${part}, growth for ten times the bars`, growth, thresholds.growthForTenTimes, '×');
}
check(
  'one note edited at 96 bars, of a frame',
  short.edit / FRAME_MILLISECONDS,
  thresholds.editShareOfFrame,
  '×',
);
check(`offers, median (${worst.bars} bars)`, worst.median, thresholds.offersMedianMilliseconds, ' ms');
process.exit(failed > 0 ? 1 : 0);

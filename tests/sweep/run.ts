/**
 * Offers for at least `--spaces` spaces (1000), every instrument, judged by the checker of tests/outside/checker, which shares no code
 * with what it judges. Prints counts and every kind of breach with its first places; exits 1 on any. `--seed` begins elsewhere.
 */
import { parseArgs } from 'node:util';
import { HYMN_FILES } from './hymns';
import { emptyJudged, judgeSpace, LEAST_ON_BEATS, LEAST_ON_CHORD, offChord } from './judge';
import { songsToSweep } from './spaces';

const { values } = parseArgs({
  options: {
    spaces: { type: 'string', default: '1000' },
    seed: { type: 'string', default: '1' },
    show: { type: 'string', default: '3' },
  },
});
const [most, seed, show] = [Number(values.spaces), Number(values.seed), Number(values.show)];
if (!Number.isInteger(most) || most < 1 || !Number.isInteger(seed) || !Number.isInteger(show)) {
  console.error('give whole numbers: --spaces N --seed N --show N');
  process.exit(2);
}

const judged = emptyJudged();
const sources = new Map<string, { songs: number; spaces: number }>();
const missed: string[] = [];
let spaces = 0;
const started = performance.now();
for await (const found of songsToSweep(most, seed)) {
  const source = sources.get(found.source) ?? { songs: 0, spaces: 0 };
  sources.set(found.source, { songs: source.songs + 1, spaces: source.spaces + found.spaces.length });
  missed.push(...found.missed.map((what) => `${found.name}: ${what}`));
  for (const space of found.spaces) {
    spaces += 1;
    judgeSpace(judged, found.name, found.timeline, space, seed * 100_000 + spaces);
  }
}

const share = (part: number, whole: number) => (whole === 0 ? '-' : `${((100 * part) / whole).toFixed(1)} %`);
if (HYMN_FILES.length === 0) console.log('not made: ../shared/data/hymns is not beside the project');
for (const [source, { songs, spaces: inThem }] of sources)
  console.log(`${source}s: ${songs}, ${inThem} spaces`);
for (const [name, count] of judged.counts) {
  console.log(
    `${name}: ${count.spaces} spaces, ${count.offers} offers, ${count.notes} notes; ${share(count.onStrongInChord, count.onStrong)} ` +
      `chord tones on strong beats, ${share(count.onBeatsInChord, count.onBeats)} on all; ${count.wanting} of ${count.wide} spaces of four beats want families`,
  );
}
const kinds = new Map<string, { count: number; first: string[] }>();
for (const { instrument, where, what } of judged.breaches) {
  const kind = `${instrument}: ${what
    .replace(/^\d+\. .*?: /, '')
    .replace(/\d+/g, 'n')
    .replace(/families: .*/, 'families')}`;
  const known = kinds.get(kind) ?? { count: 0, first: [] };
  known.count += 1;
  if (known.first.length < show) known.first.push(`${where}: ${what}`);
  kinds.set(kind, known);
}
for (const [kind, { count, first }] of [...kinds].sort((a, b) => b[1].count - a[1].count)) {
  console.log(`BREACH ${count} × ${kind}`);
  for (const place of first) console.log(`  ${place}`);
}
const off = offChord(judged);
for (const what of [...missed, ...off]) console.log(`BREACH ${what}`);
const breaches = judged.breaches.length + missed.length + off.length;
console.log(
  `\n${spaces} spaces, ${[...judged.counts.values()].reduce((sum, count) => sum + count.offers, 0)} offers, ${breaches} breaches ` +
    `(chord tones at least ${LEAST_ON_CHORD * 100} % on strong beats, ${LEAST_ON_BEATS * 100} % on all); ${((performance.now() - started) / 1000).toFixed(1)} s`,
);
process.exit(breaches > 0 ? 1 : 0);

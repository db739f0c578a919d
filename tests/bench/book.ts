/**
 * The evening books of a band of six over 25 songs: time, memory, size, and how much longer two and a half times the songs take. The few come first, with
 * fonts not yet read. Time is the processor's, so that other work on the machine does not count. Held to tests/bench/thresholds.json.
 */
import { PDF_DENSITY, printBooks } from './book-work';
import thresholds from './thresholds.json';

const SONGS = 25;
const FEW = 10;

const many = await printBooks(SONGS);
const few = await printBooks(FEW);
const again = await printBooks(SONGS);
const growth = again.processorSeconds / few.processorSeconds;
const { secondsAtMost, megabytesAtMost, growthForTwoAndAHalfTimes } = thresholds.book;
console.log(
  `${SONGS} songs, ${many.players} players, ${PDF_DENSITY}: ${many.processorSeconds.toFixed(1)} s of one processor (${many.seconds.toFixed(1)} s on the clock), ${many.pages} pages, ${(many.bytes / 1e6).toFixed(1)} MB of PDF`,
);
console.log(
  `warm: ${FEW} songs ${few.processorSeconds.toFixed(1)} s, ${SONGS} songs ${again.processorSeconds.toFixed(1)} s; ${growth.toFixed(2)} times as long for 2.5 times the songs`,
);
const megabytes = process.resourceUsage().maxRSS / 1024;
console.log(`at most ${megabytes.toFixed(0)} MB held`);
const broken = [
  many.processorSeconds > secondsAtMost ? `longer than ${secondsAtMost} s` : '',
  megabytes > megabytesAtMost ? `more than ${megabytesAtMost} MB` : '',
  growth > growthForTwoAndAHalfTimes ? `grows by more than ${growthForTwoAndAHalfTimes}` : '',
].filter((text) => text !== '');
for (const line of broken) console.error(`book: ${line}`);
if (broken.length > 0) process.exitCode = 1;

/**
 * How the model does on songs that its points were not chosen on: for each song, the points are chosen on all others, from a
 * table of ones, by a coarse search, and that song is cut with them. Music alone.
 */
import { itemAt, must } from '../../lib/base';
import { findPhrases, leadVoice } from '../../lib/spaces';
import { PHRASE_WEIGHTS, type Weights } from '../../lib/spaces/weights';
import { type PhrasedSong, phrasedFolk, phrasedHymns, scoreInside } from '../outside/phrased-songs';

/** What each row may be, coarsely; the first is where the search begins. The rows of words and of marks have no say here. */
const CHOICES: Partial<Record<keyof Weights, readonly number[]>> = {
  breathCost: [1, 0.5, 1.5, 2],
  held: [1, 0.5, 1.5, 2],
  nextShorter: [1, 0, 0.5, 1.5],
  leap: [1, 0, 0.5, 1.5],
  stepDown: [1, 0, 0.5, 1.5],
  opening: [1, 0, 0.5, 1.5],
  openingRhythm: [1, 0, 0.5, 1.5],
  repeat: [1, 0, 0.5, 1.5],
  short: [-1, -0.5, -1.5],
  few: [7, 6, 8],
  long: [-1, -0.25, -0.5],
  many: [11, 10, 12],
  wholeBars: [1, 0, 0.5],
  evenBars: [1, 0, 0.5],
  twoBars: [1, 0, 0.5],
  fourBars: [1, 0, 0.5],
  equalLength: [1, 0, 0.5, 1.5],
  sameRhythm: [1, 0, 0.5, 1.5],
};
const ROWS = Object.keys(CHOICES).filter((row): row is keyof Weights => row in PHRASE_WEIGHTS);
const choicesOf = (row: keyof Weights) => must(CHOICES[row], row);
const ROUNDS = 3;

type Table = Readonly<Record<string, number>>;

function f1Of(song: PhrasedSong, table: Table): number {
  const lead = leadVoice(song.timeline)?.id;
  const phrases = findPhrases(song.timeline, { ignoreWords: true }, { ...PHRASE_WEIGHTS, ...table });
  const ends = phrases.filter((phrase) => phrase.voiceId === lead).map((phrase) => phrase.lastNote);
  return scoreInside(ends, song).f1;
}

export async function printLeftOut(): Promise<void> {
  const hymns = await phrasedHymns();
  const songs = [...hymns, ...(await phrasedFolk())];
  const known = new Map<string, readonly number[]>();
  const scoresOf = (table: Table): readonly number[] => {
    const key = JSON.stringify(table);
    const scores = known.get(key) ?? songs.map((song) => f1Of(song, table));
    known.set(key, scores);
    return scores;
  };
  const sumWithout = (table: Table, leftOut: number) =>
    scoresOf(table).reduce((sum, score, i) => (i === leftOut ? sum : sum + score), 0);
  const start: Table = Object.fromEntries(ROWS.map((row) => [row, itemAt(choicesOf(row), 0)]));

  const chooseWithout = (leftOut: number): Table => {
    let table = start;
    let best = sumWithout(table, leftOut);
    for (let round = 0; round < ROUNDS; round++) {
      for (const row of ROWS) {
        for (const choice of choicesOf(row)) {
          const tried = { ...table, [row]: choice };
          const sum = sumWithout(tried, leftOut);
          if (sum > best + 1e-9) {
            best = sum;
            table = tried;
          }
        }
      }
    }
    return table;
  };

  const leftOut = songs.map((_, i) => itemAt(scoresOf(chooseWithout(i)), i));
  const kept = songs.map((song) => f1Of(song, {}));
  const ones = scoresOf(start);
  const mean = (scores: readonly number[]) => scores.reduce((sum, score) => sum + score, 0) / scores.length;
  const say = (name: string, from: number, to: number) => {
    if (to <= from) return;
    const of = (scores: readonly number[]) => mean(scores.slice(from, to)).toFixed(3);
    console.log(
      `${name}, ${to - from} songs, music alone, mean F1: with a table of ones ${of(ones)}, each left out ${of(leftOut)}, as kept ${of(kept)}`,
    );
  };
  say('hymn tunes', 0, hymns.length);
  say('old songs from memory', hymns.length, songs.length);
  console.log(`${known.size} tables tried`);
}

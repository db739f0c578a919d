/** Where phrases end: two published rules, and ours without words and with them, in one table. */
import { findPhrases, leadVoice } from '../../lib/spaces';
import {
  meanScore,
  type PhrasedSong,
  phrasedFolk,
  phrasedHymns,
  type Score,
  scoreInside,
} from '../outside/phrased-songs';
import { LBDM_THRESHOLDS, lbdmEnds, restRuleEnds } from './phrase-peers';

type Ends = (song: PhrasedSong) => readonly number[];

function ours(ignoreWords: boolean): Ends {
  return ({ timeline }) => {
    const lead = leadVoice(timeline)?.id;
    return findPhrases(timeline, { ignoreWords })
      .filter((phrase) => phrase.voiceId === lead)
      .map((phrase) => phrase.lastNote);
  };
}

const scoreOf = (songs: readonly PhrasedSong[], ends: Ends): Score =>
  meanScore(songs.map((song) => scoreInside(ends(song), song)));

/** The model's paper leaves the threshold open: it gets the one that serves it best. */
function bestLbdm(songs: readonly PhrasedSong[]): { threshold: number; score: Score } {
  const tried = LBDM_THRESHOLDS.map((threshold) => ({
    threshold,
    score: scoreOf(songs, ({ melody }) => lbdmEnds(melody, threshold)),
  }));
  return tried.reduce((best, each) => (each.score.f1 > best.score.f1 ? each : best));
}

function printTable(title: string, songs: readonly PhrasedSong[], hasWords: boolean): void {
  const lbdm = bestLbdm(songs);
  const rows: [string, Score][] = [
    [`local boundaries (2001), from ${lbdm.threshold}`, lbdm.score],
    ['rest rule 2a (1983)', scoreOf(songs, ({ melody }) => restRuleEnds(melody))],
    ['ours, by the music alone', scoreOf(songs, ours(true))],
  ];
  if (hasWords) rows.push(['ours, with the words', scoreOf(songs, ours(false))]);
  console.log(`${title}, ${songs.length} songs, ends inside the song, mean of songs:`);
  console.log(`  ${''.padEnd(32)} precision  recall      F1`);
  for (const [name, { precision, recall, f1 }] of rows) {
    const figures = [precision, recall, f1].map((figure) => figure.toFixed(3).padStart(8));
    console.log(`  ${name.padEnd(32)}${figures.join('')}`);
  }
}

export async function printPhraseTable(): Promise<void> {
  const hymns = await phrasedHymns();
  if (hymns.length > 0) printTable('hymn tunes', hymns, true);
  else console.log('hymn tunes: not measured, ../shared/data/hymns is not beside the project');
  printTable('old songs from memory', await phrasedFolk(), false);
}

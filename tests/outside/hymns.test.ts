import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must } from '../../lib/base';
import { type Song, type SungNote, writtenTimeline } from '../../lib/song';
import { findPhrases, findSpaces, leadVoice } from '../../lib/spaces';
import {
  HYMNS_PRESENT,
  meanScore,
  type PhrasedSong,
  phrasedFolk,
  phrasedHymns,
  type Score,
  scoreInside,
} from './phrased-songs';

/*
 * Where sung lines end, against the hymns' own metrical patterns and against old songs from memory: the sources stand beside
 * their readers. The song's last end is its last note, which nobody can miss: it is left out of the figures.
 */
function measure(songs: readonly PhrasedSong[], ignoreWords: boolean): Score {
  return meanScore(
    songs.map((song) => {
      const lead = must(leadVoice(song.timeline), 'the melody');
      const ends = findPhrases(song.timeline, { ignoreWords })
        .filter((phrase) => phrase.voiceId === lead.id)
        .map((phrase) => phrase.lastNote);
      return scoreInside(ends, song);
    }),
  );
}

const say = ({ precision, recall, f1 }: Score) =>
  `precision ${precision.toFixed(3)}, recall ${recall.toFixed(3)}, F1 ${f1.toFixed(3)}`;

describe('phrase ends of old songs', () => {
  it('are found by the melody alone', async () => {
    const songs = await phrasedFolk();
    const found = measure(songs, true);
    console.log(`phrase ends of old songs from memory, mean of ${songs.length} songs: ${say(found)}`);
    expect(songs.length).toBeGreaterThanOrEqual(50);
    expect(found.f1).toBeGreaterThanOrEqual(0.85);
  });
});

if (!HYMNS_PRESENT) {
  console.log(
    'checks not made: ../shared/data/hymns is not beside the project (phrase ends of 58 hymn tunes)',
  );
}

describe.skipIf(!HYMNS_PRESENT)('phrase ends of hymn tunes', () => {
  let hymns: PhrasedSong[] = [];

  beforeAll(async () => {
    hymns = await phrasedHymns();
  });

  it('measures the 58 whose stanzas agree with their pattern', () => {
    expect(hymns.length).toBeGreaterThanOrEqual(58);
  });

  it.each([
    { ignoreWords: false, called: 'with the words', least: 0.95 },
    { ignoreWords: true, called: 'by the music alone', least: 0.85 },
  ])('are found $called', ({ ignoreWords, called, least }) => {
    const found = measure(hymns, ignoreWords);
    console.log(`phrase ends ${called}, mean of ${hymns.length} hymns: ${say(found)}`);
    expect(found.f1).toBeGreaterThanOrEqual(least);
  });

  it('are followed by every silence that is put in after them, to the tick', () => {
    for (const hymn of hymns) {
      const { song, silences } = breathing(hymn);
      const found = findSpaces(writtenTimeline(song)).filter((space) => space.kind === 'between');
      expect(
        found.map(({ startTick, endTick }) => [startTick, endTick]),
        hymn.name,
      ).toEqual(silences);
    }
  });
});

/** The melody alone with three more quarters of silence after each line but the last, in bars of a quarter each. */
function breathing({ timeline, melody, ends }: PhrasedSong): { song: Song; silences: [number, number][] } {
  const QUARTER = 960;
  const { song } = timeline;
  const bars: Song['sections'][number]['bars'][number][] = [];
  const notes: SungNote[] = [];
  const silences: [number, number][] = [];
  let shift = 0;
  melody.forEach(({ note, startTick, endTick }, i) => {
    const at = startTick + shift;
    notes.push({
      ...note,
      ticks: endTick - startTick,
      barId: `b${Math.floor(at / QUARTER)}`,
      offset: at % QUARTER,
    });
    const next = melody[i + 1];
    if (!next) return;
    if (ends.includes(i)) {
      silences.push([endTick + shift, next.startTick + shift + 3 * QUARTER]);
      shift += 3 * QUARTER;
    } else if (next.startTick - endTick >= 1.5 * QUARTER) {
      silences.push([endTick + shift, next.startTick + shift]);
    }
  });
  const last = must(melody[melody.length - 1], 'a note');
  for (let tick = 0; tick < last.endTick + shift; tick += QUARTER) {
    bars.push({
      id: `b${tick / QUARTER}`,
      meter: { count: 1, unit: 4 },
      ticks: QUARTER,
      pickup: false,
      endings: [],
      key: null,
      tempo: null,
    });
  }
  const voices = [itemAt(song.voices, 0)];
  return {
    song: { ...song, voices, notes, chords: [], passes: [], sections: [{ id: 's', name: '', bars }] },
    silences,
  };
}

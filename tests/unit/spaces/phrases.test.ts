import { describe, expect, it } from 'vitest';
import { itemAt } from '../../../lib/base';
import { roadmapTimeline, writtenTimeline } from '../../../lib/song';
import { findPhrases, phrasesAndSpaces } from '../../../lib/spaces';
import { type TinyVoice, tinySong } from './tiny-song';

const WORDS = { ignoreWords: false };

function phrasesOf(voices: readonly TinyVoice[], ignoreWords = false, meter = '4/4') {
  const song = tinySong([{ name: 'Verse', voices }], { meter });
  return findPhrases(writtenTimeline(song), { ignoreWords });
}

const lead = (notes: string, ...words: string[]): TinyVoice => ({ part: 'lead', notes, words });

describe('findPhrases', () => {
  it('cuts at a rest, a written breath and the end, and covers every note', () => {
    const phrases = phrasesOf([lead('1 1 1 1 1 z3 1 1 1 1 1 1, 1 1 1 1 1 1 1 1')]);
    expect(phrases.map(({ firstNote, lastNote }) => [firstNote, lastNote])).toEqual([
      [0, 4],
      [5, 10],
      [11, 18],
    ]);
    expect(phrases.map((phrase) => phrase.why[0]?.rule)).toEqual(['rest', 'breath mark', 'last note']);
  });

  it('reads punctuation and a capital as a line end, not a name in the middle of one', () => {
    const words =
      'when the riv-er turns to Del-la, hear it run. All the stones be-low are turn-ing in the sun./ all the grass and clo-ver too';
    const phrases = phrasesOf([lead('1 '.repeat(29), words)]);
    expect(phrases.map((phrase) => phrase.words)).toEqual([
      'when the river turns to Della, hear it run.',
      'All the stones below are turning in the sun.',
      'all the grass and clover too',
    ]);
  });

  it('does not take the end of a written line alone for the end of a sung one', () => {
    const phrases = phrasesOf([lead('1 '.repeat(9), 'stay a lit-tle with/ us by the fire')]);
    expect(phrases).toHaveLength(1);
  });

  // Common practice, no source: a sheet of words is written line by line as it is sung, and each stanza has a rhythm of its own there.
  it('takes the lines of a sheet without a tune for the lines that are sung, stanza by stanza', () => {
    const lines = [
      "there's a lan-tern by the wa-ter where the wil-lows bend and sway/ and the fer-ry-man is hum-ming all the day/",
      'my mo-ther crossed here ear-ly with the frost on all the stones and sand/ and my fa-ther came to find her here/',
    ];
    const song = tinySong([{ name: 'Verse', voices: [lead(`.5 4 ${'1 '.repeat(25)}`, ...lines)] }], {
      passes: [{ stanza: 1 }, { stanza: 2 }],
    });
    const sheet = { ...song, notes: song.notes.map((note) => ({ ...note, midi: null })) };
    const sung = findPhrases(roadmapTimeline(sheet), WORDS).map(({ words }) => words);
    expect(sung).toEqual([
      "there's a lantern by the water where the willows bend and sway",
      'and the ferryman is humming all the day',
      'my mother crossed here early with the frost on all the stones and sand',
      'and my father came to find her here',
    ]);
  });

  it('never cuts a word, nor a syllable that is held', () => {
    const phrases = phrasesOf([
      lead('1 1 1 1 1 4 1 1 1 1 1 1', 'go-ing o-ver hills to- * mor-row morn-ing so'),
    ]);
    for (const phrase of phrases.slice(0, -1)) expect(phrase.lastNote).not.toBe(5);
  });

  it('weighs a sign by how many stanzas show it', () => {
    const notes = '1 '.repeat(16);
    const one = 'far, and far-ther down the val-ley goes the lane; So we fol-low on';
    const two = 'cold and cold-er, o-ver mea-dow comes the rain; Still we wan-der on';
    const phrases = phrasesOf([lead(notes, one, two)]);
    expect(phrases.map((phrase) => phrase.lastNote)).toEqual([10, 15]);
    const comma = itemAt(phrases, 0).why.find((reason) => reason.rule === 'stop');
    expect(comma?.detail).toBe('a full stop or the like in 2 of 2 stanzas');
  });

  it('leaves a stanza out where it has no words, as in a refrain', () => {
    const notes = '1 '.repeat(23);
    const one =
      'ev-ery road is long, my dear, by night;/ Car-ry me, car-ry me on./ Car-ry me, car-ry me home.';
    const two = 'ev-ery moon is cold, my dear, to-night;';
    const alone = phrasesOf([lead(notes, one)]).map((phrase) => phrase.lastNote);
    const both = phrasesOf([lead(notes, one, two)]).map((phrase) => phrase.lastNote);
    expect(alone).toEqual([8, 15, 22]);
    expect(both).toEqual(alone);
  });

  it('finds lines by the music alone where words are not to be heard', () => {
    const line = '1 1 1 1 1 1 2 ';
    const phrases = phrasesOf(
      [lead(line.repeat(4), 'No stop, No stop, No stop, No stop, No stop, No stop,')],
      true,
    );
    expect(phrases.map((phrase) => phrase.lastNote)).toEqual([6, 13, 20, 27]);
    expect(phrases.flatMap((phrase) => phrase.why.map((reason) => reason.rule))).not.toContain('comma');
  });

  it('lets a voice without words follow the leading one', () => {
    const phrases = phrasesOf([
      lead('1 1 1 1 1 1 1 1 1 1 1 1', 'o-ver the wa-ter; All a-long the shore we'),
      { part: 'tenor', notes: '1 1 1 1 1 1 1 1 1 1 1 1' },
    ]);
    const ends = (voiceId: string) =>
      phrases.filter((phrase) => phrase.voiceId === voiceId).map((phrase) => phrase.lastNote);
    expect(ends('v1')).toEqual([4, 11]);
    expect(ends('v2')).toEqual(ends('v1'));
  });

  it('gives each pass its own phrases, with ids of their own', () => {
    const song = tinySong(
      [{ name: 'Verse', voices: [lead('1 1 1 1 1 1 2', 'one two three four five six now.')] }],
      {
        passes: [{}, { stanza: 1 }],
      },
    );
    const phrases = findPhrases(roadmapTimeline(song), WORDS);
    expect(phrases.map((phrase) => phrase.passId)).toEqual(['p1', 'p2']);
    expect(new Set(phrases.map((phrase) => phrase.id)).size).toBe(2);
  });

  it('answers for no notes', () => {
    expect(phrasesAndSpaces(writtenTimeline(tinySong([]))).phrases).toEqual([]);
  });
});

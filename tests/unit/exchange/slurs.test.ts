import { describe, expect, it } from 'vitest';
import { makeIds, randomFrom } from '@/lib/base';
import { readAbc } from '@/lib/exchange/abc-read';
import { readMusicXml } from '@/lib/exchange/musicxml-read';

// Which slurs mark phrases is common practice, no source: one over a syllable's notes says that they are its notes, one over a line that it is sung in one breath.

const makeId = () => makeIds(randomFrom(1));
async function abc(music: string) {
  const read = await readAbc(`X:1\nT:a\nM:4/4\nL:1/4\nK:C\n${music}\n`, { title: 'a', makeId: makeId() });
  if (!read.ok) throw new Error(read.error.what);
  const { song, report } = read.value;
  return {
    breaths: song.notes.flatMap(({ breath }, i) => (breath ? [i] : [])),
    guessed: report.guessed.join('\n'),
  };
}

describe('slurs', () => {
  it('over a line of words end a phrase with their last note', async () => {
    const { breaths, guessed } = await abc(
      '(CDEF|G2) G2|(EFED|C4)|\nw: down by the old mill, and up to the town.',
    );
    expect(breaths).toEqual([4, 10]);
    expect(guessed).toContain('read as one phrase');
  });

  it('over the notes of one syllable, or of a few words, end none', async () => {
    const melisma = await abc('(CDEF|G2) G2|C4|\nw: Oh__ the town.');
    expect(melisma.breaths).toEqual([]);
    expect(melisma.guessed).not.toContain('phrase');
    expect((await abc('(CDE) F|C4|\nw: by the old mill. Yes')).breaths).toEqual([]);
  });

  it('without words count where they reach over a bar and five notes', async () => {
    expect((await abc('(CDEF|G2) G2|(CD)(EF)|C4|')).breaths).toEqual([4]);
    expect((await abc('(CD EF)|G4|')).breaths).toEqual([]);
  });

  it('one in another, and one that begins where another ends, are told apart', async () => {
    const nested = await abc('((CD) E F|G2) G2|C4|\nw: down_ the old mill, oh my.');
    expect(nested.breaths).toEqual([4]);
    const joined = await abc('(CDEF|(G2) E F D|C4)|\nw: down by the old mill, and up to town.');
    expect(joined.breaths).toEqual([4, 8]);
  });

  it('are read from MusicXML by their numbers', async () => {
    const note = (step: string, text: string, slur = '') =>
      `<note><pitch><step>${step}</step><octave>4</octave></pitch><duration>1</duration><voice>1</voice>` +
      `${slur === '' ? '' : `<notations>${slur}</notations>`}<lyric><syllabic>single</syllabic><text>${text}</text></lyric></note>`;
    const start = (number: number) => `<slur type="start" number="${number}"/>`;
    const stop = (number: number) => `<slur type="stop" number="${number}"/>`;
    const bars = [
      [note('C', 'down', start(1)), note('D', 'by', start(2)), note('E', 'the', stop(2)), note('F', 'old')],
      [note('G', 'mill', stop(1) + start(1)), note('F', 'and'), note('E', 'up'), note('D', 'to', stop(1))],
    ];
    const xml = `<?xml version="1.0"?><score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list><part id="P1">${bars
      .map(
        (notes, i) =>
          `<measure number="${i + 1}">${i === 0 ? '<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>' : ''}${notes.join('')}</measure>`,
      )
      .join('')}</part></score-partwise>`;
    const read = readMusicXml(xml, { title: 'a', makeId: makeId() });
    if (!read.ok) throw new Error(read.error.what);
    expect(read.value.song.notes.map(({ breath }) => breath)).toEqual([
      false,
      false,
      false,
      false,
      true,
      false,
      false,
      true,
    ]);
    expect(read.value.report.guessed.join('\n')).toContain('read as one phrase');
  });
});

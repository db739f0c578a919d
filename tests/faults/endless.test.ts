import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { makeIds, randomFrom } from '../../lib/base';
import { readPastedSong, readSongFile } from '../../lib/exchange';

const options = () => ({ makeId: makeIds(randomFrom(3)), title: 'Untitled' });

const score = (duration: string) => `<?xml version="1.0"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list>
  <part id="P1"><measure number="1">
    <attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>
    <note><pitch><step>C</step><octave>4</octave></pitch><duration>${duration}</duration><voice>1</voice></note>
  </measure></part>
</score-partwise>`;

describe('files in which something lasts without end', () => {
  it.each([
    [
      'a few bytes of a MIDI file changed',
      [
        [72, 5],
        [625, 128],
        [22, 0],
      ],
    ],
    [
      'others changed',
      [
        [316, 77],
        [170, 6],
        [108, 1],
        [446, 221],
        [73, 0],
        [131, 15],
        [407, 217],
      ],
    ],
  ] as const)('are refused: %s', async (_what, changes) => {
    const bytes = new Uint8Array(readFileSync(join(import.meta.dirname, '../tunes/ladder-song.mid')));
    for (const [at, value] of changes) bytes[at] = value;
    const read = await readSongFile('a.mid', bytes, options());
    expect(!read.ok && read.error).toMatchObject({
      what: 'something in it lasts longer than any song',
      where: expect.stringMatching(/^a\.mid, number \d+ of its notes$/),
      mend: expect.stringContaining('export the file again'),
    });
  });

  it.each(['20000', '99999999', '9999999999999999'])(
    'are refused: a score with a note of %s beats',
    async (beats) => {
      const where = /number 1 of its (sections|notes)$/;
      for (const read of [
        await readSongFile('a.musicxml', score(beats), options()),
        await readPastedSong(score(beats), options()),
      ])
        expect(!read.ok && read.error).toMatchObject({
          what: 'something in it lasts longer than any song',
          where: expect.stringMatching(where),
        });
    },
  );

  it('are read where it is merely long', async () => {
    const read = await readSongFile('a.musicxml', score('1000'), options());
    expect(read.ok).toBe(true);
  });
});

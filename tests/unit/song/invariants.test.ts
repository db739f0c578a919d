import { describe, expect, it } from 'vitest';
import { itemAt } from '@/lib/base';
import { checkSong, type Song } from '@/lib/song';
import { SONG } from '../document/sample';

const broken = (fields: Partial<Song>) => checkSong({ ...SONG, ...fields });
const note = itemAt(SONG.notes, 0);
const settled = itemAt(SONG.settled, 0);
const singer = (fields: Partial<Song['singing'][number]>) => ({ ...itemAt(SONG.singing, 0), ...fields });

describe('what holds in every song', () => {
  it('holds in a song with one of everything', () => {
    expect(checkSong(SONG)).toEqual([]);
  });

  it('is a sentence for each breach', () => {
    const cases: readonly (readonly [Partial<Song>, string])[] = [
      [{ passes: [...SONG.passes, ...SONG.passes.slice(0, 1)] }, 'pass pass-0 stands twice'],
      [{ sections: SONG.sections.slice(0, 1), passes: [] }, 'note n4 is not inside its bar'],
      [{ sections: SONG.sections.slice(0, 1), notes: [], chords: [] }, 'pass pass-2 has no section'],
      [{ notes: [{ ...note, voiceId: 'gone' }] }, 'note n1 has no voice'],
      [{ notes: [{ ...note, offset: 960 }] }, 'note n1 is not inside its bar'],
      [{ chords: [{ id: 'c', barId: 'gone', offset: 0, symbol: 'G' }] }, 'chord c is not inside its bar'],
      [{ settled: [{ ...settled, extent: { from: 5, to: 5 } }] }, 'answer s1 has no length'],
      [{ settled: [settled, { ...settled, id: 's9' }] }, 'answers s1 and s9 stand at one place'],
      [{ proposals: [] }, 'a vote of ann is on no proposal'],
      [{ votes: [...SONG.votes, ...SONG.votes.slice(0, 1)] }, 'vote of ann on p1 stands twice'],
      [{ settings: [...SONG.settings, ...SONG.settings.slice(0, 1)] }, 'setting of ann stands twice'],
      [
        { phraseEnds: [...SONG.phraseEnds, ...SONG.phraseEnds.slice(0, 1)] },
        'phrase end of n1 in null stands twice',
      ],
      [{ phraseEnds: [{ noteId: 'gone', stanza: 1, ends: true }] }, 'a phrase end is on no note: gone'],
      [{ singing: [...SONG.singing, ...SONG.singing] }, 'singer of lead in pass-1 from null stands twice'],
      [{ singing: [singer({ passId: 'gone' })] }, 'a singer is in no pass: gone'],
      [{ singing: [singer({ voiceId: 'gone' })] }, 'a singer is of no voice: gone'],
      [
        { singing: [singer({ noteId: 'n2t' })] },
        'a singer comes in on a note that is not of voice lead: n2t',
      ],
    ];
    for (const [fields, sentence] of cases) expect(broken(fields), sentence).toContain(sentence);
  });
});

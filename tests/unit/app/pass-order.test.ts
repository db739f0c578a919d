import { describe, expect, it } from 'vitest';
import { newPass } from '@/app/board/pass-order';
import { itemAt } from '@/lib/base';
import type { Pass, Song } from '@/lib/song';
import { SONG } from '../document/sample';

const pass = (id: string, sectionId: string, stanza: number | null, roles: Pass['roles'] = {}): Pass => ({
  id,
  sectionId,
  stanza,
  ending: 1,
  name: id,
  roles,
});
const ordered = (...passes: readonly Pass[]): Song => ({ ...SONG, passes });
const [verse, chorus] = [itemAt(SONG.sections, 0), itemAt(SONG.sections, 1)];

describe('a pass put into the order', () => {
  const song = ordered(
    pass('a', 'verse', 1, { ann: 'lead' }),
    pass('b', 'chorus', 1, { bo: 'harmony' }),
    pass('c', 'verse', 2, { ann: 'break' }),
  );

  it('sings the words that come next, everybody as in the pass of that section before it', () => {
    expect(newPass(song, verse, 3, 3)).toEqual({
      sectionId: 'verse',
      stanza: 3,
      ending: 1,
      name: '',
      roles: { ann: 'break' },
    });
    expect(newPass(song, verse, 1, 3)).toMatchObject({ stanza: 2, roles: { ann: 'lead' } });
    expect(newPass(song, chorus, 3, 1)).toMatchObject({ stanza: 1, roles: { bo: 'harmony' } });
  });

  it('sings the last words again where there are no more, and the first where none were sung yet', () => {
    expect(newPass(song, verse, 3, 2).stanza).toBe(2);
    expect(newPass(song, verse, 0, 3)).toMatchObject({ stanza: 1, roles: { ann: 'lead' } });
    expect(newPass(ordered(), chorus, 0, 2)).toMatchObject({ stanza: 1, roles: {} });
  });

  it('is a break where nobody sings that section anywhere', () => {
    expect(newPass(ordered(pass('a', 'verse', null)), verse, 1, 3).stanza).toBeNull();
    expect(newPass(ordered(pass('a', 'verse', null), pass('b', 'verse', 1)), verse, 1, 3).stanza).toBe(1);
    expect(newPass(ordered(), verse, 0, 0).stanza).toBeNull();
  });
});

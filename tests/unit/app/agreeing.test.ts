import { describe, expect, it } from 'vitest';
import { votesInWords } from '@/app/board/said-words';
import { type Player, tallyOf, type Vote } from '@/lib/song';

const player = (name: string): Player => ({
  id: name,
  name,
  initials: name.slice(0, 1),
  instruments: ['guitar'],
  sings: 'none',
  rule: 'toward',
  comfortEighthsPerMinute: null,
  spanMillimetres: null,
  range: null,
  ink: 0,
});
const players = ['Ann', 'Ben', 'Cy', 'Dot'].map(player);

/** What is said of votes, `+` yes and `-` no, in the players' order. */
function told(signs: string): string {
  const votes = [...signs].flatMap((sign, i): Vote[] =>
    sign === '.' ? [] : [{ proposalId: 'p', playerId: players[i]?.id ?? '', yes: sign === '+' }],
  );
  return votesInWords(tallyOf({ id: 'p' }, { votes }, { players }), players);
}

describe('what was put to the band', () => {
  it('says plainly what its votes come to', () => {
    expect(told('....')).toBe('Nobody has said yes or no yet; three yes would carry it.');
    expect(told('++..')).toBe('Yes: Ann, Ben; one more yes would carry it.');
    expect(told('+-..')).toBe('Yes: Ann; no: Ben; two more yes would carry it.');
    expect(told('+-++')).toBe('Carried, yes: Ann, Cy, Dot; no: Ben. Anybody may settle it.');
    expect(told('-.-+')).toBe('It cannot be carried any more as it stands, yes: Dot; no: Ann, Cy.');
    expect(told('-...')).toBe('No: Ann; three yes would carry it.');
  });
});

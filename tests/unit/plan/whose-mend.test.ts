import { describe, expect, it } from 'vitest';
import { type MendEdit, wordOnMend } from '../../../lib/plan';
import type { Answer, Extent, Holding, Place } from '../../../lib/song';
import { somebody } from '../players/somebody';

const PLACE: Place = { passId: 'verse', noteId: 'n1', voiceId: 'lead' };
const EXTENT: Extent = { from: 0, to: 960 };
const has = (playerId: string): Holding => ({ kind: 'ad lib', playerId });

describe('whose word a mend is', () => {
  // README, "Agreeing": the holder decides about notes, the band's leader about who holds; both may settle.
  it('is the holder’s while they keep the space, and the leader’s where it goes to another or to nobody', () => {
    const players = ['ann', 'ben', 'cy'].map((id) => somebody(id));
    const band = { leaderId: 'ann', players, votes: false };
    const settled: Answer = { id: 's', place: PLACE, extent: EXTENT, holding: has('ben'), by: null, at: 0 };
    const song = { settled: [settled], proposals: [], votes: [] };
    const mends: readonly (readonly [MendEdit, readonly string[], string])[] = [
      [{ kind: 'settle', place: PLACE, extent: EXTENT, holding: has('ben') }, ['ben', 'ann'], 'holder'],
      [{ kind: 'anew', place: PLACE, spaceId: 'any', playerId: 'ben' }, ['ben', 'ann'], 'holder'],
      [{ kind: 'anew', place: PLACE, spaceId: 'any', playerId: 'cy' }, ['ann', 'ben'], 'leader'],
      [{ kind: 'settle', place: PLACE, extent: EXTENT, holding: has('cy') }, ['ann', 'ben'], 'leader'],
      [{ kind: 'unsettle', place: PLACE }, ['ann', 'ben'], 'leader'],
    ];
    for (const [edit, playerIds, rule] of mends) {
      const word = wordOnMend(band, song, edit);
      expect([edit.kind, word.playerIds, word.reason.rule]).toEqual([edit.kind, playerIds, rule]);
    }
  });
});

import { describe, expect, it } from 'vitest';
import type { Result } from '@/lib/base';
import { newSongDocument, readSong } from '@/lib/document';
import { SONG, songEdits } from './sample';

const PLACE = { passId: 'pass-1', noteId: 'n3', voiceId: 'lead' };
const EXTENT = { from: 960, to: 3840 };

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(result.error.what);
  return result.value;
}

function open() {
  const doc = newSongDocument(SONG);
  const edits = songEdits(doc);
  return { doc, edits, song: () => readSong(doc).song };
}

describe('answers to a song’s spaces', () => {
  it('settle, and what was settled there before gives way', () => {
    const { edits, song } = open();
    const id = value(edits.settle(PLACE, EXTENT, { kind: 'ad lib', playerId: 'bo' }));
    expect(song().settled.map((answer) => answer.id)).toEqual(['s2', id]);
    expect(song().settled[1]).toEqual({
      id,
      place: PLACE,
      extent: EXTENT,
      holding: { kind: 'ad lib', playerId: 'bo' },
      by: 'player-0',
      at: 1000,
    });
    expect(song().proposals).toEqual(SONG.proposals);
    value(edits.unsettle(PLACE));
    expect(song().settled.map((answer) => answer.id)).toEqual(['s2']);
    edits.undo();
    edits.undo();
    expect(song()).toEqual(SONG);
  });

  it('settle many places in one step, or none', () => {
    const { edits, song } = open();
    const other = { passId: 'pass-2', noteId: null, voiceId: null };
    const left = { extent: EXTENT, holding: { kind: 'left open' } } as const;
    const ids = value(
      edits.settleAll([
        { place: PLACE, ...left },
        { place: other, ...left },
      ]),
    );
    expect(song().settled.filter(({ id }) => ids.includes(id))).toHaveLength(2);
    edits.undo();
    expect(song()).toEqual(SONG);
    const bad = { place: other, ...left, extent: { from: 5, to: 5 } };
    expect(edits.settleAll([{ place: PLACE, ...left }, bad]).ok).toBe(false);
    expect(song()).toEqual(SONG);
  });

  it('put many things to the band in one step, or none', () => {
    const { edits, song } = open();
    const other = { passId: 'pass-2', noteId: null, voiceId: null };
    const left = { extent: EXTENT, holding: { kind: 'left open' } } as const;
    const both = [
      { place: PLACE, ...left },
      { place: other, ...left },
    ];
    const ids = value(edits.proposeAll(both));
    const put = song().proposals.filter(({ id }) => ids.includes(id));
    expect(put.map(({ place, holding }) => ({ place, holding }))).toEqual(
      both.map(({ place, holding }) => ({ place, holding })),
    );
    expect(song().settled).toEqual(SONG.settled);
    edits.undo();
    expect(song()).toEqual(SONG);
    expect(edits.proposeAll([...both, { place: other, ...left, extent: { from: 5, to: 5 } }]).ok).toBe(false);
    expect(song()).toEqual(SONG);
  });

  it('propose, vote, settle a proposal, comment', () => {
    const { edits, song } = open();
    const id = value(edits.propose(PLACE, EXTENT, { kind: 'left open' }));
    value(edits.vote(id, true));
    expect(song().votes.at(-1)?.playerId).toBe('bo');
    expect(song().votes).toContainEqual({ proposalId: id, playerId: 'player-0', yes: true });
    value(edits.vote('p1', false));
    value(edits.vote('p1', null));
    expect(song().votes).toHaveLength(3);
    const settled = value(edits.settleProposal(id));
    expect(song().proposals).toEqual(SONG.proposals);
    expect(song().settled.find((answer) => answer.id === settled)?.holding).toEqual({ kind: 'left open' });
    expect(song().votes).toEqual(SONG.votes);
    value(edits.withdrawProposal('p1'));
    expect(song().proposals).toEqual([]);
    const comment = value(edits.comment(null, ' Slow down '));
    expect(song().comments.find((each) => each.id === comment)?.text).toBe('Slow down');
    value(edits.removeComment(comment));
    expect(song().comments).toEqual(SONG.comments);
  });
});

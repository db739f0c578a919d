import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { must } from '@/lib/base';
import { newSongDocument, readSong } from '@/lib/document';
import { SONG, songEdits } from './sample';

const passId = must(SONG.passes[0], 'a pass').id;
const place = { passId, noteId: null, voiceId: null };
const extent = { from: 0, to: 3840 };
const songOf = (doc: Y.Doc) => must(readSong(doc).song, 'the song');
const rolesOf = (doc: Y.Doc) =>
  must(
    songOf(doc).passes.find(({ id }) => id === passId),
    'the pass',
  ).roles;

describe('a break that is settled', () => {
  it('makes its player the one who has the break, and whoever had it plays backup, in one step', () => {
    const doc = newSongDocument(SONG);
    const edits = songEdits(doc);
    edits.setRole(passId, 'ben', 'break');
    const before = rolesOf(doc);
    const settled = edits.settleBreak(place, extent, { kind: 'ad lib', playerId: 'ann' });
    expect(settled.ok).toBe(true);
    expect(rolesOf(doc).ann).toBe('break');
    expect(rolesOf(doc).ben).toBeUndefined();
    edits.undo();
    expect(rolesOf(doc)).toEqual(before);
    expect(songOf(doc).settled.some(({ place: at }) => at.passId === passId && at.noteId === null)).toBe(
      SONG.settled.some(({ place: at }) => at.passId === passId && at.noteId === null),
    );
  });

  it('put to the band and settled gives the break too, in one step, and silence gives none', () => {
    const doc = newSongDocument(SONG);
    const edits = songEdits(doc);
    const before = rolesOf(doc);
    const put = edits.propose(place, extent, { kind: 'ad lib', playerId: 'ann' });
    if (!put.ok) throw new Error(put.error.what);
    expect(edits.settleProposal(put.value, true).ok).toBe(true);
    expect(rolesOf(doc).ann).toBe('break');
    expect(songOf(doc).proposals.some(({ id }) => id === put.value)).toBe(false);
    edits.undo();
    expect(rolesOf(doc)).toEqual(before);
    expect(songOf(doc).proposals.some(({ id }) => id === put.value)).toBe(true);
    const silent = edits.propose(place, extent, { kind: 'left open' });
    if (!silent.ok) throw new Error(silent.error.what);
    expect(edits.settleProposal(silent.value, true).ok).toBe(true);
    expect(rolesOf(doc)).toEqual(before);
  });

  it('settled for two at once, has one answer that stands, and loses neither', () => {
    const doc = newSongDocument(SONG);
    const other = new Y.Doc();
    Y.applyUpdate(other, Y.encodeStateAsUpdate(doc));
    songEdits(doc).settleBreak(place, extent, { kind: 'ad lib', playerId: 'ann' });
    songEdits(other, 1).settleBreak(place, extent, { kind: 'ad lib', playerId: 'ben' });
    Y.applyUpdate(other, Y.encodeStateAsUpdate(doc));
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(other));
    expect(songOf(doc)).toEqual(songOf(other));
    const { settled, proposals } = songOf(doc);
    const here = [...settled, ...proposals].filter(
      ({ place: at }) => at.passId === passId && at.noteId === null,
    );
    expect(here.length).toBeGreaterThanOrEqual(2);
    expect(settled.filter(({ place: at }) => at.passId === passId && at.noteId === null)).toHaveLength(1);
  });
});

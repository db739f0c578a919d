import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { itemAt } from '@/lib/base';
import { keptIn, MOST_KEPT, newSongDocument, readSong, type SongEdits, songKept } from '@/lib/document';
import type { Song } from '@/lib/song';
import { bar, clock, SONG, songEdits } from './sample';

const value = <T>(result: { ok: true; value: T } | { ok: false; error: { what: string } }): T => {
  if (!result.ok) throw new Error(result.error.what);
  return result.value;
};
/** What a band agrees on: the song without what is put to the band and talked about. */
const agreed = ({ proposals: _p, votes: _v, comments: _c, ...song }: Song) => song;
const songOf = (doc: Y.Doc): Song => readSong(doc).song;
const place = { passId: 'pass-1', noteId: 'n4', voiceId: 'lead' };
const { id: _id, ...newBar } = bar('', { ticks: 1920 });

/** Edits of every kind of map. */
const CHANGES: Readonly<Record<string, (edits: SongEdits) => unknown>> = {
  title: (edits) => edits.setTitle('Another'),
  tempo: (edits) => edits.setTempo(61),
  key: (edits) => edits.transpose(3),
  'a bar': (edits) => edits.insertBar('verse', 'v1', newBar),
  'a bar out': (edits) => edits.removeBar('v3'),
  'the order': (edits) => edits.movePass('pass-2', 0),
  'a note out': (edits) => edits.removeNote('n2'),
  'a word': (edits) => edits.setSyllable('n2', 1, null),
  'a role': (edits) => edits.setRole('pass-1', 'ann', null),
  'a setting': (edits) => edits.setSetting('cy', { instrument: 'fiddle' }),
  settled: (edits) => edits.settle(place, { from: 960, to: 2880 }, { kind: 'ad lib', playerId: 'bo' }),
  'a phrase end': (edits) => edits.endPhrase('n2', null),
  ending: (edits) => edits.setEnding({ kind: 'tag line' }),
  talk: (edits) => edits.comment(null, 'One more'),
};

describe('a song as it was agreed on', () => {
  it('is kept, read and gone back to in one step, with what came after kept beside it', () => {
    const doc = newSongDocument(SONG);
    const edits = songEdits(doc, 0, clock(5_000));
    const then = songOf(doc);
    const id = value(edits.keep('  Friday '));
    expect(keptIn(doc)).toEqual([{ id, name: 'Friday', by: 'player-0', at: 5_000 }]);
    for (const change of Object.values(CHANGES)) change(edits);
    const after = songOf(doc);
    expect(agreed(after)).not.toEqual(agreed(then));
    expect(agreed(value(songKept(doc, id)))).toEqual(agreed(then));

    const beside = value(edits.goBack(id));
    expect(agreed(songOf(doc))).toEqual(agreed(then));
    // What was said meanwhile stays.
    expect(songOf(doc).comments.map(({ text }) => text)).toContain('One more');
    expect(keptIn(doc).map(({ name }) => name)).toEqual(['Before going back to Friday', 'Friday']);
    expect(agreed(value(songKept(doc, String(beside))))).toEqual(agreed(after));
    expect(value(edits.goBack(id))).toBeNull();

    expect(edits.undo()).toBe('going back to Friday');
    expect(agreed(songOf(doc))).toEqual(agreed(after));
    expect(keptIn(doc)).toHaveLength(1);
    edits.redo();
    expect(agreed(songOf(doc))).toEqual(agreed(then));
  });

  it('whatever was changed, in whatever order, by two people: going back gives what was kept', () => {
    const names = fc.constantFrom(...Object.keys(CHANGES));
    fc.assert(
      fc.property(fc.array(fc.tuple(names, fc.boolean()), { maxLength: 12 }), fc.nat(12), (steps, at) => {
        const docs = [newSongDocument(SONG, 1), new Y.Doc()] as const;
        Y.applyUpdate(docs[1], Y.encodeStateAsUpdate(docs[0]));
        const people = docs.map((doc, i) => songEdits(doc, i));
        const [first] = docs;
        const kept: { readonly id: string; readonly song: Song }[] = [];
        steps.forEach(([name, isFirst], i) => {
          if (i === Math.min(at, steps.length - 1))
            kept.push({ id: value(itemAt(people, 0).keep('then')), song: songOf(first) });
          CHANGES[name]?.(itemAt(people, isFirst ? 0 : 1));
          if (i % 3 === 2)
            for (const [one, other] of [docs, [docs[1], docs[0]] as const])
              Y.applyUpdate(other, Y.encodeStateAsUpdate(one));
        });
        if (kept.length === 0) return;
        const { id, song } = itemAt(kept, 0);
        Y.applyUpdate(first, Y.encodeStateAsUpdate(docs[1]));
        value(itemAt(people, 0).goBack(id));
        expect(agreed(songOf(first))).toEqual(agreed(song));
        Y.applyUpdate(docs[1], Y.encodeStateAsUpdate(first));
        expect(songOf(docs[1])).toEqual(songOf(first));
        expect(readSong(first).broken).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });

  it('cannot be kept without a name, nor beyond a number; is thrown away; what is damaged says so', () => {
    const doc = newSongDocument(SONG);
    const edits = songEdits(doc);
    expect(edits.keep('  ').ok).toBe(false);
    expect(edits.keep('x'.repeat(81)).ok).toBe(false);
    const id = value(edits.keep('one'));
    value(edits.throwAway(id));
    expect(keptIn(doc)).toEqual([]);
    expect(edits.goBack(id).ok).toBe(false);
    for (let i = 0; i < MOST_KEPT; i++) value(edits.keep(`no ${i}`));
    expect(edits.keep('one more').ok).toBe(false);

    doc.getMap('kept').set('bad', { name: 'bad', by: null, at: 1, state: 'no such thing' });
    doc.getMap('kept').set('worse', 7);
    const before = songOf(doc);
    for (const broken of ['bad', 'worse']) expect(edits.goBack(broken).ok).toBe(false);
    expect(songOf(doc)).toBe(before);
    expect(songKept(doc, 'bad').ok).toBe(false);
  });
});

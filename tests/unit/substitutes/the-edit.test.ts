import { describe, expect, it } from 'vitest';
import { itemAt, must } from '@/lib/base';
import { keptIn, MOST_KEPT, SongEdits, songKept } from '@/lib/document';
import { substituteIn } from '@/lib/substitutes';
import { guest, open, players, plays, songs, value, whereNamed } from './hand-over';

describe('the edit', () => {
  it('keeps the song as it was, in the same step, and gives it back with what came after kept in its stead', () => {
    const song = itemAt(songs, 1);
    const to = guest({ instruments: ['banjo'] });
    const { writes } = value(
      substituteIn({ song, players: [...players, to], fromId: plays('banjo').id, toId: to.id }),
    );
    const page = open(song);
    const before = page.song();
    let updates = 0;
    page.doc.on('update', () => {
      updates += 1;
    });
    const id = value(page.edits.substituteKeeping(writes, 'Before Lou'));
    expect(updates).toBe(1);
    const handed = page.song();
    expect(whereNamed(handed, to.id)).not.toEqual([]);
    expect(keptIn(page.doc).map(({ name }) => name)).toEqual(['Before Lou']);

    // One undo takes all of it back, and what was kept with it.
    page.edits.undo();
    expect(page.song()).toEqual(before);
    expect(keptIn(page.doc)).toEqual([]);
    page.edits.redo();
    expect(page.song()).toEqual(handed);

    // Later, and by somebody else, it is gone back to.
    const later = new SongEdits(page.doc, { by: null, now: () => 9, makeId: () => 'later' });
    value(later.setTitle('Another title'));
    value(later.giveBack(id));
    expect({ ...page.song(), proposals: [] }).toEqual({ ...before, proposals: [] });
    expect(keptIn(page.doc).map(({ name }) => name)).toEqual(['Before going back to Before Lou']);
    expect(value(songKept(page.doc, 'later')).title).toBe('Another title');
    expect(later.giveBack(id).ok).toBe(false);
  });

  it('writes nothing at all where nothing more can be kept', () => {
    const song = itemAt(songs, 1);
    const to = guest({ instruments: ['banjo'] });
    const { writes } = value(
      substituteIn({ song, players: [...players, to], fromId: plays('banjo').id, toId: to.id }),
    );
    const page = open(song);
    for (let i = 0; i < MOST_KEPT; i++) value(page.edits.keep(`state ${i}`));
    const before = page.song();
    expect(page.edits.substituteKeeping(writes, 'Before Lou').ok).toBe(false);
    expect(page.edits.substituteKeeping({ ...writes, toId: writes.fromId }, 'Before Lou').ok).toBe(false);
    expect(page.song()).toEqual(before);
  });

  it('passes over what is gone meanwhile, and takes nothing that is not sound', () => {
    const song = itemAt(songs, 1);
    const to = guest({ instruments: ['banjo'] });
    const { writes } = value(
      substituteIn({ song, players: [...players, to], fromId: plays('banjo').id, toId: to.id }),
    );
    const page = open(song);
    const before = page.song();
    expect(page.edits.substitute({ ...writes, setting: { ...writes.setting, capo: 99 } }).ok).toBe(false);
    expect(page.edits.substitute({ ...writes, toId: writes.fromId }).ok).toBe(false);
    const flat = writes.answers.map((each) => ({ ...each, extent: { from: 5, to: 5 } }));
    expect(page.edits.substitute({ ...writes, answers: flat }).ok).toBe(false);
    expect(page.song()).toEqual(before);
    const gone = itemAt(writes.answers, 0);
    const place = must(before.settled.find(({ id }) => id === gone.answerId)?.place, 'a place');
    value(page.edits.unsettle(place));
    value(page.edits.substitute(writes));
    expect(page.song().settled.some(({ id }) => id === gone.answerId)).toBe(false);
    expect(whereNamed(page.song(), writes.fromId)).toEqual([]);
  });
});

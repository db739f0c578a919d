import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import type { Result } from '@/lib/base';
import { newSongDocument, readSong } from '@/lib/document';
import { checkSong, type SungNote } from '@/lib/song';
import { SONG, songEdits } from './sample';

function value<T>(result: Result<T>): T {
  if (!result.ok) throw new Error(`${result.error.what}: ${result.error.mend}`);
  return result.value;
}

function open() {
  const doc = newSongDocument({ ...SONG, phraseEnds: [], singing: [] });
  return { doc, edits: songEdits(doc), song: () => readSong(doc).song };
}

/** Two people with one song, cut off from one another until they meet. */
function two() {
  const docs = [newSongDocument({ ...SONG, phraseEnds: [] }, 1), new Y.Doc()] as const;
  const meet = () => {
    Y.applyUpdate(docs[1], Y.encodeStateAsUpdate(docs[0], Y.encodeStateVector(docs[1])));
    Y.applyUpdate(docs[0], Y.encodeStateAsUpdate(docs[1], Y.encodeStateVector(docs[0])));
  };
  meet();
  return {
    a: songEdits(docs[0], 0),
    b: songEdits(docs[1], 1),
    meet,
    songs: () => docs.map((doc) => readSong(doc).song),
  };
}

const said = (song: typeof SONG) =>
  song.phraseEnds.map(
    ({ noteId, stanza, ends }) => `${noteId}/${stanza ?? 'all'} ${ends ? 'ends' : 'goes on'}`,
  );

const noteOf = (id: string): SungNote => {
  const note = SONG.notes.find((each) => each.id === id);
  if (!note) throw new Error(id);
  return note;
};

describe('where phrases end', () => {
  it('is said for every stanza or one, taken back, and undone', () => {
    const { edits, song } = open();
    value(edits.endPhrase('n2', null));
    value(edits.joinPhrase('n1', 2));
    value(edits.joinPhrase('n2', 3));
    expect(said(song())).toEqual(['n1/2 goes on', 'n2/all ends', 'n2/3 goes on']);
    value(edits.letModelDecide('n2', 3));
    expect(said(song())).toEqual(['n1/2 goes on', 'n2/all ends']);
    edits.undo();
    value(edits.letModelDecide('n2', null));
    expect(said(song())).toEqual(['n1/2 goes on']);
    expect(checkSong(song())).toEqual([]);
  });

  it('for every stanza means every one, whatever was said for one of them', () => {
    const { edits, song } = open();
    value(edits.joinPhrase('n2', 2));
    value(edits.endPhrase('n2', null));
    expect(said(song())).toEqual(['n2/all ends']);
    edits.undo();
    expect(said(song())).toEqual(['n2/2 goes on']);
  });

  it('moves in one step, which one undo takes back', () => {
    const { doc, edits, song } = open();
    value(edits.endPhrase('n1', null));
    let updates = 0;
    doc.on('update', () => {
      updates += 1;
    });
    value(edits.movePhraseEnd('n1', 'n2', null));
    expect(updates).toBe(1);
    expect(said(song())).toEqual(['n1/all goes on', 'n2/all ends']);
    expect(edits.nextUndo).toBe('a phrase’s end');
    edits.undo();
    expect(said(song())).toEqual(['n1/all ends']);
    value(edits.movePhraseEnd('n1', 'n1', null));
    expect(said(song())).toEqual(['n1/all ends']);
  });

  it('is hidden with its note, and with the note’s bar, and is back with them', () => {
    const { edits, song } = open();
    value(edits.endPhrase('n2', null));
    value(edits.removeNote('n2'));
    expect(said(song())).toEqual([]);
    edits.undo();
    expect(said(song())).toEqual(['n2/all ends']);
    value(edits.removeBar('v1'));
    expect(said(song())).toEqual([]);
    edits.undo();
    expect(said(song())).toEqual(['n2/all ends']);
  });

  it('stays where it is when the song is transposed or the note is moved', () => {
    const { edits, song } = open();
    value(edits.endPhrase('n3', 1));
    value(edits.transpose(3));
    value(edits.setNote('n3', { barId: 'v3', offset: 480 }));
    expect(said(song())).toEqual(['n3/1 ends']);
  });

  it('merges note by note and stanza by stanza; of two words on one, one stands for both people', () => {
    const { a, b, meet, songs } = two();
    value(a.endPhrase('n1', 1));
    value(a.endPhrase('n2', null));
    value(b.endPhrase('n1', 2));
    value(b.joinPhrase('n2', null));
    meet();
    const [first, second] = songs();
    expect(first).toEqual(second);
    expect(first && said(first).slice(0, 2)).toEqual(['n1/1 ends', 'n1/2 ends']);
    expect(first?.phraseEnds).toHaveLength(3);
  });

  it('is refused for a note or stanza that is not there', () => {
    const { edits } = open();
    expect(edits.endPhrase('nothing', null).ok).toBe(false);
    expect(edits.movePhraseEnd('n1', 'nothing', null).ok).toBe(false);
    expect(edits.endPhrase('n1', 0).ok).toBe(false);
    expect(edits.canUndo).toBe(false);
  });
});

describe('sung notes put together', () => {
  it('are one edit, words and all, and one step of undo', () => {
    const { doc, edits, song } = open();
    let updates = 0;
    doc.on('update', () => {
      updates += 1;
    });
    const before = song();
    const word = { text: 'weir', joins: false, endsLine: true };
    value(
      edits.putSung('tapping', {
        put: [
          { ...noteOf('n2'), offset: 480, syllables: [{ text: 'mill', joins: false, endsLine: false }] },
          { ...noteOf('n2'), id: 'new', offset: 1920, stanzas: [2], syllables: [null, word] },
        ],
        remove: ['n3'],
      }),
    );
    expect(updates).toBe(1);
    expect(song().notes.map(({ id, offset, stanzas }) => [id, offset, stanzas])).toEqual([
      ['n1', 0, []],
      ['n2t', 0, []],
      ['n2', 480, []],
      ['new', 1920, [2]],
      ['n4', 0, []],
    ]);
    expect(song().notes[2]?.syllables).toEqual([{ text: 'mill', joins: false, endsLine: false }]);
    expect(song().notes[3]?.syllables).toEqual([null, word]);
    expect(edits.nextUndo).toBe('tapping');
    edits.undo();
    expect(song()).toEqual(before);
  });

  it('leave a word alone that they do not change, so that somebody else’s correction stands', () => {
    const { a, b, meet, songs } = two();
    value(a.putSung('moving a word', { put: [{ ...noteOf('n2'), offset: 240 }], remove: [] }));
    value(b.setSyllable('n2', 1, { text: 'wheel', joins: false, endsLine: false }));
    meet();
    const note = songs()[0]?.notes.find(({ id }) => id === 'n2');
    expect([note?.offset, note?.syllables[0]?.text]).toEqual([240, 'wheel']);
  });

  it('are refused whole where one of them cannot stand', () => {
    const { edits, song } = open();
    const before = song();
    const late = { ...noteOf('n3'), offset: 99_999 };
    expect(edits.putSung('x', { put: [{ ...noteOf('n2'), offset: 1 }, late], remove: [] }).ok).toBe(false);
    expect(edits.putSung('x', { put: [{ ...noteOf('n2'), offset: 1 }], remove: ['gone'] }).ok).toBe(false);
    expect(edits.putSung('x', { put: [{ ...noteOf('n2'), stanzas: [2, 1] }], remove: [] }).ok).toBe(false);
    expect(song()).toBe(before);
  });
});

describe('chords that go along with tapped words', () => {
  const nothing = { put: [], remove: [] } as const;

  it('move in the same step, keep what they are, and come back with it', () => {
    const { doc, edits, song } = open();
    const before = song();
    value(edits.transpose(1));
    const chords = [{ id: 'ch2', barId: 'v3', offset: 960 }];
    value(edits.putSung('tapping', { put: [{ ...noteOf('n2'), offset: 480 }], remove: [], chords }));
    expect(song().chords.find(({ id }) => id === 'ch2')).toMatchObject({ ...chords[0], symbol: 'Db/Ab' });
    expect(song().notes.find(({ id }) => id === 'n2')?.offset).toBe(480);
    edits.undo();
    edits.undo();
    expect(song()).toEqual(before);
    expect(edits.putSung('x', { ...nothing, chords: [{ id: 'gone', barId: 'v3', offset: 0 }] }).ok).toBe(
      false,
    );
    expect(edits.putSung('x', { ...nothing, chords: [{ id: 'ch2', barId: 'v3', offset: 99_999 }] }).ok).toBe(
      false,
    );
    expect(readSong(doc).song).toEqual(before);
  });

  it('are neither lost nor doubled where two people move them at once', () => {
    for (const [first, second] of [
      ['v3', 'v1'],
      ['v1', 'v3'],
    ] as const) {
      const { a, b, meet, songs } = two();
      const symbols = SONG.chords.map(({ symbol }) => symbol).sort();
      value(a.putSung('x', { ...nothing, chords: [{ id: 'ch2', barId: first, offset: 1920 }] }));
      value(
        b.putSung('x', {
          ...nothing,
          chords: SONG.chords.map(({ id }, i) => ({ id, barId: second, offset: i * 480 })),
        }),
      );
      meet();
      const [one, other] = songs();
      expect(one).toEqual(other);
      expect(one?.chords.map(({ symbol }) => symbol).sort()).toEqual(symbols);
    }
  });

  it('are no longer a guess once somebody has taken them, and are one again when that is taken back', () => {
    const sections = SONG.sections.map((section) => ({ ...section, chordsGuessed: true as const }));
    const doc = newSongDocument({ ...SONG, sections });
    const edits = songEdits(doc);
    const guessed = () => readSong(doc).song.sections.map(({ chordsGuessed }) => chordsGuessed ?? false);
    expect(guessed()).not.toContain(false);
    value(edits.putSung('tapping', { ...nothing, chordsKnownIn: sections[0]?.id ?? '' }));
    expect(guessed()[0]).toBe(false);
    expect(guessed().slice(1)).not.toContain(false);
    edits.undo();
    expect(guessed()).not.toContain(false);
  });
});

describe('a chord', () => {
  it('moves with its name as it was written, under whatever transposition', () => {
    const { edits, song } = open();
    value(edits.transpose(1));
    const id = value(edits.moveChord('ch2', 'v1', 960));
    expect(song().chords.map(({ offset, symbol }) => [offset, symbol])).toEqual([
      [0, 'Eb'],
      [960, 'Db/Ab'],
      [0, 'what is this'],
    ]);
    value(edits.transpose(-1));
    expect(song().chords.find((chord) => chord.id === id)?.symbol).toBe('C/G');
    edits.undo();
    edits.undo();
    edits.undo();
    expect(song().chords).toEqual(SONG.chords);
  });

  it('does not land on another, nor outside its bar; a new one where it was does not touch it', () => {
    const { edits, song } = open();
    expect(edits.moveChord('ch2', 'v1', 0).ok).toBe(false);
    expect(edits.moveChord('ch2', 'v1', 2880).ok).toBe(false);
    value(edits.setChord('v3', 0, 'A'));
    value(edits.moveChord('v3:0', 'v3', 960));
    value(edits.setChord('v3', 0, 'B'));
    expect(
      song()
        .chords.filter(({ barId }) => barId === 'v3')
        .map(({ symbol }) => symbol),
    ).toEqual(['B', 'A']);
    value(edits.moveChord('v3:0', 'v3', 1920));
    expect(
      song()
        .chords.filter(({ barId }) => barId === 'v3')
        .map(({ offset }) => offset),
    ).toEqual([960, 1920]);
  });
});

describe('what is agreed beside the notes', () => {
  it('is said field by field: two people who change two of them both win', () => {
    const { a, b, meet, songs } = two();
    value(a.setStart({ with: 'kick-off', tempo: null }));
    value(b.setStart({ counts: 'bo' }));
    value(a.setEnding({ kind: 'dead stop' }));
    value(b.setEnding({ note: '' }));
    meet();
    for (const song of songs()) {
      expect(song.start).toEqual({ playerId: 'bo', with: 'kick-off', counts: 'bo', tempo: null });
      expect(song.ending).toEqual({ kind: 'dead stop', signalBy: 'ann', note: '' });
    }
  });

  it('a tapped tempo is kept with its range and date, as long as it is the tempo', () => {
    const { edits, song } = open();
    value(edits.setTappedTempo(104.5, { low: 101, high: 107 }));
    expect([song().tempo, song().tempoRange]).toEqual([104.5, { low: 101, high: 107, at: 1000 }]);
    value(edits.setTempo(90));
    expect([song().tempo, song().tempoRange]).toEqual([90, null]);
    edits.undo();
    expect(song().tempoRange).toEqual({ low: 101, high: 107, at: 1000 });
    expect(edits.setTappedTempo(5, { low: 4, high: 6 }).ok).toBe(false);
  });

  it('a voice’s range is moved with the song, and is refused upside down', () => {
    const { edits, song } = open();
    const range = () => song().voices[1]?.range;
    value(edits.transpose(2));
    value(edits.setVoice('tenor', { range: { low: 50, high: 69 } }));
    expect(range()).toEqual({ low: 50, high: 69 });
    value(edits.transpose(-3));
    expect(range()).toEqual({ low: 47, high: 66 });
    value(edits.setVoice('tenor', { name: 'High' }));
    expect(range()).toEqual({ low: 47, high: 66 });
    expect(edits.setVoice('tenor', { range: { low: 70, high: 60 } }).ok).toBe(false);
    value(edits.setVoice('tenor', { range: null }));
    expect(range()).toBeNull();
  });

  it('who sings is hidden with its pass, voice or note', () => {
    const { edits, song } = open();
    value(edits.setSinging({ passId: 'pass-1', voiceId: 'lead', noteId: 'n3', playerId: 'bo' }));
    value(edits.setSinging({ passId: 'pass-1', voiceId: 'tenor', noteId: null, playerId: null }));
    expect(song().singing).toHaveLength(2);
    value(edits.removeNote('n3'));
    expect(song().singing.map(({ voiceId }) => voiceId)).toEqual(['tenor']);
    edits.undo();
    value(edits.removePass('pass-1'));
    expect(song().singing).toEqual([]);
    edits.undo();
    value(edits.clearSinging({ passId: 'pass-1', voiceId: 'tenor', noteId: null }));
    expect(song().singing.map(({ voiceId }) => voiceId)).toEqual(['lead']);
    expect(edits.setSinging({ passId: 'x', voiceId: 'lead', noteId: null, playerId: null }).ok).toBe(false);
  });
});

import { describe, expect, it, vi } from 'vitest';
import * as Y from 'yjs';
import { must, type Result } from '@/lib/base';
import { newSongDocument, readSong } from '@/lib/document';
import { SONG, songEdits } from './sample';

const PLACE = { passId: 'pass-1', noteId: 'n3', voiceId: 'lead' };
const EXTENT = { from: 960, to: 3840 };

const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(result.error.what);
  return result.value;
};

/** Two people with one song; `meet` brings them together. */
function two() {
  const docs = [newSongDocument(SONG, 1), new Y.Doc()] as const;
  docs[0].clientID = 20;
  docs[1].clientID = 10;
  const meet = () => {
    Y.applyUpdate(docs[1], Y.encodeStateAsUpdate(docs[0], Y.encodeStateVector(docs[1])));
    Y.applyUpdate(docs[0], Y.encodeStateAsUpdate(docs[1], Y.encodeStateVector(docs[0])));
  };
  meet();
  return {
    a: songEdits(docs[0], 0),
    b: songEdits(docs[1], 1),
    meet,
    song: () => readSong(docs[0]).song,
    docs,
  };
}

describe('undo', () => {
  it('takes back this person’s edits one by one, says which, and does them again', () => {
    const doc = newSongDocument(SONG);
    const edits = songEdits(doc);
    const heard = vi.fn();
    const stop = edits.onUndoChange(heard);
    value(edits.setTempo(120));
    value(edits.removeNote('n2'));
    const pass = value(edits.addPass({ sectionId: 'verse' }));
    const end = readSong(doc).song;
    expect([edits.canUndo, edits.canRedo, edits.nextUndo, edits.nextRedo]).toEqual([
      true,
      false,
      'a new pass',
      null,
    ]);
    expect([edits.undo(), edits.undo(), edits.undo(), edits.undo()]).toEqual([
      'a new pass',
      'removing a note',
      'the tempo',
      null,
    ]);
    expect(readSong(doc).song).toEqual(SONG);
    expect([edits.redo(), edits.redo(), edits.redo(), edits.redo()]).toEqual([
      'the tempo',
      'removing a note',
      'a new pass',
      null,
    ]);
    expect(readSong(doc).song).toEqual(end);
    expect(end.passes.at(-1)?.id).toBe(pass);
    edits.undo();
    value(edits.setTitle('Another way'));
    expect(edits.canRedo).toBe(false);
    expect(heard.mock.calls.length).toBeGreaterThan(8);
    stop();
    heard.mockClear();
    edits.undo();
    expect(heard).not.toHaveBeenCalled();
  });

  it('leaves alone what somebody else has changed since', () => {
    const { a, b, meet, song } = two();
    value(a.setTempo(120));
    value(a.setTitle('Mine'));
    meet();
    value(b.setTitle('Theirs'));
    meet();
    expect(a.undo()).toBe('the tempo');
    expect(song().title).toBe('Theirs');
    expect(song().tempo).toBe(96);
    expect(a.undo()).toBeNull();
  });

  it('keeps the note where two people change it at once and the one whose value stands takes it back', () => {
    for (const [mine, theirs] of [
      [0, 1],
      [1, 0],
    ] as const) {
      const { a, b, meet, song } = two();
      const people = [a, b];
      value(must(people[mine], 'a').setNote('n2', { midi: 70 }));
      value(must(people[theirs], 'b').setNote('n2', { midi: 71 }));
      meet();
      must(people[mine], 'a').undo();
      meet();
      expect(song().notes.map((note) => note.id)).toEqual(SONG.notes.map((note) => note.id));
      expect([66, 71]).toContain(song().notes.find((note) => note.id === 'n2')?.midi);
    }
  });

  it('does not bring back a note that somebody else has removed since', () => {
    const { a, b, meet, song } = two();
    value(a.setNote('n2', { midi: 70 }));
    meet();
    value(b.removeNote('n2'));
    meet();
    expect(a.undo()).toBeNull();
    expect(song().notes.map((note) => note.id)).not.toContain('n2');
  });

  it('keeps what others put into a thing whose adding is undone', () => {
    const { a, b, meet, song, docs } = two();
    const pass = value(a.addPass({ sectionId: 'verse' }));
    const bar = value(
      a.insertBar('verse', 'v1', {
        meter: { count: 3, unit: 4 },
        ticks: 2880,
        pickup: false,
        endings: [],
        key: null,
        tempo: null,
      }),
    );
    meet();
    value(b.setRole(pass, 'bo', 'break'));
    const note = value(
      b.addNote({
        voiceId: 'lead',
        barId: bar,
        offset: 0,
        ticks: 960,
        midi: 60,
        breath: false,
        fermata: false,
      }),
    );
    meet();
    a.undo();
    a.undo();
    expect(song()).toEqual(SONG);
    expect(readSong(docs[0]).broken).toEqual([]);
    a.redo();
    a.redo();
    meet();
    expect(song().passes.at(-1)?.roles).toEqual({ bo: 'break' });
    expect(song().notes.map((each) => each.id)).toContain(note);
  });

  it('does not bring back a settled answer where somebody else has settled the place since, or at once', () => {
    for (const atOnce of [false, true]) {
      const { a, b, meet, song } = two();
      value(a.settle(PLACE, EXTENT, { kind: 'ad lib', playerId: 'ann' }));
      if (!atOnce) meet();
      const theirs = value(b.settle(PLACE, EXTENT, { kind: 'left open' }));
      meet();
      a.undo();
      meet();
      expect(song().settled.map((answer) => answer.id)).toEqual(['s2', theirs]);
      expect(song().proposals).toEqual(SONG.proposals);
    }
  });
});

describe('what two people did alike at once', () => {
  const bar = (song: ReturnType<typeof readSong>['song']) =>
    song.sections[0]?.bars.some(({ id }) => id === 'v1') ?? false;
  const CASES = [
    ['a note removed', (e) => e.removeNote('n2'), (song) => song.notes.some(({ id }) => id === 'n2')],
    ['a bar removed', (e) => e.removeBar('v1'), bar],
    ['a pass removed', (e) => e.removePass('pass-2'), (song) => song.passes.length === 3],
    ['a word removed', (e) => e.setSyllable('n4', 1, null), (song) => song.notes[4]?.syllables.length === 1],
    ['a tempo set', (e) => e.setTempo(120), (song) => song.tempo === 96],
    ['a chord changed', (e) => e.setChord('v1', 0, 'G'), (song) => song.chords[0]?.symbol === 'D'],
    ['a transposition', (e) => e.transpose(2), (song) => song.key.tonic === 'D'],
  ] as const satisfies readonly (readonly [
    string,
    (edits: ReturnType<typeof two>['a']) => Result<unknown>,
    (song: ReturnType<typeof readSong>['song']) => boolean,
  ])[];

  for (const [name, edit, stands] of CASES) {
    it(`${name}: either takes it back, for both, and the other has nothing left to take back`, () => {
      for (const first of [0, 1] as const) {
        const { a, b, meet, song } = two();
        const [one, other] = first === 0 ? [a, b] : [b, a];
        value(edit(a));
        value(edit(b));
        meet();
        expect(stands(song())).toBe(false);
        expect(one.undo()).not.toBeNull();
        meet();
        expect(stands(song())).toBe(true);
        expect(other.undo()).toBeNull();
        meet();
        expect(stands(song())).toBe(true);
        one.redo();
        meet();
        expect(stands(song())).toBe(false);
      }
    });

    it(`${name}: taken back by both at once, it is back once`, () => {
      const { a, b, meet, song } = two();
      value(edit(a));
      value(edit(b));
      meet();
      a.undo();
      b.undo();
      meet();
      expect(song()).toEqual(SONG);
    });

    it(`${name}: taken back before the other was heard of, it ends alike for both`, () => {
      for (const first of [0, 1] as const) {
        const { a, b, meet, docs } = two();
        const [one, other] = first === 0 ? [a, b] : [b, a];
        value(edit(one));
        value(edit(other));
        one.undo();
        meet();
        expect(readSong(docs[0])).toEqual(readSong(docs[1]));
      }
    });
  }

  it('a tempo that somebody set again later is theirs', () => {
    const { a, b, meet, song } = two();
    value(a.setTempo(120));
    meet();
    value(b.setTempo(100));
    meet();
    value(b.setTempo(120));
    meet();
    expect(a.undo()).toBeNull();
    expect(song().tempo).toBe(120);
  });
});

describe('at once', () => {
  it('a note’s pitch and its word are both kept', () => {
    const { a, b, meet, song } = two();
    value(a.setNote('n2', { midi: 71 }));
    value(b.setSyllable('n2', 1, { text: 'wheel', joins: false, endsLine: false }));
    meet();
    const note = song().notes.find(({ id }) => id === 'n2');
    expect(note?.midi).toBe(71);
    expect(note?.syllables[0]?.text).toBe('wheel');
  });

  it('two fields of a bar, of a pass, and of a first setting are both kept', () => {
    const { a, b, meet, song } = two();
    value(a.setBar('v1', { ticks: 3000 }));
    value(b.setBar('v1', { tempo: 80 }));
    value(a.setRole('pass-2', 'ann', 'lead'));
    value(b.setRole('pass-2', 'bo', 'break'));
    value(a.setSetting('cy', { instrument: 'guitar', capo: 2 }));
    value(b.setSetting('cy', { instrument: 'guitar', tuning: 'drop D' }));
    meet();
    expect(song().sections[0]?.bars[1]).toMatchObject({ ticks: 3000, tempo: 80 });
    expect(song().passes[2]?.roles).toEqual({ ann: 'lead', bo: 'break' });
    expect(song().settings[2]).toMatchObject({ instrument: 'guitar', capo: 2, tuning: 'drop D' });
  });

  it('one chord put in by two people is one chord', () => {
    const { a, b, meet, song } = two();
    value(a.setChord('c1', 960, 'G'));
    value(b.setChord('c1', 960, 'G'));
    meet();
    expect(song().chords.filter((chord) => chord.barId === 'c1')).toHaveLength(2);
  });

  it('a change keeps the note that is removed at the same time', () => {
    const { a, b, meet, song } = two();
    value(a.removeNote('n2'));
    value(b.setNote('n2', { midi: 71 }));
    meet();
    expect(song().notes.find(({ id }) => id === 'n2')).toEqual({ ...SONG.notes[1], midi: 71 });
  });

  it('of two answers for one place the later stands, the other is among the proposals, with a way on', () => {
    const { a, b, meet, song } = two();
    const early = value(a.settle(PLACE, EXTENT, { kind: 'ad lib', playerId: 'ann' }));
    value(b.setTitle('So that the clock goes on'));
    value(b.comment(null, 'and on'));
    const late = value(b.settle(PLACE, EXTENT, { kind: 'left open' }));
    meet();
    expect(song().settled.map((answer) => answer.id)).toEqual(['s2', late]);
    expect(song().proposals.map((answer) => answer.id)).toEqual(['p1', early]);
    value(a.vote(early, true));
    const again = value(a.settleProposal(early));
    meet();
    expect(song().settled.map((answer) => answer.holding.kind)).toEqual(['left open', 'ad lib']);
    expect(song().settled.map((answer) => answer.id)).toContain(again);
    expect(song().proposals).toEqual(SONG.proposals);
  });
});

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { must, type Result } from '@/lib/base';
import { newSongDocument, readSong } from '@/lib/document';
import { roadmapTimeline, type Song } from '@/lib/song';
import { SONG, songEdits } from './sample';

const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(result.error.what);
  return result.value;
};

function open(song: Song = SONG) {
  const doc = newSongDocument(song);
  return { doc, edits: songEdits(doc), song: () => readSong(doc).song };
}

/** Two people with one song, cut off from one another until they meet. */
function two() {
  const docs = [newSongDocument(SONG, 1), new Y.Doc()] as const;
  const meet = () => {
    Y.applyUpdate(docs[1], Y.encodeStateAsUpdate(docs[0], Y.encodeStateVector(docs[1])));
    Y.applyUpdate(docs[0], Y.encodeStateAsUpdate(docs[1], Y.encodeStateVector(docs[0])));
  };
  meet();
  const song = () => readSong(docs[0]).song;
  return { a: songEdits(docs[0], 0), b: songEdits(docs[1], 1), meet, song, docs };
}

const midis = (song: Song) => Object.fromEntries(song.notes.map(({ id, midi }) => [id, midi]));
const symbols = (song: Song) => song.chords.map((chord) => chord.symbol);

describe('transposing', () => {
  it('moves keys, chords and sung notes, and leaves all else', () => {
    const { edits, song, doc } = open();
    let updates = 0;
    doc.on('update', () => {
      updates += 1;
    });
    value(edits.transpose(3));
    expect(updates).toBe(1);
    expect(song().key).toEqual({ tonic: 'F', mode: 'mixolydian' });
    expect(song().sections[0]?.bars[3]?.key).toEqual({ tonic: 'G', mode: 'minor' });
    expect(symbols(song())).toEqual(['F', 'Eb/Bb', 'what is this']);
    expect(midis(song())).toEqual({ n1: 65, n2: 69, n2t: 72, n3: 70, n4: 72 });
    expect(song().voices.map(({ range }) => range)).toEqual([{ low: 60, high: 74 }, null]);
    const { key: _k, sections: _s, chords: _c, notes: _n, voices: _v, ...rest } = SONG;
    expect(song()).toMatchObject(rest);
    expect(song().notes.map((note) => note.syllables)).toEqual(SONG.notes.map((note) => note.syllables));
  });

  it('there and back, or undone, is the song as it was written', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -12, max: 12 }), { minLength: 1, maxLength: 5 }),
        fc.boolean(),
        (steps, undone) => {
          const { edits, song } = open();
          const done = steps.filter((step) => edits.transpose(step).ok);
          if (undone) while (edits.canUndo) edits.undo();
          else for (const step of done.toReversed()) value(edits.transpose(-step));
          expect(song()).toEqual(SONG);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('shows what is written afterwards as it was written', () => {
    const { edits, song } = open();
    value(edits.transpose(1));
    value(edits.setChord('v1', 0, 'D#'));
    value(edits.setKey({ tonic: 'C#', mode: 'major' }));
    value(edits.setNote('n2', { offset: 480 }));
    value(edits.setBar('c1', { key: { tonic: 'A#', mode: 'minor' } }));
    expect(song().chords[0]?.symbol).toBe('D#');
    expect(song().key).toEqual({ tonic: 'C#', mode: 'major' });
    expect(song().sections[1]?.bars[0]?.key).toEqual({ tonic: 'A#', mode: 'minor' });
    expect(midis(song())).toMatchObject({ n1: 63, n2: 67 });
    value(edits.transpose(-1));
    expect(song().chords[0]?.symbol).toBe('D');
    expect(midis(song())).toMatchObject({ n1: 62, n2: 66 });
  });

  it('moves what others write at the same time, whoever comes first', () => {
    const { a, b, meet, song } = two();
    value(a.transpose(2));
    value(b.setChord('v1', 0, 'Em7'));
    value(b.setNote('n2', { midi: 62, offset: 480 }));
    const added = value(
      b.addNote({
        voiceId: 'lead',
        barId: 'v2',
        offset: 0,
        ticks: 480,
        midi: 60,
        breath: false,
        fermata: false,
      }),
    );
    value(b.setBar('v2', { key: { tonic: 'G', mode: 'major' } }));
    meet();
    expect(song().key.tonic).toBe('E');
    expect(symbols(song())[0]).toBe('F#m7');
    expect(midis(song())).toMatchObject({ n2: 64, [added]: 62 });
    expect(song().sections[0]?.bars[2]?.key?.tonic).toBe('A');
  });

  it('does not add up where two people do it at once: one of the two stands, for all that is in the song', () => {
    const { a, b, meet, song } = two();
    value(a.transpose(2));
    value(b.transpose(5));
    value(b.setNote('n2', { midi: 71 }));
    meet();
    const by = must(song().notes[0]?.midi, 'n1') - 62;
    expect([2, 5]).toContain(by);
    expect(midis(song())).toEqual({ n1: 62 + by, n2: 66 + by, n2t: 69 + by, n3: 67 + by, n4: 69 + by });
    expect(song().key.tonic).toBe(by === 2 ? 'E' : 'G');
  });

  it('keeps fills as they are; their chords then tell that they were made over others', () => {
    const { edits, song } = open();
    const chordAtFill = () => {
      const timeline = roadmapTimeline(song());
      const placed = timeline.notes
        .get('lead')
        ?.find(({ note, passId }) => note.id === 'n3' && passId === 'pass-1');
      return timeline.chordAt(must(placed, 'the place').startTick + 960)?.symbol;
    };
    const { holding } = must(song().settled[0], 's1');
    const madeOver = holding.kind === 'fill' ? holding.fill.chords : [];
    value(edits.setChord('v1', 1920, 'D'));
    expect(chordAtFill()).toBe(madeOver[0]?.symbol);
    value(edits.transpose(-2));
    expect(song().settled).toEqual(SONG.settled);
    expect(chordAtFill()).toBe('C');
    expect(madeOver[0]?.symbol).toBe('D');
    edits.undo();
    expect(chordAtFill()).toBe(madeOver[0]?.symbol);
  });

  it('is refused, with a way on, where a note or the song would be out of reach', () => {
    const { edits } = open();
    for (const semitones of [13, -13, 0.5, Number.NaN]) expect(edits.transpose(semitones).ok).toBe(false);
    for (let i = 0; i < 4; i++) value(edits.transpose(12));
    const refused = edits.transpose(12);
    expect(refused.ok ? null : refused.error.where).toBe('the note n2t');
    const silent = open({ ...SONG, notes: [] });
    for (let i = 0; i < 5; i++) value(silent.edits.transpose(12));
    expect(silent.edits.transpose(1).ok).toBe(false);
    value(silent.edits.transpose(-12));
  });

  it('leaves notes without a pitch without one', () => {
    const { edits, song } = open({ ...SONG, notes: SONG.notes.map((note) => ({ ...note, midi: null })) });
    value(edits.transpose(5));
    expect(song().notes.map(({ midi }) => midi)).toEqual([null, null, null, null, null]);
  });

  it('keeps identity where nothing moved, and lists a shift that cannot be read', () => {
    const { doc, edits, song } = open();
    value(edits.transpose(2));
    const before = song();
    value(edits.setTempo(77));
    expect(song().notes).toBe(before.notes);
    expect(song().chords).toBe(before.chords);
    expect(song().sections).toBe(before.sections);
    expect(song().key).toBe(before.key);
    doc.getMap('meta').set('shift', 'far');
    expect(readSong(doc).broken).toEqual(["the song's shift cannot be read"]);
    expect(song().key).toEqual(SONG.key);
  });
});

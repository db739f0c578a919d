import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { must, type Result } from '@/lib/base';
import { newSongDocument, readSong, SONG_VERSION, SongEdits } from '@/lib/document';
import { checkSong } from '@/lib/song';
import { bar, clock, idsOf, SONG, songEdits } from './sample';

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

describe('edits of a song', () => {
  it('set the head', () => {
    const { edits, song } = open();
    value(edits.setTitle('Two Mills'));
    value(edits.setKey({ tonic: 'Bb', mode: 'major' }));
    value(edits.setTempo(null));
    value(edits.setFeel({ ratio: 1 }));
    expect(song()).toEqual({
      ...SONG,
      title: 'Two Mills',
      key: { tonic: 'Bb', mode: 'major' },
      tempo: null,
      tempoRange: null,
      feel: { ratio: 1 },
    });
  });

  it('set words and notes apart', () => {
    const { edits, song } = open();
    value(edits.setSyllable('n2t', 3, { text: 'hey', joins: true, endsLine: false }));
    value(edits.setNote('n2t', { midi: 71, breath: true }));
    const note = must(
      song().notes.find(({ id }) => id === 'n2t'),
      'note',
    );
    expect(note).toEqual({
      ...SONG.notes[2],
      midi: 71,
      breath: true,
      syllables: [null, null, { text: 'hey', joins: true, endsLine: false }],
    });
    value(edits.setSyllable('n2t', 3, null));
    value(edits.setNote('n2t', { midi: 69, breath: false }));
    expect(song()).toEqual(SONG);
  });

  it('add, move and remove notes', () => {
    const { edits, song } = open();
    const id = value(
      edits.addNote({
        voiceId: 'tenor',
        barId: 'v3',
        offset: 960,
        ticks: 480,
        midi: 72,
        breath: false,
        fermata: true,
      }),
    );
    expect(song().notes.map((note) => note.id)).toEqual(['n1', 'n2', 'n2t', 'n3', id, 'n4']);
    value(edits.setNote(id, { barId: 'v0', offset: 0 }));
    expect(song().notes.map((note) => note.id)).toEqual(['n1', id, 'n2', 'n2t', 'n3', 'n4']);
    value(edits.removeNote(id));
    expect(song()).toEqual(SONG);
  });

  it('change the chord where one stands, else put one in', () => {
    const { edits, song } = open();
    expect(value(edits.setChord('v1', 1920, ' Am '))).toBe('ch2');
    const id = value(edits.setChord('c1', 1920, 'A7'));
    expect(song().chords.map((chord) => chord.symbol)).toEqual(['D', 'Am', 'what is this', 'A7']);
    expect(value(edits.setChord('c1', 1920, 'A'))).toBe(id);
    value(edits.removeChord(id));
    expect(song().chords.map((chord) => chord.symbol)).toEqual(['D', 'Am', 'what is this']);
  });

  it('put bars in without moving what hangs on others; a removed bar hides what hangs on it', () => {
    const { doc, edits, song } = open();
    const { id: _id, ...fields } = bar('', { endings: [2] });
    const first = value(edits.insertBar('verse', null, fields));
    const mid = value(edits.insertBar('verse', 'v1', fields));
    expect(song().sections[0]?.bars.map((each) => each.id)).toEqual([first, 'v0', 'v1', mid, 'v2', 'v3']);
    expect(song().sections[0]?.bars[0]).toEqual({ ...fields, id: first });
    expect(song().notes).toEqual(SONG.notes);
    value(edits.removeBar('v1'));
    expect(song().notes.map((note) => note.id)).toEqual(['n1', 'n4']);
    expect(song().chords.map((chord) => chord.id)).toEqual(['ch3']);
    expect(readSong(doc).broken).toEqual([]);
    expect(song().settled).toEqual(SONG.settled);
    edits.undo();
    expect(song().notes).toEqual(SONG.notes);
  });

  it('put several bars in by one step, all or none', () => {
    const { edits, song } = open();
    const { id: _id, ...fields } = bar('');
    const ids = () => song().sections[0]?.bars.map(({ id }) => id);
    const made = value(
      edits.insertBars('verse', [
        { afterBarId: 'v1', bar: fields },
        { afterBarId: 'v2', bar: fields },
      ]),
    );
    expect(ids()).toEqual(['v0', 'v1', made[0], 'v2', made[1], 'v3']);
    expect(song().notes).toEqual(SONG.notes);
    edits.undo();
    expect(ids()).toEqual(['v0', 'v1', 'v2', 'v3']);
    const refused = edits.insertBars('verse', [
      { afterBarId: 'v1', bar: fields },
      { afterBarId: 'c1', bar: fields },
    ]);
    expect(refused.ok).toBe(false);
    expect(ids()).toEqual(['v0', 'v1', 'v2', 'v3']);
  });

  it('put a pickup before a section and shorten what comes before it by one step, all or none', () => {
    const { edits, song } = open();
    const before = song().sections;
    const { id: _id, ...fields } = bar('');
    const pickup = { ...fields, pickup: true, ticks: 960 };
    const id = value(edits.putPickup('chorus', pickup, [{ barId: 'v3', ticks: 1920 }]));
    const sections = song().sections;
    expect(sections.find((each) => each.id === 'chorus')?.bars[0]).toMatchObject({
      id,
      pickup: true,
      ticks: 960,
    });
    expect(sections.flatMap(({ bars }) => bars).find((each) => each.id === 'v3')?.ticks).toBe(1920);
    edits.undo();
    expect(song().sections).toEqual(before);
    expect(edits.putPickup('chorus', pickup, [{ barId: 'gone', ticks: 1920 }]).ok).toBe(false);
    expect(edits.putPickup('chorus', pickup, [{ barId: 'v3', ticks: 0 }]).ok).toBe(false);
    expect(edits.putPickup('gone', pickup, []).ok).toBe(false);
    expect(song().sections).toEqual(before);
  });

  it('take several bars out by one step, all or none', () => {
    const { edits, song } = open();
    const ids = () => song().sections[0]?.bars.map(({ id }) => id);
    value(edits.removeBars(['v2', 'v3']));
    expect(ids()).toEqual(['v0', 'v1']);
    edits.undo();
    expect(ids()).toEqual(['v0', 'v1', 'v2', 'v3']);
    expect(edits.removeBars(['v3', 'gone']).ok).toBe(false);
    expect(ids()).toEqual(['v0', 'v1', 'v2', 'v3']);
  });

  it('set a bar’s fields, usual values too', () => {
    const { doc, edits, song } = open();
    value(
      edits.setBar('v3', {
        endings: [],
        key: null,
        tempo: null,
        pickup: true,
        meter: { count: 2, unit: 4 },
        ticks: 1920,
      }),
    );
    expect(song().sections[0]?.bars[3]).toEqual(
      bar('v3', { meter: { count: 2, unit: 4 }, ticks: 1920, pickup: true }),
    );
    value(edits.setBar('v1', { ticks: 480 }));
    expect(song().notes.map((note) => note.id)).toEqual(['n1', 'n2', 'n2t', 'n4']);
    expect(readSong(doc).broken).toEqual(
      ['chord ch2 lies behind the end of its bar', 'note n3 lies behind the end of its bar'].reverse(),
    );
    value(edits.setBar('v1', { ticks: 2880 }));
    expect(song().notes).toEqual(SONG.notes);
  });

  it('change the roadmap', () => {
    const { edits, song } = open();
    const ids = () => song().passes.map((pass) => pass.id);
    const last = value(edits.addPass({ sectionId: 'chorus', stanza: 3, roles: { bo: 'harmony' } }));
    const first = value(edits.addPass({ sectionId: 'verse' }, 0));
    expect(ids()).toEqual([first, 'pass-0', 'pass-1', 'pass-2', last]);
    expect(song().passes[4]).toEqual({
      id: last,
      sectionId: 'chorus',
      stanza: 3,
      ending: 1,
      name: '',
      roles: { bo: 'harmony' },
    });
    for (const [id, to, order] of [
      [first, 4, ['pass-0', 'pass-1', 'pass-2', last, first]],
      [last, 0, [last, 'pass-0', 'pass-1', 'pass-2', first]],
      ['pass-1', 1, [last, 'pass-1', 'pass-0', 'pass-2', first]],
      ['pass-1', 99, [last, 'pass-0', 'pass-2', first, 'pass-1']],
    ] as const) {
      value(edits.movePass(id, to));
      expect(ids()).toEqual(order);
    }
    value(edits.setPass('pass-1', { stanza: 2, ending: 3, name: 'Low' }));
    value(edits.setRole('pass-1', 'bo', null));
    value(edits.setRole('pass-1', 'cy', 'break'));
    expect(song().passes[4]).toEqual({
      id: 'pass-1',
      sectionId: 'verse',
      stanza: 2,
      ending: 3,
      name: 'Low',
      roles: { ann: 'lead', cy: 'break' },
    });
    value(edits.removePass('pass-1'));
    expect(ids()).toEqual([last, 'pass-0', 'pass-2', first]);
  });

  it('move to the index that was asked for among passes of one position too', () => {
    const { doc, edits, song } = open();
    for (const id of ['q1', 'q2', 'q3', 'q4']) {
      doc
        .getMap('passes')
        .set(id, new Y.Map(Object.entries({ sectionId: 'verse', position: 'a1', stanza: 1 })));
    }
    const ids = () => song().passes.map((pass) => pass.id);
    expect(ids()).toEqual(['pass-0', 'pass-1', 'q1', 'q2', 'q3', 'q4', 'pass-2']);
    for (let to = 0; to < 7; to++) {
      const others = ids().filter((id) => id !== 'pass-2');
      value(edits.movePass('pass-2', to));
      expect(ids()).toEqual(others.toSpliced(to, 0, 'pass-2'));
    }
  });

  it('put a thousand bars in at one place, and positions stay short', () => {
    const { doc, edits, song } = open();
    const { id: _id, ...fields } = bar('');
    let after = 'v1';
    for (let i = 0; i < 1000; i++) {
      const id = value(edits.insertBar('verse', i % 2 === 0 ? after : 'v1', fields));
      if (i % 2 === 0) after = id;
    }
    const bars = song().sections[0]?.bars ?? [];
    expect(bars).toHaveLength(1004);
    expect(bars.slice(0, 2).map((each) => each.id)).toEqual(['v0', 'v1']);
    const longest = Math.max(
      ...[...doc.getMap<Y.Map<unknown>>('bars').values()].map((each) => String(each.get('position')).length),
    );
    expect(longest).toBeLessThanOrEqual(50);
  });

  it('set sections, voices and how a player plays', () => {
    const { edits, song } = open();
    const id = value(edits.addSection('Tag'));
    value(edits.renameSection('verse', 'A part'));
    expect(song().sections.map((section) => section.name)).toEqual(['A part', 'Chorus', 'Tag']);
    value(edits.removeSection(id));
    value(edits.removeSection('chorus'));
    expect(song().sections.map((section) => section.name)).toEqual(['A part']);
    expect(song().passes.map((pass) => pass.id)).toEqual(['pass-0', 'pass-1']);
    expect(checkSong(song())).toEqual([]);
    value(edits.setVoice('tenor', { name: 'High', playerId: 'bo' }));
    const low = value(edits.addVoice({ name: 'Low', part: 'baritone', playerId: null }));
    expect(song().voices.slice(1)).toEqual([
      { id: 'tenor', name: 'High', part: 'tenor', playerId: 'bo', range: null },
      { id: low, name: 'Low', part: 'baritone', playerId: null, range: null },
    ]);
    value(edits.setSetting('ann', { capo: 5 }));
    value(edits.setSetting('cy', { instrument: 'fiddle' }));
    expect(song().settings[0]).toEqual({ ...SONG.settings[0], capo: 5 });
    expect(song().settings[2]).toEqual({
      playerId: 'cy',
      instrument: 'fiddle',
      tuning: 'standard',
      capo: 0,
      fifthCapo: null,
      rule: null,
    });
    expect(edits.setSetting('dee', { capo: 1 }).ok).toBe(false);
  });

  it('are one transaction each', () => {
    const { doc, edits } = open();
    let updates = 0;
    doc.on('update', () => {
      updates += 1;
    });
    value(edits.addPass({ sectionId: 'verse', roles: { ann: 'lead', bo: 'break' } }, 1));
    value(edits.settle(PLACE, EXTENT, { kind: 'left open' }));
    value(edits.setSetting('cy', { instrument: 'bass', rule: null, tuning: 'standard' }));
    expect(updates).toBe(3);
    value(edits.setTitle(SONG.title));
    expect(updates).toBe(3);
  });

  it('refuse what cannot be, with what, where and a way out, and write nothing', () => {
    const { doc, edits } = open();
    const state = Y.encodeStateAsUpdate(doc);
    const note = {
      voiceId: 'lead',
      barId: 'v1',
      offset: 0,
      ticks: 1,
      midi: 60,
      breath: false,
      fermata: false,
    };
    const { id: _id, ...fields } = bar('');
    const refused: Result<unknown>[] = [
      edits.setTempo(0),
      edits.setTempo(Number.NaN),
      edits.setTitle('x'.repeat(201)),
      edits.setKey({ tonic: 'H', mode: 'major' }),
      edits.setFeel({ ratio: 9 }),
      edits.setSyllable('gone', 1, null),
      edits.setSyllable('n1', 0, { text: '', joins: false, endsLine: false }),
      edits.setNote('n1', { midi: 128 }),
      edits.setNote('n1', { offset: 960 }),
      edits.setNote('n1', { barId: 'gone' }),
      edits.addNote({ ...note, voiceId: 'gone' }),
      edits.addNote({ ...note, ticks: 0 }),
      edits.removeNote('gone'),
      edits.setChord('v1', 2880, 'G'),
      edits.setChord('v1', 0, ' '),
      edits.setChord('v1', -1, 'G'),
      edits.removeChord('gone'),
      edits.setBar('v1', { ticks: 0 }),
      edits.setBar('gone', {}),
      edits.insertBar('gone', null, fields),
      edits.insertBar('verse', 'c1', fields),
      edits.insertBar('verse', null, { ...fields, tempo: 5 }),
      edits.removeBar('gone'),
      edits.addPass({ sectionId: 'gone' }),
      edits.addPass({ sectionId: 'verse', stanza: 0 }),
      edits.movePass('gone', 0),
      edits.movePass('pass-1', Number.NaN),
      edits.setPass('pass-1', { sectionId: 'gone' }),
      edits.setPass('pass-1', { ending: 0 }),
      edits.setRole('gone', 'ann', 'lead'),
      edits.setVoice('lead', { name: 'x'.repeat(81) }),
      edits.setSetting('ann', { capo: 12 }),
      edits.settle(PLACE, { from: 5, to: 5 }, { kind: 'left open' }),
      edits.settleProposal('gone'),
      edits.withdrawProposal('s1'),
      edits.vote('gone', true),
      edits.comment(null, '  '),
      edits.removeComment('gone'),
      new SongEdits(doc, { by: null, now: clock(), makeId: idsOf(1) }).vote('p1', true),
    ];
    for (const [i, result] of refused.entries()) {
      expect(result.ok, `the refusal ${i}`).toBe(false);
      if (!result.ok) for (const text of Object.values(result.error)) expect(text).not.toBe('');
    }
    expect(Y.encodeStateAsUpdate(doc)).toEqual(state);
    expect(edits.canUndo).toBe(false);
  });

  it('refuse to write into a document of a newer version, or one that is not loaded', () => {
    const { doc, edits } = open();
    value(edits.setTitle('Before'));
    doc.getMap('meta').set('version', SONG_VERSION + 1);
    expect(readSong(doc).readOnly).toBe(true);
    expect(readSong(doc).song.title).toBe('Before');
    const state = Y.encodeStateAsUpdate(doc);
    expect(edits.setTitle('After').ok).toBe(false);
    expect(edits.undo()).toBeNull();
    expect(Y.encodeStateAsUpdate(doc)).toEqual(state);
    const empty = new Y.Doc();
    expect(songEdits(empty).addSection('Verse').ok).toBe(false);
    expect(Y.encodeStateVector(empty)).toEqual(Y.encodeStateVector(new Y.Doc()));
  });
});

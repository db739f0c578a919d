import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { must, type Result } from '@/lib/base';
import {
  newBandDocument,
  newSongDocument,
  readBand,
  readSong,
  SONG_VERSION,
  SongEdits,
} from '@/lib/document';
import { checkSong, USUAL_ENTRY } from '@/lib/song';
import { BAND, bandEdits, bar, clock, idsOf, SONG, songEdits } from './sample';

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

describe('edits of a band', () => {
  function openBand() {
    const doc = newBandDocument(BAND);
    const edits = bandEdits(doc);
    return { doc, edits, band: () => readBand(doc).band };
  }

  it('change its name and players', () => {
    const { edits, band } = openBand();
    value(edits.rename(' Weir Street '));
    const { id: _id, ...fields } = must(BAND.players[0], 'player');
    const id = value(edits.addPlayer({ ...fields, name: 'Cy', initials: 'C', ink: 2 }));
    value(edits.setPlayer('bo', { spanMillimetres: null, comfortEighthsPerMinute: 300, name: 'Bobbie' }));
    value(edits.movePlayer(id, 0));
    expect(band()).toEqual({
      ...BAND,
      name: 'Weir Street',
      players: [
        { ...fields, id, name: 'Cy', initials: 'C', ink: 2 },
        BAND.players[0],
        { ...BAND.players[1], spanMillimetres: null, comfortEighthsPerMinute: 300, name: 'Bobbie' },
      ],
    });
    value(edits.removePlayer('ann'));
    expect(band().players.map((player) => player.id)).toEqual([id, 'bo']);
    expect(edits.setPlayer('ann', { name: 'No' }).ok).toBe(false);
    expect(edits.setPlayer('bo', { name: '' }).ok).toBe(false);
    expect(edits.rename('  ').ok).toBe(false);
  });

  it('change songs and sets; a removed song is not shown in sets, and back again with undo or by adding it', () => {
    const { edits, band } = openBand();
    const titles = () => band().songs.map((song) => song.title);
    const friday = () => band().sets[0]?.entries.map((entry) => entry.id);
    value(edits.addSong({ id: 'dew', title: 'Dew' }));
    expect(edits.addSong({ id: 'dew', title: 'Dew' }).ok).toBe(false);
    value(edits.moveSong('dew', 1));
    value(edits.renameSong('mill', 'Mill'));
    expect(titles()).toEqual(['Mill', 'Dew', 'Hay Before Rain', 'Late Ferry']);
    value(edits.removeSong('hay'));
    expect(friday()).toEqual(['e2']);
    edits.undo();
    expect(friday()).toEqual(['e1', 'e2', 'e3']);
    edits.redo();
    value(edits.addSong({ id: 'hay', title: 'Hay' }));
    expect(friday()).toEqual(['e1', 'e2', 'e3']);
    expect(titles()).toEqual(['Mill', 'Dew', 'Hay', 'Late Ferry']);

    const id = value(edits.addToSet('friday', 'dew', 1));
    value(edits.moveInSet('e3', 0));
    expect(friday()).toEqual(['e3', 'e1', id, 'e2']);
    value(edits.setEntryNote('e1', ''));
    value(edits.removeFromSet('e2'));
    value(edits.renameSet('short', 'Shorter'));
    value(edits.setTarget('short', 600));
    const late = value(edits.addSet('Late', 1200));
    value(edits.moveSet(late, 0));
    value(edits.removeSet('friday'));
    expect(band().sets).toEqual([
      { id: late, name: 'Late', targetSeconds: 1200, entries: [], pairs: [] },
      { id: 'short', name: 'Shorter', targetSeconds: 600, entries: [], pairs: [] },
    ]);
    edits.undo();
    expect(band().sets[1]?.entries).toEqual([
      { ...USUAL_ENTRY, id: 'e3', songId: 'hay' },
      {
        ...USUAL_ENTRY,
        id: 'e1',
        songId: 'hay',
        talkSeconds: 30,
        hold: 'first',
        linkBars: 2,
        breakAfter: true,
      },
      { ...USUAL_ENTRY, id, songId: 'dew' },
    ]);
    expect(edits.addToSet('friday', 'gone').ok).toBe(false);
    expect(edits.addToSet('gone', 'mill').ok).toBe(false);
    expect(edits.setTarget('short', -1).ok).toBe(false);
  });
});

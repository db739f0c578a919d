import { describe, expect, it } from 'vitest';
import { itemAt } from '../../../lib/base';
import {
  checkSong,
  roadmapTimeline,
  type Song,
  songSchema,
  soundingVoices,
  writtenTimeline,
} from '../../../lib/song';
import { tinySong } from '../spaces/tiny-song';

const base = tinySong(
  [
    {
      name: 'Verse',
      pickup: 1,
      voices: [{ part: 'lead', notes: '1 1 1 2 z4', words: ['and so we go', 'but no they stay'] }],
    },
    { name: 'Chorus', voices: [{ part: 'lead', notes: '2 2 2 2', words: ['la la la la'] }] },
  ],
  {
    passes: [
      { sectionId: 's1', stanza: 1 },
      { sectionId: 's2', stanza: 1 },
      { sectionId: 's1', stanza: null, roles: { ben: 'break' } },
      { sectionId: 's1', stanza: 2 },
    ],
  },
);

const words = (song: Song) =>
  [...roadmapTimeline(song).notes.values()].flat().map((note) => note.syllable?.text ?? '-');

describe('timelines', () => {
  it('lays a song as written: every section once, the first stanza', () => {
    const timeline = writtenTimeline(base);
    expect(timeline.bars.map((bar) => bar.number)).toEqual([0, 1, 2, 3, 4]);
    expect(timeline.endTick).toBe(960 + 4 * 3840);
    expect([...timeline.notes.values()].flat().map((note) => note.syllable?.text)).toEqual(
      'and so we go la la la la'.split(' '),
    );
  });

  it('runs the roadmap: each pass with its own words, nobody where nobody sings', () => {
    expect(words(base)).toEqual('and so we go la la la la but no they stay'.split(' '));
    const timeline = roadmapTimeline(base);
    expect(timeline.passes.map((pass) => pass.endTick - pass.startTick)).toEqual([8640, 7680, 8640, 8640]);
    // Common practice, no source: a pickup is not counted; it belongs with the bar before it.
    expect(itemAt(timeline.bars, 0).number).toBe(0);
    expect(timeline.bars.map((bar) => bar.number)).toEqual([0, 1, 2, 3, 4, 4, 5, 6, 6, 7, 8]);
  });

  it('plays only the endings of the time through', () => {
    const song = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '4 4 4' }] }], {
      passes: [{ ending: 1 }, { ending: 2 }],
    });
    const section = itemAt(song.sections, 0);
    const bars = section.bars.map((bar, i) => ({ ...bar, endings: i === 0 ? [] : [i] }));
    const timeline = roadmapTimeline({ ...song, sections: [{ ...section, bars }] });
    expect(timeline.bars.map((bar) => bar.bar.id)).toEqual(['s1b1', 's1b2', 's1b1', 's1b3']);
  });

  it('ends a note where the next begins, and where its pass ends', () => {
    const song = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '2 2' }] }], {
      passes: [{}, {}],
    });
    const notes = song.notes.map((note) => ({ ...note, ticks: 9000 }));
    const timeline = roadmapTimeline({ ...song, notes });
    const placed = timeline.notes.get('v1') ?? [];
    expect(placed.map((note) => [note.startTick, note.endTick])).toEqual([
      [0, 1920],
      [1920, 3840],
      [3840, 5760],
      [5760, 7680],
    ]);
    expect(placed.map((note) => note.index)).toEqual([0, 1, 2, 3]);
  });

  it('keeps the higher of two notes that begin at once', () => {
    const song = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '2 2' }] }]);
    const first = itemAt(song.notes, 0);
    const timeline = writtenTimeline({
      ...song,
      notes: [...song.notes, { ...first, id: 'above', midi: (first.midi ?? 0) + 4 }],
    });
    expect(timeline.notes.get('v1')?.map((note) => note.note.id)).toEqual(['above', 's1v1n2']);
  });

  it('silences a harmony voice whose singer does something else in the pass', () => {
    const song = tinySong(
      [
        {
          name: 'Verse',
          voices: [
            { part: 'lead', notes: '4' },
            { part: 'tenor', notes: '4', playerId: 'ben' },
          ],
        },
      ],
      {
        passes: [
          { roles: { ben: 'harmony' } },
          { roles: { ben: 'backup' } },
          { roles: {} },
          { stanza: null },
        ],
      },
    );
    expect(song.passes.map((pass) => soundingVoices(song, pass))).toEqual([
      ['v1', 'v2'],
      ['v1'],
      ['v1', 'v2'],
      [],
    ]);
  });

  it('takes only the notes of the stanza that a pass sings', () => {
    const song = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '1 1 2' }] }], {
      passes: [{ stanza: 1 }, { stanza: 2 }, { stanza: 3 }],
    });
    const notes = song.notes.map((note, i) => ({ ...note, stanzas: itemAt([[1], [2, 3], []], i) }));
    const own = { ...song, notes };
    const sung = roadmapTimeline(own).notes.get('v1');
    expect(sung?.map(({ note, startTick }) => [note.id, startTick])).toEqual([
      ['s1v1n1', 0],
      ['s1v1n3', 1920],
      ['s1v1n2', 3840 + 960],
      ['s1v1n3', 3840 + 1920],
      ['s1v1n2', 7680 + 960],
      ['s1v1n3', 7680 + 1920],
    ]);
    expect(
      writtenTimeline(own, 2)
        .notes.get('v1')
        ?.map(({ note }) => note.id),
    ).toEqual(['s1v1n2', 's1v1n3']);
  });

  it('lets people sing from the note on that they were named for, and nobody where nobody is', () => {
    const song = tinySong(
      [
        {
          name: 'Verse',
          voices: [
            { part: 'lead', notes: '1 1 1 1', playerId: 'ann' },
            { part: 'tenor', notes: '2 2', playerId: 'ben' },
          ],
        },
      ],
      { passes: [{ roles: { ben: 'backup' } }, { stanza: null }, {}] },
    );
    const at = (passId: string, voiceId: string, noteId: string | null, playerId: string | null) => ({
      passId,
      voiceId,
      noteId,
      playerId,
    });
    const timeline = roadmapTimeline({
      ...song,
      singing: [
        at('p1', 'v1', 's1v1n3', 'cy'),
        at('p1', 'v2', 's1v2n2', 'dee'),
        at('p2', 'v1', null, 'cy'),
        at('p3', 'v1', null, 'dee'),
        at('p3', 'v1', 's1v1n2', null),
        at('p3', 'v1', 's1v1n4', 'ann'),
      ],
    });
    const sung = (voiceId: string) =>
      timeline.notes.get(voiceId)?.map(({ note, passId, singer }) => `${passId} ${note.id} ${singer}`);
    expect(sung('v1')).toEqual([
      'p1 s1v1n1 ann',
      'p1 s1v1n2 ann',
      'p1 s1v1n3 cy',
      'p1 s1v1n4 cy',
      'p3 s1v1n1 dee',
      'p3 s1v1n4 ann',
    ]);
    expect(sung('v2')).toEqual(['p1 s1v2n2 dee', 'p3 s1v2n1 ben', 'p3 s1v2n2 ben']);
  });

  it('holds a chord until the next', () => {
    const song: Song = {
      ...base,
      chords: [
        { id: 'a', barId: 's1b1', offset: 0, symbol: 'G' },
        { id: 'b', barId: 's2b1', offset: 1920, symbol: 'C' },
      ],
    };
    const timeline = writtenTimeline(song);
    expect(timeline.chordAt(0)).toBeNull();
    expect(timeline.chordAt(960)?.symbol).toBe('G');
    expect(timeline.chordAt(960 + 2 * 3840 + 1919)?.symbol).toBe('G');
    expect(timeline.chordAt(960 + 2 * 3840 + 1920)?.symbol).toBe('C');
    expect(timeline.chordsIn(0, timeline.endTick).map((chord) => chord.symbol)).toEqual(['G', 'C']);
    expect(timeline.chordsIn(0, 960)).toEqual([]);
  });

  it('changes tempo at the bar that says so', () => {
    const section = itemAt(base.sections, 1);
    const bars = section.bars.map((bar, i) => (i === 0 ? { ...bar, tempo: 200 } : bar));
    const timeline = writtenTimeline({ ...base, sections: [itemAt(base.sections, 0), { ...section, bars }] });
    expect(timeline.tempo.tempoAt(0)).toBe(100);
    expect(timeline.tempo.tempoAt(960 + 2 * 3840)).toBe(200);
  });
});

describe('the schema and the invariants', () => {
  it('accepts the songs that tests are made of', () => {
    expect(songSchema.parse(base)).toEqual(base);
    expect(checkSong(base)).toEqual([]);
  });

  it('finds each breach', () => {
    const note = itemAt(base.notes, 0);
    const broken: Song = {
      ...base,
      notes: [
        ...base.notes,
        { ...note, id: 'x', barId: 'nowhere' },
        { ...note, voiceId: 'nobody', id: 'y' },
        note,
      ],
      passes: [...base.passes, { ...itemAt(base.passes, 0), id: 'p9', sectionId: 'gone' }],
    };
    expect(checkSong(broken)).toEqual([
      'note x is not inside its bar',
      'note y has no voice',
      `note ${note.id} stands twice`,
      'pass p9 has no section',
    ]);
  });
});

import { describe, expect, it } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { roadmapTimeline, writtenTimeline } from '../../../lib/song';
import { DEFAULT_SPACE_OPTIONS, findSpaces, spaceAt } from '../../../lib/spaces';
import { QUARTER, tinySong } from './tiny-song';

const lead = (notes: string, words?: string[]) => ({
  part: 'lead' as const,
  notes,
  ...(words ? { words } : {}),
});
const tenor = (notes: string) => ({ part: 'tenor' as const, notes });
const brief = (spaces: ReturnType<typeof findSpaces>) =>
  spaces.map(({ kind, startTick, endTick }) => `${kind} ${startTick / QUARTER}-${endTick / QUARTER}`);

describe('findSpaces', () => {
  it('takes a silence to the tick, across the barline, even after a held note', () => {
    const song = tinySong([{ name: 'Verse', voices: [lead('1 1 1 1 4 1 z5 1 1 1 1 1')] }]);
    const [space, ...others] = findSpaces(writtenTimeline(song));
    expect(others).toEqual([]);
    expect(space).toMatchObject({
      id: 'written.s1v1n6',
      kind: 'between',
      startTick: 9 * QUARTER,
      endTick: 14 * QUARTER,
      beats: 5,
      bar: 3,
      beat: 2,
      tailTicks: 0,
    });
  });

  it('leaves a catch-breath of one beat alone', () => {
    const song = tinySong([{ name: 'Verse', voices: [lead('1 1 1 z1 1 1 1 1')] }]);
    expect(findSpaces(writtenTimeline(song))).toEqual([]);
    expect(findSpaces(writtenTimeline(song), { ...DEFAULT_SPACE_OPTIONS, minBeats: 1 })).toHaveLength(1);
  });

  it('names the silence before the first note and after the last', () => {
    const song = tinySong([{ name: 'Verse', voices: [lead('z3 1 1 1 1 1')], bars: 3, pickup: 2 }]);
    const spaces = findSpaces(writtenTimeline(song));
    expect(brief(spaces)).toEqual(['opening 0-3', 'closing 8-14']);
    expect(spaces[0]).toMatchObject({ bar: 0, beat: 3, after: null, id: 'written.start' });
    expect(spaces[1]).toMatchObject({ guardTicks: 0, before: null });
  });

  it('counts every voice, and calls half-open what only harmony fills', () => {
    const song = tinySong([{ name: 'Verse', voices: [lead('4 z8 4'), tenor('4 z3 1 4 4')] }]);
    expect(brief(findSpaces(writtenTimeline(song)))).toEqual(['between 4-7', 'half-open 7-12']);
    const ids = findSpaces(writtenTimeline(song)).map((space) => space.id);
    expect(ids).toEqual(['written.s1v1n1', 'written.s1v2n2.half-open']);
  });

  it('finds the room under the tail of a held phrase end, and ends it where another voice moves', () => {
    const alone = tinySong([{ name: 'Verse', voices: [lead('1 1 1 1 4 1 1 1 1 4')] }]);
    expect(brief(findSpaces(writtenTimeline(alone)))).toEqual(['under-tail 5-8', 'under-tail 13-16']);
    expect(findSpaces(writtenTimeline(alone))[0]).toMatchObject({ tailTicks: 3 * QUARTER, beats: 3 });
    const moving = tinySong([
      { name: 'Verse', voices: [lead('1 1 1 1 4 1 1 1 1 4'), tenor('1 1 1 1 3 1 1 1 1 1 4')] },
    ]);
    expect(brief(findSpaces(writtenTimeline(moving)))).toEqual(['under-tail 5-7', 'under-tail 13-16']);
  });

  it('gives each pass without a singer one space, and cuts silence there only', () => {
    const song = tinySong([{ name: 'Verse', voices: [lead('1 1 1 z1 z2 1 1 z2 z2')], bars: 3 }], {
      passes: [{}, {}, { stanza: null, roles: { a: 'break' } }, {}],
    });
    const spaces = findSpaces(roadmapTimeline(song));
    expect(brief(spaces)).toEqual([
      'between 3-6',
      'between 8-12',
      'between 15-18',
      'between 20-24',
      'instrumental 24-36',
      'between 39-42',
      'closing 44-48',
    ]);
    expect(new Set(spaces.map((space) => space.id)).size).toBe(spaces.length);
    expect(itemAt(spaces, 3).guardTicks).toBe(0);
    expect(itemAt(spaces, 4)).toMatchObject({ id: 'p3.start', guardTicks: 480 });
  });

  it('joins the silence at the end of a pass to that at the start of the next', () => {
    const song = tinySong([{ name: 'Verse', voices: [lead('z2 1 1 1 1 z2')] }], { passes: [{}, {}] });
    expect(brief(findSpaces(roadmapTimeline(song)))).toEqual([
      'opening 0-2',
      'between 6-10',
      'closing 14-16',
    ]);
  });

  it('keeps an eighth clear in a slow song and a beat in a fast one', () => {
    const guardAt = (tempo: number) =>
      findSpaces(writtenTimeline(tinySong([{ name: 'V', voices: [lead('4 z4 4')] }], { tempo })))[0]
        ?.guardTicks;
    expect(guardAt(80)).toBe(480);
    expect(guardAt(120)).toBe(480);
    expect(guardAt(121)).toBe(960);
    expect(guardAt(240)).toBe(960);
  });

  // Common practice, no source: what is counted at 280 and sung in half notes is the same music as at 140 in quarters.
  it('reads a fast count under long notes in half time: the same spaces as of the same music at half the pace', () => {
    const at = (tempo: number, notes: string) =>
      findSpaces(writtenTimeline(tinySong([{ name: 'V', voices: [lead(notes)] }], { tempo })));
    for (const [plain, expected] of [
      ['1 1 1 1 4 1 1 1 1 4', ['under-tail 5-8', 'under-tail 13-16']],
      ['1 1 1 z1 1 1 1 z5 1 1 1 1', ['between 7-12']],
    ] as const) {
      const doubled = plain.replace(/[\d.]+/g, (number) => String(2 * Number(number)));
      const [slow, fast] = [at(140, plain), at(280, doubled)];
      expect(brief(slow)).toEqual(expected);
      expect(
        fast.map(
          ({ kind, startTick, endTick }) => `${kind} ${startTick / 2 / QUARTER}-${endTick / 2 / QUARTER}`,
        ),
      ).toEqual(expected);
      expect(fast.map(({ seconds }) => seconds)).toEqual(slow.map(({ seconds }) => seconds));
      expect(fast.map(({ beats }) => beats)).toEqual(slow.map(({ beats }) => 2 * beats));
    }
    // A quarter of a second is three eighths at 300, and a felt beat has four.
    expect(at(300, '2 2 2 2 z8 2 2 2 2')[0]?.guardTicks).toBe(3 * 480);
    expect(at(300, '1 1 1 1 z8 1 1 1 1')[0]?.guardTicks).toBe(2 * 480);
  });

  it('counts a fast tune as it is written where a note goes to each beat, and a slow one always', () => {
    const rests = (tempo: number, notes: string) =>
      brief(findSpaces(writtenTimeline(tinySong([{ name: 'V', voices: [lead(notes)] }], { tempo }))));
    expect(rests(280, '1 1 1 1 1 1 z2 1 1 1 1 4')).toContain('between 6-8');
    expect(rests(280, '2 2 2 2 z2 2 2 2 2')).toEqual([]);
    expect(rests(200, '2 2 2 2 z2 2 2 2 2')).toEqual(['between 8-10', 'closing 18-20']);
  });

  it('keeps the guard by the tempo that goes by before the singer comes in', () => {
    const song = tinySong([{ name: 'V', voices: [lead('4 z4 4')] }], { tempo: 60 });
    const [section] = song.sections;
    const bars = must(section, 'a section').bars.map((bar, i) => ({ ...bar, tempo: i === 2 ? 200 : null }));
    const faster = { ...song, sections: [{ ...must(section, 'a section'), bars }] };
    expect(findSpaces(writtenTimeline(faster))[0]).toMatchObject({ guardTicks: 480, seconds: 4 });
  });

  it('lets the tail begin on the beat after as many as the neighbours mostly have', () => {
    // Neighbours of 1, 1, 1.5 and 1 quarters: a body of one beat, not the two that the mean of 1.125 reaches into.
    const song = tinySong([{ name: 'V', voices: [lead('1 1 1 .5 1 1 1.5 1 4 z.5 .5 1 1 1')] }]);
    expect(brief(findSpaces(writtenTimeline(song)))).toContain('under-tail 9-12.5');
  });

  it('counts on as written under a fermata, and gives the time that stands as seconds', () => {
    const song = tinySong([{ name: 'V', voices: [lead('1 1 1 1 4 1 1 1 1 4')] }], { tempo: 60 });
    const held = { ...song, notes: song.notes.map((note, i) => ({ ...note, fermata: i === 4 })) };
    const [plain, standing] = [song, held].map((each) => findSpaces(writtenTimeline(each))[0]);
    expect(plain).toMatchObject({ beats: 3, seconds: 3 });
    expect(standing).toMatchObject({
      beats: 3,
      seconds: 6,
      startTick: plain?.startTick,
      endTick: plain?.endTick,
    });
  });

  it('counts a silence over a change of meter in the beats of each', () => {
    const song = tinySong([{ name: 'V', voices: [lead('1 1 1 z1 z6 1 1')], bars: 3 }]);
    const [section] = song.sections;
    const bars = must(section, 'a section').bars.map((bar, i) =>
      i === 1 ? { ...bar, meter: { count: 2, unit: 2 as const } } : bar,
    );
    const changed = { ...song, sections: [{ ...must(section, 'a section'), bars }] };
    // One quarter of 4/4, two halves of 2/2, two quarters of 4/4.
    expect(findSpaces(writtenTimeline(changed))[0]).toMatchObject({ beats: 5, bar: 1, beat: 4 });
  });

  it('differs from stanza to stanza where their rhythms do', () => {
    const song = tinySong([{ name: 'V', voices: [lead('1 1 1 1 1 1 1 z1 1')], bars: 3 }], {
      passes: [{ stanza: 1 }, { stanza: 2 }],
    });
    // Stanza 1 lets go after five notes; the sixth and seventh are the second stanza's alone.
    const notes = song.notes.map((note, i) => (i === 5 || i === 6 ? { ...note, stanzas: [2] } : note));
    const spaces = findSpaces(roadmapTimeline({ ...song, notes }));
    expect(brief(spaces)).toEqual(['between 5-8', 'between 9-12', 'closing 21-24']);
  });

  it('counts beats by the meter: two to a bar of 6/8', () => {
    const song = tinySong([{ name: 'V', voices: [lead('1.5 1.5 z4.5 1.5')] }], { meter: '6/8' });
    expect(findSpaces(writtenTimeline(song))[0]).toMatchObject({ beats: 3, bar: 2, beat: 1 });
  });

  it('answers for songs without bars, without notes and without voices', () => {
    expect(findSpaces(writtenTimeline(tinySong([])))).toEqual([]);
    const empty = tinySong([
      { name: 'Break', voices: [], bars: 2 },
      { name: 'Break', voices: [], bars: 2 },
    ]);
    expect(findSpaces(writtenTimeline(empty)).map(({ id, kind }) => `${id} ${kind}`)).toEqual([
      'written.start instrumental',
      'written:s2.start instrumental',
    ]);
  });
});

describe('spaceAt', () => {
  it('finds the space of a place, or the one that took its stretch when another voice lets go last', () => {
    const song = tinySong([{ name: 'Verse', voices: [lead('4 z8 4'), tenor('4 z8 4')] }]);
    const later = tinySong([{ name: 'Verse', voices: [lead('4 z8 4'), tenor('5 z7 4')] }]);
    const place = itemAt(findSpaces(writtenTimeline(song)), 0).place;
    const timeline = writtenTimeline(later);
    const spaces = findSpaces(timeline);
    expect(place).toEqual({ passId: 'written', noteId: 's1v1n1', voiceId: 'v1' });
    expect(spaceAt(spaces, place, timeline)?.id).toBe('written.s1v2n1');
    expect(spaceAt(spaces, { ...place, noteId: 's1v1n2' }, timeline)).toBeNull();
    expect(spaceAt(spaces, { ...place, noteId: 'gone' }, timeline)).toBeNull();
  });
});

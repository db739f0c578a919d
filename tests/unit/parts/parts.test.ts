import { describe, expect, it } from 'vitest';
import { itemAt } from '../../../lib/base';
import {
  arrange,
  barsInWords,
  beatsInFigures,
  beatsInWords,
  chordsInWords,
  cuesOf,
  inWords,
  partOf,
  passName,
  roomAtStart,
  spacingOf,
  tabDrawing,
  widthInEms,
} from '../../../lib/parts';
import { type Answer, type Band, type FillNote, NEW_BAND, type Song } from '../../../lib/song';
import { somebody as player } from '../players/somebody';
import { tinySong } from '../spaces/tiny-song';

const band: Band = {
  id: 'b',
  name: 'Band',
  players: [player('Ann'), player('Ben', { instruments: ['banjo'] })],
  songs: [],
  sets: [],
  ...NEW_BAND,
};

const note = (tick: number, more: Partial<FillNote> = {}): FillNote => ({
  tick,
  ticks: 480,
  midi: 55,
  string: 3,
  fret: 0,
  finger: 0,
  articulation: 'struck',
  stroke: 'down',
  strokeRule: 'toward the next string',
  exception: false,
  ...more,
});

const base: Song = tinySong(
  [
    {
      name: 'Verse',
      pickup: 1,
      voices: [
        {
          part: 'lead',
          notes: '1 1 1 1 z3 1 1 1 2 z3',
          words: ['and so we go, but then they stay.', 'x x x x y y y y'],
        },
      ],
    },
  ],
  {
    passes: [
      { stanza: 1, roles: { Ann: 'lead' } },
      { stanza: null, roles: { Ben: 'break' } },
      { stanza: 2, roles: { Ann: 'lead' } },
    ],
  },
);

const answerFor = (holding: Answer['holding'], noteId: string, extent = { from: 960, to: 3840 }): Answer => ({
  id: `answer ${noteId}`,
  place: { passId: 'p1', noteId, voiceId: 'v1' },
  extent,
  holding,
  by: null,
  at: 1,
});

describe('lines', () => {
  const { passes, timeline } = arrange(base);
  const lines = passes.flatMap((pass) => pass.lines);

  it('covers every tick of the song once, in order', () => {
    let at = 0;
    for (const line of lines) {
      expect(line.startTick).toBe(at);
      let inside = at;
      for (const segment of line.segments) {
        expect(segment.startTick).toBe(inside);
        inside = segment.endTick;
      }
      expect(inside).toBe(line.endTick);
      at = line.endTick;
    }
    expect(at).toBe(timeline.endTick);
  });

  it('draws each sung syllable once, on its beat', () => {
    const drawn = lines.flatMap((line) =>
      line.segments.flatMap((segment) => segment.syllables.map((one) => one.startTick)),
    );
    const sung = [...timeline.notes.values()].flat().map((one) => one.startTick);
    expect(drawn).toEqual(sung);
  });

  it('begins a line where a phrase begins, its pickup hanging out', () => {
    const first = itemAt(itemAt(passes, 0).lines, 0);
    const second = itemAt(itemAt(passes, 0).lines, 1);
    expect(first.words).toBe('and so we go,');
    expect(first.pickupTicks).toBe(960);
    expect(second.words).toBe('but then they stay.');
    expect(second.startTick).toBe(7 * 960);
    expect(second.pickupTicks).toBe(2 * 960);
  });

  it('cuts a pass without words every four bars', () => {
    const silent = itemAt(passes, 1);
    expect(silent.lines.map((line) => line.words)).toEqual(['']);
  });
});

describe('what stands in spaces', () => {
  it('places a settled fill by the note it hangs on', () => {
    const fill: Answer['holding'] = {
      kind: 'fill',
      playerId: 'Ann',
      fill: { family: 'roll', notes: [note(960), note(1440)], chords: [] },
    };
    const arrangement = arrange({ ...base, settled: [answerFor(fill, 's1v1n4')] });
    const standing = itemAt(arrangement.standings, 0);
    expect(standing.notes.map((one) => one.tick)).toEqual([3 * 960 + 960, 3 * 960 + 1440]);
    expect(standing.misfit).toBeNull();
    expect(standing.space?.beats).toBe(3);
    expect(cuesOf(arrangement, itemAt(arrangement.spaces, 0))).toEqual({
      before: 'so we go',
      after: 'but then they',
    });
  });

  it('marks, and never drops, a fill whose space has shrunk', () => {
    const fill: Answer['holding'] = {
      kind: 'fill',
      playerId: 'Ann',
      fill: { family: 'roll', notes: [note(960), note(3600)], chords: [] },
    };
    const arrangement = arrange({ ...base, settled: [answerFor(fill, 's1v1n4')] });
    expect(itemAt(arrangement.standings, 0).misfit).toBe('its space is shorter now');
  });

  it('keeps an answer whose words are gone', () => {
    const arrangement = arrange({ ...base, settled: [answerFor({ kind: 'left open' }, 'gone')] });
    expect(arrangement.homeless).toHaveLength(1);
  });

  it('gives a player their own spaces, and shapes under the capo', () => {
    const song: Song = {
      ...base,
      settled: [answerFor({ kind: 'ad lib', playerId: 'Ben' }, 's1v1n4')],
      settings: [
        { playerId: 'Ben', instrument: 'banjo', tuning: 'standard', capo: 2, fifthCapo: null, rule: null },
      ],
      key: { tonic: 'A', mode: 'major' },
    };
    const arrangement = arrange(song);
    const part = partOf(arrangement, band, itemAt(band.players, 1));
    expect(part.own.map((own) => own.cueBefore)).toEqual(['so we go']);
    expect(part.head.key).toBe('sounds in A; play G shapes, capo 2, fifth string up 2 frets');
    expect(part.chordName('E7')).toBe('D7');
    expect(part.order.map((row) => row.role)).toEqual(['backup', 'your break', 'backup']);
    expect(part.order.map((row) => row.others)).toEqual(['Ann sings', '', 'Ann sings']);
    expect(partOf(arrangement, band, itemAt(band.players, 0)).own).toEqual([]);
  });

  it('names passes as a band does', () => {
    expect(base.passes.map((pass) => passName(base, pass))).toEqual([
      'Verse 1',
      'Break on the verse',
      'Verse 2',
    ]);
  });
});

describe('tablature', () => {
  const frame = {
    startTick: 0,
    endTick: 3840,
    xOf: (tick: number) => tick * 0.05,
    strings: 6,
    top: 10,
    stringStep: 8,
    numberSize: 12,
    strokes: true,
  };
  const texts = (notes: readonly FillNote[]) =>
    tabDrawing(notes, frame).flatMap((one) =>
      one.kind === 'text' && one.face === 'plain' && one.clear > 0
        ? [{ text: one.text, x: one.x, y: one.y }]
        : [],
    );

  it('writes each fret on its string, at its time, once', () => {
    const notes = [note(0, { string: 4, fret: 2 }), note(480, { string: 1, fret: 12 }), note(5000)];
    const drawn = texts(notes);
    expect(drawn.map((one) => one.text)).toEqual(['2', '12']);
    expect(itemAt(drawn, 1).x - itemAt(drawn, 0).x).toBeCloseTo(480 * 0.05);
    expect(itemAt(drawn, 0).y - itemAt(drawn, 1).y).toBeCloseTo(3 * 8);
  });

  it('prints strokes in rolls and where they break the rule, not under every note of a run', () => {
    const signs = (notes: readonly FillNote[]) =>
      tabDrawing(notes, frame).filter((one) => one.kind === 'text' && one.face === 'music').length;
    const roll = [0, 480, 960].map((tick) => note(tick));
    const run = [0, 480, 960].map((tick) => note(tick, { strokeRule: 'run' }));
    expect(signs(roll)).toBe(3);
    expect(signs(run)).toBe(1);
    expect(signs([...run, note(1440, { strokeRule: 'run', exception: true })])).toBe(2);
  });

  it('writes one sign over strings that are struck at once', () => {
    const pinch = [note(0, { string: 1, stroke: 'middle' }), note(0, { string: 5, stroke: 'thumb' })];
    const letters = tabDrawing(pinch, frame).flatMap((one) =>
      one.kind === 'text' && one.face === 'plain' && one.clear === 0 ? [one.text] : [],
    );
    expect(letters).toEqual(['TM']);
  });

  it('ties a hammer-on to the note before it on its string', () => {
    const drawing = tabDrawing(
      [
        note(0, { string: 3 }),
        note(240, { string: 2 }),
        note(480, { string: 3, fret: 2, articulation: 'hammer', stroke: null }),
      ],
      frame,
    );
    const arc = drawing.find((one) => one.kind === 'arc');
    expect(arc?.kind === 'arc' && arc.x2 - arc.x1).toBeCloseTo(480 * 0.05 - 2);
  });
});

describe('words and figures', () => {
  it('says lengths as people do', () => {
    expect([1, 2, 2.5, 0.5, 5, 17].map(beatsInWords)).toEqual([
      'one beat',
      'two beats',
      'two and a half beats',
      'half a beat',
      'five beats',
      '17 beats',
    ]);
    expect([1, 2.5, 0.5, 6].map(beatsInFigures)).toEqual(['1 beat', '2½ beats', '½ beat', '6 beats']);
    expect(inWords(0.75)).toBe('three quarters');
    expect(chordsInWords(['G', 'G', 'C'])).toBe('on G, then C');
    expect(chordsInWords([])).toBe('with no chord written');
    expect([
      barsInWords(3, 3),
      barsInWords(3, 4),
      barsInWords(3, 8),
      barsInWords(0, 8),
      barsInWords(0, 0),
    ]).toEqual(['bar 3', 'bars 3 and 4', 'bars 3 to 8', 'bars 1 to 8 with the pickup', 'the pickup']);
  });

  it('never lets two words touch, and keeps each on its beat with its chord', () => {
    const song = tinySong(
      [
        {
          name: 'Verse',
          voices: [{ part: 'lead', notes: '.25 .25 .25 .25 1 z2', words: ['through strengths a lan tern'] }],
        },
      ],
      { passes: [{}] },
    );
    const segment = itemAt(itemAt(itemAt(arrange(song).passes, 0).lines, 0).segments, 0);
    const scale = 40 / 960;
    const spacing = spacingOf(segment, scale, 20);
    segment.syllables.forEach((syllable, i) => {
      const next = segment.syllables[i + 1];
      const x = spacing.xOf(syllable.startTick);
      if (next)
        expect(spacing.xOf(next.startTick) - x).toBeGreaterThanOrEqual(widthInEms(syllable.text) * 20);
    });
    // Silence is drawn as long as it lasts.
    expect(spacing.xOf(3840) - spacing.xOf(1920)).toBeCloseTo(1920 * scale);
    expect(spacing.xOf(0)).toBe(0);
    expect(spacing.xOf(3840)).toBeCloseTo(spacing.width);
  });

  it('keeps the last word of a bar clear of what is written before a space that begins the next', () => {
    const song = tinySong(
      [
        {
          name: 'Verse',
          voices: [{ part: 'lead', notes: '1 1 1 1 z4', words: ['through strengths a lantern'] }],
        },
      ],
      { passes: [{}] },
    );
    const { segments } = itemAt(itemAt(arrange(song).passes, 0).lines, 0);
    const [sung, silent] = [itemAt(segments, 0), itemAt(segments, 1)];
    expect(silent.spaces.map(({ startTick }) => startTick)).toEqual([silent.startTick]);
    const room = () => 60;
    const scale = 10 / 960;
    expect([sung, silent, undefined].map((one) => roomAtStart(one, scale, room))).toEqual([0, 60, 0]);
    // What is silent of the bar itself holds some of it.
    const later = silent.spaces.map((part) => ({
      ...part,
      startTick: part.startTick + 960,
      space: { ...part.space, startTick: part.startTick + 960 },
    }));
    expect(roomAtStart({ ...silent, spaces: later }, scale, room)).toBeCloseTo(50);
    const last = itemAt(sung.syllables, 3);
    const spacing = spacingOf(sung, scale, 20, room, new Map(), roomAtStart(silent, scale, room));
    const end = spacing.xOf(last.startTick) + widthInEms(last.text) * 20;
    expect(spacing.width - end).toBeGreaterThanOrEqual(60);
  });
});

import { describe, expect, it } from 'vitest';
import { must } from '../../../lib/base';
import { type BreakRequest, breakFor } from '../../../lib/fills';
import { INSTRUMENTS, type InstrumentName, isStruck, plainSetup } from '../../../lib/instruments';
import { roadmapTimeline, type Timeline } from '../../../lib/song';
import { FIVE_BEATS, type Shorthand, SIX_BEATS, songOf, timelineOf } from './songs';

const requestFor = (timeline: Timeline, instrument: InstrumentName): BreakRequest => ({
  timeline,
  startTick: 0,
  endTick: timeline.endTick,
  setup: plainSetup(instrument),
  rule: 'toward',
  spanMillimetres: null,
  comfortEighthsPerMinute: null,
  voiceId: null,
  plain: false,
});

function breakOn(
  instrument: InstrumentName,
  song: Shorthand = SIX_BEATS,
  changed: Partial<BreakRequest> = {},
) {
  const found = breakFor({ ...requestFor(timelineOf(song), instrument), ...changed });
  return must(found.ok ? found.value : null, 'a break');
}

const played = INSTRUMENTS.filter((instrument) => instrument !== 'voice');

/** A tune whose last note is long enough for a tag lick after it. */
const WITH_ROOM: Shorthand = {
  ...SIX_BEATS,
  chords: [...SIX_BEATS.chords, 'G', 'G'],
};

describe('a break', () => {
  it.each(played)('on the %s is the same for the same request', (instrument) => {
    expect(breakOn(instrument)).toEqual(breakOn(instrument));
  });

  it('names the capo that would bring the open strings, where none is on and the key is far from them', () => {
    // Common practice, no source: B flat is A at the first fret or G at the third, A is G at the second; the fiddle needs no capo.
    const capoIn = (instrument: InstrumentName, key: string, capo = 0) => {
      const setup = { ...plainSetup(instrument), capo };
      const { reasons } = breakOn(instrument, { ...SIX_BEATS, key }, { setup });
      return reasons.find(({ rule }) => rule === 'capo')?.detail ?? null;
    };
    expect(capoIn('guitar', 'Bb')).toMatch(/capo at 1 would make it A$/);
    expect(capoIn('banjo', 'Bb')).toMatch(/capo at 3 would make it G$/);
    expect(capoIn('banjo', 'A')).toMatch(/capo at 2 would make it G$/);
    expect(capoIn('guitar', 'G')).toBeNull();
    expect(capoIn('guitar', 'Am')).toBeNull();
    expect(capoIn('guitar', 'Bb', 3)).toBeNull();
    expect(capoIn('fiddle', 'Bb')).toBeNull();
  });

  it('is inside a roll on banjo, guitar and mandolin, and beside none where it is asked for plain', () => {
    for (const instrument of ['banjo', 'guitar', 'mandolin'] as const) {
      const rolled = breakOn(instrument);
      const plain = breakOn(instrument, SIX_BEATS, { plain: true });
      expect(rolled.notes.length).toBeGreaterThan(1.5 * plain.notes.length);
      expect(plain.notes).toHaveLength(SIX_BEATS.sung.length);
      expect(plain.family).toBe('plain melody');
    }
  });

  it('leads with a run into the phrase after a space, and closes with a tag lick where there is room', () => {
    const found = breakOn('guitar', WITH_ROOM);
    const rules = found.reasons.map((reason) => reason.rule);
    expect(rules).toContain('runs');
    expect(found.title).toContain('tag lick');
    const last = must(found.notes.at(-1), 'a last note');
    expect(last.midi % 12).toBe(7);
  });

  it('closes on a chord where there is no room for a lick', () => {
    const found = breakOn('guitar', {
      ...FIVE_BEATS,
      sung: FIVE_BEATS.sung.map(
        ([bar, beat, beats, midi]) => [bar, bar === 3 ? 4 : beat, bar === 3 ? 1 : beats, midi] as const,
      ),
    });
    const last = must(found.notes.at(-1), 'a last note').tick;
    expect(found.notes.filter((note) => note.tick === last).length).toBeGreaterThan(1);
  });

  // Common practice, no source: a last chord has its root, whatever of it the tune ends on.
  it.each([
    ['third', 71],
    ['fifth', 74],
  ])('that ends on the %s has the root with it', (_, midi) => {
    const sung = SIX_BEATS.sung.map((note, i, all) =>
      i === all.length - 1 ? ([4, 4, 1, midi] as const) : note,
    );
    for (const instrument of ['guitar', 'mandolin', 'fiddle'] as const) {
      const { notes, reasons } = breakOn(instrument, { ...SIX_BEATS, sung });
      expect(reasons.map(({ detail }) => detail)).toContain('closes on a chord');
      const end = Math.max(...notes.map((note) => note.tick));
      const last = notes.filter((note) => note.tick === end).map((note) => note.midi % 12);
      expect([instrument, last.includes(7)]).toEqual([instrument, true]);
    }
  });

  it('says how hard it is, in a number that its terms add up to', () => {
    for (const instrument of played) {
      const { difficulty } = breakOn(instrument);
      const sum = 1 + difficulty.terms.reduce((total, term) => total + term.weight, 0);
      expect(difficulty.number).toBe(Math.min(10, Math.round(sum)));
    }
    const quick = breakOn('banjo', { ...SIX_BEATS, tempo: 240 });
    expect(quick.difficulty.number).toBeGreaterThan(breakOn('banjo').difficulty.number);
  });

  // Common practice, no source: cross-picking rests on open strings, and the key of A flat has next to none without a capo.
  it('is not easy cross-picked in A flat without a capo', () => {
    const up = ([bar, beat, beats, midi]: (typeof SIX_BEATS.sung)[number]) =>
      [bar, beat, beats, midi + 1] as const;
    const inFlats = {
      ...SIX_BEATS,
      key: 'Ab',
      chords: ['Ab', 'Db', 'Ab', 'Eb', 'Ab'],
      sung: SIX_BEATS.sung.map(up),
    };
    const [plain, flat] = [breakOn('guitar').difficulty, breakOn('guitar', inFlats).difficulty];
    expect(flat.number).toBeGreaterThan(plain.number);
    expect(flat.words).not.toBe('easy');
    expect(flat.terms.map(({ rule }) => rule)).toContain('few open strings');
    expect(plain.terms.map(({ rule }) => rule)).not.toContain('few open strings');
  });

  it('says how much of it is fast, not in how many places, where that is most of it', () => {
    const { difficulty } = breakOn('guitar', { ...SIX_BEATS, tempo: 200 });
    const speed = difficulty.terms.find(({ rule }) => rule === 'speed')?.detail;
    expect(speed).toMatch(
      /^\d+0 notes a minute (nearly all through|much of the time|at its fastest, in (one place|\d places))$/,
    );
  });

  it('strikes in alternation for a player who alternates', () => {
    const { notes } = breakOn('guitar', SIX_BEATS, { rule: 'alternate' });
    for (const note of notes)
      if (isStruck(note.articulation) && note.tick % 480 === 0)
        expect(['alternate', 'run']).toContain(note.strokeRule);
  });

  it('moves a whole phrase by octaves, never single notes', () => {
    const { tune } = breakOn('bass');
    expect(new Set(tune.map((note) => note.octaves)).size).toBe(1);
    expect(tune[0]?.octaves).toBeLessThan(0);
  });

  it('takes its chords from the voices where none are written', () => {
    const found = breakOn('guitar', { ...SIX_BEATS, chords: ['', '', '', '', ''] });
    expect(found.chordsWorkedOut).toBe(true);
    expect(found.reasons.map((reason) => reason.rule)).toContain('no chords');
  });

  describe('on a stretch that begins in mid-song', () => {
    // Two phrases of two bars; the second begins on its downbeat, or with a note before it.
    const sung = [
      [0, 1, 2, 67],
      [0, 3, 2, 71],
      [1, 1, 2, 67],
      [2, 1, 2, 74],
      [2, 3, 2, 71],
      [3, 1, 4, 67],
    ] as const;
    const song: Shorthand = { chords: ['G', 'G', 'G', 'G'], sung };
    const second = { startTick: 2 * 3840 };

    it.each(played)('the %s gets a lead-in of three notes into the first one, by step', (instrument) => {
      const { pickup, tune, reasons } = breakOn(instrument, song, second);
      expect(pickup?.kind).toBe('lead-in');
      const notes = pickup?.notes ?? [];
      expect(notes).toHaveLength(3);
      for (const note of notes) {
        expect(note.tick).toBeGreaterThanOrEqual(second.startTick - 3840);
        expect(note.tick + note.ticks).toBeLessThanOrEqual(second.startTick);
        expect(note.stroke).not.toBeNull();
      }
      const first = must(tune[0], 'a first note');
      const last = must(notes.at(-1), 'a last note');
      expect(Math.abs(first.midi + 12 * first.octaves - last.midi)).toBeLessThanOrEqual(2);
      expect(reasons.find(({ rule }) => rule === 'pickup')?.detail).toContain('to take or leave');
    });

    it('plays the tune’s own pickup where it is written, in the octave of its phrase', () => {
      const withPickup: Shorthand = { ...song, sung: [...sung.slice(0, 3), [1, 4, 1, 69], ...sung.slice(3)] };
      const { pickup, tune } = breakOn('guitar', withPickup, second);
      expect(pickup?.kind).toBe('of the tune');
      const first = must(tune[0], 'a first note');
      expect(pickup?.notes.map(({ tick, midi }) => [tick, midi])).toEqual([
        [second.startTick - 960, 69 + 12 * first.octaves],
      ]);
    });

    it('has none where the song begins, nor where a pickup bar stands in the stretch', () => {
      expect(breakOn('guitar', song).pickup).toBeNull();
      const own = breakOn('guitar', { ...song, pickup: 1, sung: [[0, 1, 1, 69], ...sung.slice(3)] });
      expect(own.pickup).toBeNull();
      expect(own.reasons.map(({ detail }) => detail)).toContain('with its pickup of one note');
    });
  });

  it('finds the tune in a pass in which nobody sings', () => {
    const song = songOf(SIX_BEATS);
    const pass = { id: 'p', sectionId: 's', stanza: null, ending: 1, name: '', roles: {} };
    const timeline = roadmapTimeline({ ...song, passes: [pass] });
    const found = breakFor(requestFor(timeline, 'banjo'));
    expect(found.ok && found.value.tune).toHaveLength(SIX_BEATS.sung.length);
  });
});

describe('where there can be no break, it says why', () => {
  it.each([
    ['a song without a tune', { ...SIX_BEATS, sung: [] }, 'guitar', 'no tune is written'],
    ['a voice', SIX_BEATS, 'voice', 'a voice plays no break'],
  ] as const)('%s', (_, song, instrument, what) => {
    const found = breakFor(requestFor(timelineOf(song), instrument));
    expect(found.ok).toBe(false);
    if (!found.ok) {
      expect(found.error.what).toContain(what);
      expect(found.error.mend).not.toBe('');
    }
  });

  it('a tune wider than the instrument', () => {
    const wide = {
      ...SIX_BEATS,
      sung: SIX_BEATS.sung.map(([bar, beat, beats], i) => [bar, beat, beats, i % 2 ? 100 : 30] as const),
    };
    const found = breakFor(requestFor(timelineOf(wide), 'fiddle'));
    expect(!found.ok && found.error.what).toContain('wider than the fiddle reaches');
  });
});

import { describe, expect, test } from 'vitest';
import { must } from '../../../lib/base';
import { keepsTheChop, strumBackup } from '../../../lib/fills';
import { type InstrumentName, plainSetup } from '../../../lib/instruments';
import { parseChord, toneOf } from '../../../lib/theory';
import { timelineOf } from './songs';

/* Source: Common practice, no source: bass on 1 and 3 and strum, chop and vamp on 2 and 4; in a waltz 1, and 2 and 3. */
const backup = (
  instrument: InstrumentName,
  meter: string,
  away: { startTick: number; endTick: number }[] = [],
) => {
  const timeline = timelineOf({ meter, chords: ['G', 'C', 'D7', 'Em'], sung: [[0, 1, 1, 67]] });
  const notes = strumBackup({
    timeline,
    startTick: 0,
    endTick: timeline.endTick,
    setup: plainSetup(instrument),
    away,
  });
  if (!notes.ok) throw new Error(notes.error.what);
  return { timeline, notes: notes.value };
};
const beatsOf = (notes: readonly { tick: number }[], bar: number) => [
  ...new Set(notes.map((note) => (note.tick % bar) / 960 + 1)),
];

describe('backup', () => {
  test.each(['mandolin', 'banjo', 'resonator guitar'] as const)(
    '%s chops or vamps on 2 and 4, on 2 and 3 in a waltz',
    (name) => {
      expect(beatsOf(backup(name, '4/4').notes, 3840)).toEqual([2, 4]);
      expect(beatsOf(backup(name, '3/4').notes, 2880)).toEqual([2, 3]);
    },
  );

  test('the guitar has its bass on 1 and 3, the root first, and strums on 2 and 4, all down', () => {
    const { notes, timeline } = backup('guitar', '4/4');
    const bass = notes.filter((note) => note.string > 3);
    expect(beatsOf(bass, 3840)).toEqual([1, 3]);
    expect(
      beatsOf(
        notes.filter((note) => note.string <= 3),
        3840,
      ),
    ).toEqual([2, 4]);
    for (const note of bass.filter((each) => each.tick % 3840 === 0)) {
      const chord = must(parseChord(must(timeline.chordAt(note.tick), 'a chord').symbol), 'a chord');
      expect(note.midi % 12).toBe(chord.root);
    }
    expect(notes.every((note) => note.stroke === 'down')).toBe(true);
  });

  test.each(['guitar', 'mandolin', 'banjo', 'resonator guitar'] as const)(
    'the %s plays chord tones, and none while away',
    (name) => {
      const { notes, timeline } = backup(name, '4/4', [{ startTick: 4000, endTick: 7680 }]);
      expect(notes.length).toBeGreaterThan(0);
      for (const note of notes) {
        const chord = must(parseChord(must(timeline.chordAt(note.tick), 'a chord').symbol), 'a chord');
        expect(toneOf(chord, note.midi)).not.toBeNull();
        expect(note.tick + note.ticks <= 4000 || note.tick >= 7680).toBe(true);
      }
    },
  );

  test('someone keeps the chop when the mandolin has the fill', () => {
    const players = (['guitar', 'mandolin', 'banjo', 'bass'] as const).map((each) => ({
      id: each,
      setup: plainSetup(each),
    }));
    expect(keepsTheChop(players, 'guitar')).toBe('mandolin');
    expect(keepsTheChop(players, 'mandolin')).toBe('banjo');
    expect(keepsTheChop([itemOf(players)], 'guitar')).toBeNull();
  });
});

const itemOf = <T>(items: readonly T[]): T => must(items[0], 'a player');

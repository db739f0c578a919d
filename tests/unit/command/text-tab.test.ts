import { describe, expect, it } from 'vitest';
import { plainSetup } from '@/lib/instruments';
import { type FillNote, writtenTimeline } from '@/lib/song';
import { textTab } from '@/server/command/text-tab';
import { plainSong } from '../../faults/songs';

const note = (tick: number, string: number, fret: number): FillNote => ({
  tick,
  ticks: 240,
  midi: 64 + fret,
  string,
  fret,
  finger: 1,
  articulation: 'struck',
  stroke: 'down',
  strokeRule: null,
  exception: false,
});
const { bars } = writtenTimeline(plainSong('tab'));
const first = (notes: readonly FillNote[]) => textTab(bars, notes, plainSetup('guitar'))[1];

describe('tablature in plain characters', () => {
  it('has two characters to an eighth', () => {
    expect(first([note(0, 1, 3), note(480, 1, 5)])).toBe('  1 |-3-5-------------|');
  });

  it('keeps frets of two figures apart, so that 11 and 12 are not read as 112', () => {
    expect(first([note(0, 1, 11), note(240, 1, 12)])).toMatch(/^ {2}1 \|-11-12-+\|$/);
    expect(first([note(0, 1, 9), note(240, 1, 10)])).toMatch(/^ {2}1 \|-9-10-+\|$/);
  });
});

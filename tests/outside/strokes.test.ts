import { describe, expect, it } from 'vitest';
import type { Articulation } from '../../lib/instruments';
import { type InstrumentName, planStrokes, type StrokeRule, strokesForFigure } from '../../lib/instruments';
import { parseMeter, ticksOf } from '../../lib/time';

/*
 * The right hand, against the trade's rules as a musician would write them out.
 * Source of every expected line in this file unless it says otherwise: Common practice, no source.
 */

const EIGHTH = ticksOf(1, 8);

interface Written {
  readonly string: number;
  readonly eighths?: number;
  readonly articulation?: Articulation;
  readonly restAfter?: number;
  readonly run?: boolean;
}

/** Strokes of notes written one after another, from an eighth of the bar on; `-` where nothing is struck. */
function strokes(
  written: readonly (Written | number)[],
  options: {
    instrument?: InstrumentName;
    rule?: StrokeRule;
    meter?: string;
    from?: number;
    closes?: boolean;
  } = {},
): string {
  let at = options.from ?? 0;
  const notes = written.map((each) => {
    const note: Written = typeof each === 'number' ? { string: each } : each;
    const { string, eighths = 1, articulation = 'struck', restAfter = 0, run = false } = note;
    const tick = at * EIGHTH;
    at += eighths + restAfter;
    return { tick, ticks: eighths * EIGHTH, string, articulation, run };
  });
  const meter = parseMeter(options.meter ?? '4/4');
  if (!meter) throw new Error('no such meter');
  return planStrokes(notes, {
    instrument: options.instrument ?? 'guitar',
    rule: options.rule ?? 'toward',
    meter,
    barTick: 0,
    closes: options.closes ?? false,
  })
    .map(({ stroke }) => stroke ?? '-')
    .join(' ');
}

describe('with a pick, toward the next string', () => {
  it('plays a roll over 4-3-2, eight to the bar, down down up, down down up, down down', () => {
    expect(strokesForFigure([4, 3, 2, 4, 3, 2, 4, 3], 'toward').map(({ stroke }) => stroke)).toEqual([
      'down',
      'down',
      'up',
      'down',
      'down',
      'up',
      'down',
      'up',
    ]);
  });

  it('lets the beat decide at the end of a fill that does not close: the last eighth is an "and"', () => {
    expect(strokes([4, 3, 2, 4, 3, 2, 4, 3])).toBe('down down up down down up down up');
    expect(strokes([4, 3, 2, 4, 3, 2, 4])).toBe('down down up down down up down');
  });

  it('fills a bar of 3/4 with the group of three, twice', () => {
    expect(strokes([4, 3, 2, 4, 3, 2], { meter: '3/4', closes: true })).toBe('down down up down down up');
  });

  it('begins a backward roll with an up-stroke on the beat', () => {
    expect(strokes([2, 3, 4, 2, 3, 4, 2, 3], { closes: true })).toBe('up up down up up down up down');
  });

  it('looks past a hammered note to the string struck next', () => {
    // 4 then a hammer-on on 4, then 3: the first stroke goes down, toward 3.
    expect(strokes([4, { string: 4, articulation: 'hammer' }, 3, 2])).toBe('down - down up');
    // Up toward 4, although a slide lies between.
    expect(strokes([2, { string: 2, articulation: 'slide' }, 4, 4])).toBe('up - down up');
    expect(strokes([3, { string: 3, articulation: 'pull' }, 2, 1])).toBe('down - down up');
  });

  it('lets the beat decide before a note on the same string', () => {
    expect(strokes([3, 3, 3, 2])).toBe('down up down up');
  });

  it('lets the beat decide before a rest', () => {
    // The second note is on the "and": up, though the string after the rest lies nearer the floor. The third goes
    // toward the last, which stands on beat 3 with nothing after it.
    expect(strokes([4, { string: 3, restAfter: 1 }, 2, 1])).toBe('down up down down');
    expect(strokes([4, 3, 2, 1])).toBe('down down down up');
  });

  it('alternates in a run even for this player', () => {
    const run = [6, 5, 5, 5, 4, 4, 3, 3].map((string) => ({ string, run: true }));
    expect(strokes(run)).toBe('down up down up down up down up');
  });
});

describe('with a pick, strictly alternating', () => {
  const rule = 'alternate' as const;

  it('goes down on the beat and up on the "and", whatever the strings', () => {
    expect(strokes([4, 3, 2, 4, 3, 2, 4, 3], { rule })).toBe('down up down up down up down up');
  });

  it('starts with an up-stroke where the fill starts on an "and"', () => {
    expect(strokes([4, 3, 2, 4], { rule, from: 1 })).toBe('up down up down');
  });

  it('keeps its grid through rests and slurred notes', () => {
    expect(strokes([{ string: 4, restAfter: 1 }, 3, 2], { rule })).toBe('down down up');
    expect(strokes([4, { string: 4, articulation: 'hammer' }, 3, 2], { rule })).toBe('down - down up');
    expect(strokes([4, 3, { string: 3, articulation: 'pull' }, 2], { rule })).toBe('down up - up');
  });

  it('goes by the fastest notes: sixteenths alternate on sixteenths', () => {
    const sixteenths = [4, 3, 2, 1].map((string) => ({ string, eighths: 0.5 }));
    expect(strokes([...sixteenths, ...sixteenths], { rule })).toBe('down up down up down up down up');
  });

  it('plays a jig down up down, down up down', () => {
    expect(strokes([3, 2, 1, 2, 3, 2], { rule, meter: '6/8' })).toBe('down up down down up down');
    expect(strokes([3, 2, 1, 2, 3, 2], { rule, meter: '6/8', instrument: 'mandolin' })).toBe(
      'down up down down up down',
    );
  });

  it('plays cut time in eighths down up', () => {
    expect(strokes([3, 2, 1, 2, 3, 2, 1, 2], { rule, meter: '2/2' })).toBe('down up down up down up down up');
  });
});

describe('banjo rolls in open G', () => {
  const banjo = { instrument: 'banjo' as const };
  const short = (line: string) =>
    line
      .split(' ')
      .map((word) => word.charAt(0).toUpperCase())
      .join(' ');

  it.each([
    ['forward', [3, 2, 1, 5, 2, 1, 5, 1], 'T I M T I M T M'],
    ['backward', [1, 2, 5, 1, 2, 5, 1, 2], 'M I T M I T M I'],
    ['forward-reverse', [3, 2, 1, 5, 1, 2, 3, 1], 'T I M T M I T M'],
    ['alternating thumb', [3, 2, 5, 1, 4, 2, 5, 1], 'T I T M T I T M'],
    ['on one string', [2, 2, 2, 2], 'T I T I'],
  ])('%s', (_, strings, fingers) => {
    expect(short(strokes(strings, banjo))).toBe(fingers);
    expect(short(strokes(strings, { ...banjo, closes: true }))).toBe(fingers);
  });

  it('runs T I T I', () => {
    const run = [4, 4, 3, 3, 3, 2, 2, 1].map((string) => ({ string, run: true }));
    expect(short(strokes(run, banjo))).toBe('T I T I T I T I');
  });
});

describe('bows', () => {
  const fiddle = { instrument: 'fiddle' as const };

  it('plays a shuffle, one long and two short, down up down, up down up', () => {
    const shuffle = [{ string: 2, eighths: 2 }, 2, 2, { string: 2, eighths: 2 }, 2, 2].map((each) =>
      typeof each === 'number' ? { string: each } : each,
    );
    expect(strokes(shuffle, fiddle)).toBe('down up down up down up');
  });

  it('turns the bow once for slurred notes, and starts on a pickup with an up-bow', () => {
    expect(strokes([2, { string: 2, articulation: 'slurred' }, 2, 2], fiddle)).toBe('down - up down');
    expect(strokes([2, 2, 2], { ...fiddle, from: 7 })).toBe('up down up');
  });
});

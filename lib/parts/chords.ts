import { keyAt, type Timeline } from '../song';
import { degreeOf, type Key, keyName, transposeChord } from '../theory';
import type { Ticks } from '../time';
import { chordInSigns, shapesKey } from './sentences';

export const CHORD_WAYS = ['shapes', 'sounded', 'degrees'] as const;
/** How chords are named on a part: as the shapes that the player holds under the capo, as they sound, or by scale degree. */
export type ChordWay = (typeof CHORD_WAYS)[number];

/** The name of a chord that is written as it sounds. The tick tells in which key it stands; left out: the song's. */
export type ChordNaming = (symbol: string, tick?: Ticks) => string;

/** How a player with a capo reads chords. What is no chord stays as it was written. */
export function chordNaming(timeline: Timeline, capo: number, way: ChordWay = 'shapes'): ChordNaming {
  const keyFor = (tick?: Ticks): Key => (tick === undefined ? timeline.song.key : keyAt(timeline, tick));
  switch (way) {
    case 'sounded':
      return (symbol) => symbol;
    case 'degrees':
      return (symbol, tick) => degreeOf(symbol, keyFor(tick)) ?? symbol;
    case 'shapes':
      return capo === 0
        ? (symbol) => symbol
        : (symbol, tick) => transposeChord(symbol, -capo, shapesKey(keyFor(tick), capo));
  }
}

/** Where a song is in another key: `from bar 33 in A`. Each change on the way through the roadmap. */
export function keyChangesInWords(timeline: Timeline, capo: number): readonly string[] {
  const said: string[] = [];
  let now = keyName(timeline.song.key);
  for (const { bar, number } of timeline.bars) {
    if (bar.key === null || keyName(bar.key) === now) continue;
    now = keyName(bar.key);
    const shapes = capo === 0 ? '' : `, ${keyName(shapesKey(bar.key, capo))} shapes`;
    said.push(`from bar ${bar.pickup ? number + 1 : number} in ${now}${shapes}`);
  }
  return said;
}

/** As many chords are compared at most: a list that is longer is not looked at. */
const COMPARED = 12;

/**
 * What the names on a part are called otherwise, each chord of the song once: what shapes sound, or which shape a number is.
 * Empty where there is nothing to tell.
 */
export function chordsCompared(timeline: Timeline, capo: number, way: ChordWay): readonly string[] {
  if (way !== 'degrees' && capo === 0) return [];
  const named = chordNaming(timeline, capo, way);
  const shape = chordNaming(timeline, capo);
  const lists = new Map<string, Set<string>>();
  for (const { symbol, startTick } of timeline.chords) {
    const name = named(symbol, startTick);
    if (degreeOf(symbol, timeline.song.key) === null) continue;
    const key = way === 'degrees' ? keyName(keyAt(timeline, startTick)) : '';
    const list = lists.get(key) ?? new Set();
    lists.set(key, list);
    const held = shape(symbol, startTick);
    const [one = '', other = '', third = ''] = [name, held, symbol].map(chordInSigns);
    if (list.size < COMPARED) list.add(pair(way, one, other, third, capo));
  }
  return [...lists].map(([key, list]) => {
    const intro =
      way === 'degrees'
        ? `Numbers in ${key}`
        : way === 'shapes'
          ? 'Shapes and their sound'
          : 'Sound and shapes';
    return `${intro}: ${[...list].join(', ')}.`;
  });
}

function pair(way: ChordWay, name: string, held: string, sounded: string, capo: number): string {
  if (way === 'degrees')
    return capo === 0 ? `${name} is ${sounded}` : `${name} is ${held} (sounds ${sounded})`;
  return way === 'shapes' ? `${name} sounds ${sounded}` : `${sounded} is ${held}`;
}

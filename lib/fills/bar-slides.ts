import { itemAt, lastOf } from '../base';
import type { OpenString } from '../instruments';
import { type Chord, pitchClassOf, toneOf } from '../theory';
import { secondsOf, type Ticks } from '../time';
import type { Draft, DraftNote } from './candidate';
import { SHORTEST_GRACE_SECONDS } from './costs';
import { landingIndex, type Scene, type Slot, slotsOf } from './scene';
import { chordNameOf } from './words';

/** A chord under the bar: the fret, and the neighbouring strings that it has there. */
interface Barred {
  readonly fret: number;
  /** Lowest first. */
  readonly strings: readonly number[];
}

/** A bar slides in from two frets below; in open tuning the chords of the upper octave are as good. */
const SLIDE_FROM = 2;

/**
 * For the resonator guitar: at each new chord the bar slides two frets up into it, on all strings that the chord has under a
 * straight bar; then the strings are rolled, one by one, until the next chord.
 */
export function barSlides(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const step = itemAt(scene.steps, 0);
  const half = Math.min(step, 480) / 2;
  if (secondsOf(half, scene.quartersPerMinute) < SHORTEST_GRACE_SECONDS) return [];
  const all = slotsOf(scene, step, scene.startTick, scene.guardEnd);
  const slots = all.slice(0, landingIndex(all) + 1);
  return ROLLINGS.flatMap(({ name, order }) => {
    const notes =
      slots.length >= 4 ? slideNotes(strings, slots, half, order, scene.guardEnd, scene.wish.neck) : null;
    if (!notes) return [];
    return [
      {
        family: 'slide into the chord',
        title: `a slide into ${chordNameOf(itemAt(slots, 0).harmony.chord)}, then ${name}`,
        notes,
        strings: [],
        throughGuard: false,
        leads: false,
        slurs: 'none' as const,
      },
    ];
  });
}

/** Which string of the chord after which, lowest first from 0. Common practice, no source. */
const ROLLINGS = [
  { name: 'the strings from the lowest up', order: [0, 1, 2] },
  { name: 'the strings from the highest down', order: [2, 1, 0] },
] as const;

function slideNotes(
  strings: readonly OpenString[],
  slots: readonly Slot[],
  half: number,
  order: readonly number[],
  limit: Ticks,
  neck: number,
): readonly DraftNote[] | null {
  const notes: DraftNote[] = [];
  let barred: Barred | null = null;
  let since = 0;
  for (let i = 0; i < slots.length; i++) {
    const slot = itemAt(slots, i);
    const fresh = i === 0 || slot.harmony !== itemAt(slots, i - 1).harmony;
    if (fresh) {
      barred = barredFor(strings, slot.harmony.chord, neck);
      since = 0;
      if (!barred) return null;
      const { fret } = barred;
      // The slide takes the grid's place and the next one, where that has the same chord.
      const after = slots[i + 1];
      const long = after !== undefined && after.harmony === slot.harmony && i + 2 < slots.length;
      const place = slot.tick + slot.ticks * (long ? 2 : 1);
      const end = after ? place : Math.max(place, Math.min(limit, slot.tick + 1920));
      for (const phase of ['below', 'on'] as const)
        for (const string of barred.strings)
          notes.push({
            tick: phase === 'below' ? slot.tick : slot.tick + half,
            ticks: phase === 'below' ? half : end - slot.tick - half,
            midi: itemAt(strings, string - 1).midi + fret - (phase === 'below' ? SLIDE_FROM : 0),
            articulation: phase === 'below' ? 'struck' : 'slide',
            string,
            run: false,
          });
      if (long) i += 1;
      continue;
    }
    if (!barred) return null;
    const place = itemAt(order, since % order.length) % barred.strings.length;
    const string = itemAt(barred.strings, place);
    since += 1;
    notes.push({
      tick: slot.tick,
      ticks: slots[i + 1] ? slot.ticks : Math.max(slot.ticks, Math.min(limit - slot.tick, 1920)),
      midi: itemAt(strings, string - 1).midi + barred.fret,
      articulation: 'struck',
      string,
      run: false,
    });
  }
  return lastOf(slots) ? notes : null;
}

/** The three upper strings where a straight bar has the chord on them, else two of them. */
function barredFor(strings: readonly OpenString[], chord: Chord, neck: number): Barred | null {
  const reach = Math.min(...strings.slice(0, 3).map((each) => each.highestFret));
  for (const wanted of [
    [3, 2, 1],
    [2, 1],
    [3, 2],
    [4, 3],
  ]) {
    for (let fret = SLIDE_FROM + neck; fret <= Math.min(reach, SLIDE_FROM + neck + 11); fret++) {
      const pitches = wanted.map((string) => itemAt(strings, string - 1).midi + fret);
      const all = pitches.every((midi) => toneOf(chord, midi));
      if (all && new Set(pitches.map(pitchClassOf)).size >= 2) return { fret, strings: wanted };
    }
  }
  return null;
}

import { fail, itemAt, must, ok, type Problem, type Result } from '../base';
import { pitchName } from '../theory';
import type { Ticks } from '../time';
import { type Grip, gripCost, gripsOf, type Hand, handOf, type Ledger, termsOf } from './hand-model';
import { moveCost, type Onset, type State } from './hand-moves';
import { leastPath } from './hand-search';
import type { Fingering, HandOptions, NoteToPlan, PlanHand } from './plan';
import { openStrings, type Place, placesOf } from './setup';

/**
 * The left hand's plan of least cost: a string, a fret and a finger for each note, in the order given.
 *
 * The model. Where the index finger lies is the hand's position, a fret of the neck; every other finger has its
 * own place above it (`FINGER_PLACES`) and reaches as far as the span allows, in millimetres of the neck with the
 * capo on. A note is held by its finger as long as it is written, so notes that overlap are held together: each
 * finger in one place, higher fingers on higher frets (or on the same fret nearer the floor), every two within
 * their share of the span, no open string ringing inside a barre. A string sounds one note: it is struck again
 * only when the note on it has ended. A choke needs a stopped string. A hammer-on, a pull-off and a slide need
 * their string still sounding (or ending just then) from a lower fret, a higher fret, and another fret under the
 * same finger; of two fingers, the higher one hammers and the higher one pulls. On the resonator guitar finger 1
 * is the bar, which lies on one fret at a time: a hammer-on starts from the open string, a pull-off ends on it.
 * Open strings leave the hand where it is. Distances across the strings are left out.
 *
 * What is minimised: the sum of `HAND_COSTS` over all notes and moves, exactly, by a shortest path over (position,
 * when a finger was last put down, strings sounding and their fingers). Paths are cut by a lower bound
 * (`leastToGo`); the slack grows until a path is found within it, so nothing is lost.
 *
 * Errors: a setup that cannot be, a voice, a tempo of 0, a pitch or string out of reach, notes that no hand can hold.
 */
export const planHand: PlanHand = (notes, options) => {
  const { setup } = options;
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  if (strings.value.length === 0) {
    return fail(
      'a voice has no strings to plan a hand for',
      'the player',
      'choose an instrument with strings',
    );
  }
  if (!(options.quartersPerMinute > 0)) {
    return fail('the tempo is not above 0', 'the tempo', 'set a tempo in beats a minute');
  }
  const hand = handOf(setup.instrument, strings.value, setup.capo, options.spanMillimetres);
  const onsets: Onset[] = [];
  for (const indexes of onsetsOf(notes)) {
    const together = indexes.map((index) => itemAt(notes, index));
    const choices = together.map((note) => placesFor(hand, note));
    const missing = choices.findIndex((places) => places.length === 0);
    if (missing >= 0) return outOfReach(hand, notes, itemAt(indexes, missing));
    const grips = gripsFor(hand, choices);
    if (grips.length === 0) return cannotHold(hand, notes, indexes, []);
    onsets.push({ tick: itemAt(together, 0).tick, indexes, notes: together, grips });
  }
  const found = leastPath(hand, onsets, options.quartersPerMinute);
  if (!found.ok)
    return cannotHold(hand, notes, itemAt(onsets, found.stuckAt).indexes, onsets.slice(0, found.stuckAt));
  return ok(readPlan(hand, notes, onsets, found.path, options));
};

function onsetsOf(notes: readonly NoteToPlan[]): readonly (readonly number[])[] {
  const order = notes.map((_, index) => index);
  order.sort((a, b) => itemAt(notes, a).tick - itemAt(notes, b).tick || a - b);
  const groups: number[][] = [];
  let last: Ticks | null = null;
  for (const index of order) {
    const { tick } = itemAt(notes, index);
    if (tick === last) itemAt(groups, groups.length - 1).push(index);
    else groups.push([index]);
    last = tick;
  }
  return groups;
}

function placesFor(hand: Hand, note: NoteToPlan): readonly Place[] {
  return placesOf(hand.strings, note.midi).filter(
    ({ string, fret }) =>
      (note.string === null || note.string === string) && (note.articulation !== 'choke' || fret > 0),
  );
}

/** Grips of single notes, remembered by hand and places: they depend on nothing else, and come again in every fill. */
const remembered = new Map<string, readonly Grip[]>();

function gripsFor(hand: Hand, choices: readonly (readonly Place[])[]): readonly Grip[] {
  if (choices.length > 1) return gripsOf(hand, choices);
  const { instrument, lowest, spanMillimetres } = hand;
  let key = `${instrument} ${lowest} ${spanMillimetres}`;
  for (const { string, fret } of itemAt(choices, 0)) {
    key += ` ${string}.${fret}.${itemAt(hand.strings, string - 1).openAtFret}`;
  }
  const known = remembered.get(key);
  if (known !== undefined) return known;
  if (remembered.size > 5000) remembered.clear();
  const grips = gripsOf(hand, choices);
  remembered.set(key, grips);
  return grips;
}

function readPlan(
  hand: Hand,
  notes: readonly NoteToPlan[],
  onsets: readonly Onset[],
  path: readonly State[],
  options: HandOptions,
) {
  const ledger: Ledger = new Map();
  const fingerings: (Fingering | null)[] = notes.map(() => null);
  path.forEach((state, at) => {
    const onset = itemAt(onsets, at);
    moveCost(hand, must(state.before, 'a step'), onset, state.grip, options.quartersPerMinute, ledger);
    gripCost(hand, state.grip.stops, state.grip.position, ledger);
    onset.indexes.forEach((index, position) => {
      const { string, fret, finger } = itemAt(state.grip.stops, position);
      fingerings[index] = { string, fret, finger };
    });
  });
  return {
    fingerings: fingerings.map((fingering) => must(fingering, 'a fingering for each note')),
    cost: path[path.length - 1]?.cost ?? 0,
    terms: termsOf(ledger),
  };
}

function placeInWords(notes: readonly NoteToPlan[], index: number): string {
  return `note ${index + 1} of ${notes.length}, at tick ${itemAt(notes, index).tick}`;
}

function outOfReach(hand: Hand, notes: readonly NoteToPlan[], index: number): Result<never> {
  const { midi, string } = itemAt(notes, index);
  const name = pitchName(midi, 'sharps');
  return string === null
    ? fail(
        `${name} is out of the ${hand.instrument}'s reach as it is set up`,
        placeInWords(notes, index),
        'choose another octave, tuning or capo',
      )
    : fail(
        `${name} cannot be had on string ${string} of the ${hand.instrument} as it is set up`,
        placeInWords(notes, index),
        'ask for another string, or for none',
      );
}

function cannotHold(
  hand: Hand,
  notes: readonly NoteToPlan[],
  indexes: readonly number[],
  before: readonly Onset[],
): { ok: false; error: Problem } {
  const names = indexes.map((index) => pitchName(itemAt(notes, index).midi, 'sharps')).join(' ');
  const where = placeInWords(notes, itemAt(indexes, 0));
  const first = itemAt(notes, itemAt(indexes, 0));
  if (before.length === 0 && indexes.length > 1) {
    return fail(
      `no hand can hold ${names} at once on the ${hand.instrument} as it is set up`,
      where,
      'leave a note out, move one by an octave, or set a wider span',
    );
  }
  if (first.articulation === 'hammer' || first.articulation === 'pull' || first.articulation === 'slide') {
    return fail(
      `the ${first.articulation} to ${names} has no note on its string to come from`,
      where,
      'strike the note, or let the note before it ring on the same string until then',
    );
  }
  const ringing = before
    .flatMap((onset) => onset.notes)
    .filter((note) => note.tick + note.ticks > first.tick)
    .map((note) => pitchName(note.midi, 'sharps'));
  return ringing.length === 0
    ? fail(`no finger reaches ${names}`, where, 'set a wider span, or choose another octave')
    : fail(
        `no hand can stop ${names} while ${ringing.join(' ')} rings on the ${hand.instrument}`,
        where,
        'shorten what rings, or ask for another string',
      );
}

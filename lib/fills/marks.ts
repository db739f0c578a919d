import { lastOf, type Reason } from '../base';
import { isStruck, type OpenString, placeMillimetres } from '../instruments';
import type { FillNote } from '../song';
import { toneOf } from '../theory';
import { secondsOf, type Ticks } from '../time';
import { FILL_COSTS, HAND_SPEED, MOST_OF_COMFORT } from './costs';
import { earliestOf } from './hang';
import { goesThroughGuard } from './kept';
import { harmonyOf } from './rank';
import { SHORT_STRING } from './right-hand';
import { type Scene, strengthAt } from './scene';

/** What is hard, or unusual, in a fill that somebody wrote, and at which of its notes. */
export interface Mark {
  /** Counts the fill's notes from 0. */
  readonly note: number;
  readonly reason: Reason;
}

/**
 * What is hard in a fill as it stands, note by note, for this player in this space: a stretch beyond the span, a shift that is too fast, notes too
 * fast, a slur from nowhere, a stroke against the way, strings that one stroke does not reach, a finger on the drone,
 * notes outside the space or in the guard, a strong beat without a chord tone. Every mark is read from the notes alone, not from how they were
 * solved.
 */
export function marksFor(
  scene: Scene,
  strings: readonly OpenString[],
  family: string,
  notes: readonly FillNote[],
): readonly Mark[] {
  const hands =
    strings.length === 0
      ? []
      : [
          ...stretches(scene, strings, notes),
          ...shifts(scene, strings, notes),
          ...slurs(scene, notes),
          ...strokes(scene, notes),
        ];
  return [...hands, ...speed(scene, notes), ...time(scene, family, notes), ...chords(scene, notes)].toSorted(
    (a, b) => a.note - b.note,
  );
}

const mark = (note: number, rule: string, detail: string, weight = 0): Mark => ({
  note,
  reason: { rule, weight, detail },
});

/** Stopped notes that sound together, further apart than the hand opens; under a bar, on more than one fret. */
function stretches(
  scene: Scene,
  strings: readonly OpenString[],
  notes: readonly FillNote[],
): readonly Mark[] {
  const { instrument } = scene.setup;
  const bar = instrument === 'resonator guitar';
  return notes.flatMap((note, i) => {
    if (note.fret === 0) return [];
    const held = notes.filter(
      (other, k) =>
        k !== i && other.fret > 0 && other.tick <= note.tick && other.tick + other.ticks > note.tick,
    );
    const at = placeMillimetres(instrument, strings, note);
    const far = held.filter((other) => {
      const apart = Math.abs(placeMillimetres(instrument, strings, other) - at);
      return bar ? apart > 1 : apart > scene.spanMillimetres;
    });
    if (far.length === 0) return [];
    const { fret } = lastOf(far);
    return bar
      ? [mark(i, 'one bar', `the bar cannot lie on frets ${fret} and ${note.fret} at once`)]
      : [mark(i, 'wide stretch', `a wide stretch: fret ${note.fret} while fret ${fret} is held`)];
  });
}

function shifts(scene: Scene, strings: readonly OpenString[], notes: readonly FillNote[]): readonly Mark[] {
  const { instrument } = scene.setup;
  const reach = instrument === 'resonator guitar' ? 0 : scene.spanMillimetres;
  const marks: Mark[] = [];
  let before: FillNote | null = null;
  for (const [i, note] of notes.entries()) {
    if (note.fret === 0) continue;
    if (before !== null && note.tick > before.tick) {
      const seconds = secondsOf(note.tick - before.tick, scene.quartersPerMinute);
      const far = Math.abs(
        placeMillimetres(instrument, strings, note) - placeMillimetres(instrument, strings, before),
      );
      if (far > reach + HAND_SPEED * seconds)
        marks.push(
          mark(
            i,
            'fast shift',
            `from fret ${before.fret} to fret ${note.fret} in ${seconds.toFixed(1)} seconds`,
            FILL_COSTS.shift,
          ),
        );
    }
    before = note;
  }
  return marks;
}

/** Frets that a hammer-on or a pull-off spans with ease. */
const EASY_SLUR = 4;

function slurs(scene: Scene, notes: readonly FillNote[]): readonly Mark[] {
  return notes.flatMap((note, i) => {
    if (isStruck(note.articulation)) return [];
    const name = SLUR_NAMES[note.articulation] ?? 'slur';
    if (note.articulation === 'slurred') {
      const before = notes.slice(0, i).findLast((other) => other.tick < note.tick);
      return before ? [] : [mark(i, 'slur from nowhere', 'nothing is bowed before it to slur from')];
    }
    const from = notes
      .slice(0, i)
      .findLast((other) => other.string === note.string && other.tick < note.tick);
    if (!from || from.tick + from.ticks < note.tick)
      return [
        mark(i, 'slur from nowhere', `no note rings on string ${note.string} for the ${name} to come from`),
      ];
    if (from.fret === note.fret)
      return [mark(i, 'slur from nowhere', `a ${name} needs another fret to come from`)];
    if (note.articulation === 'slide' && (from.fret === 0 || note.fret === 0))
      return [mark(i, 'slur from nowhere', 'a slide goes between two stopped notes')];
    const bar = scene.setup.instrument === 'resonator guitar' && note.articulation !== 'slide';
    if (bar && from.fret > 0 && note.fret > 0)
      return [mark(i, 'slur from nowhere', `under a bar a ${name} has an open string at one end`)];
    const wide = note.articulation !== 'slide' && Math.abs(from.fret - note.fret) > EASY_SLUR;
    return wide && from.fret > 0 && note.fret > 0
      ? [mark(i, 'wide stretch', `a ${name} over ${Math.abs(from.fret - note.fret)} frets`)]
      : [];
  });
}

const SLUR_NAMES: Readonly<Record<string, string>> = {
  hammer: 'hammer-on',
  pull: 'pull-off',
  slide: 'slide',
  slurred: 'slur',
};

function strokes(scene: Scene, notes: readonly FillNote[]): readonly Mark[] {
  const { instrument } = scene.setup;
  return notes.flatMap((note, i) => {
    const marks: Mark[] = [];
    if (note.exception)
      marks.push(mark(i, 'unusual strokes', 'a stroke against the usual way', FILL_COSTS.exception));
    if (
      instrument === 'banjo' &&
      note.string === SHORT_STRING &&
      note.stroke !== null &&
      note.stroke !== 'thumb'
    )
      marks.push(mark(i, 'drone without thumb', `the ${note.stroke} finger has to strike the drone`));
    const together = notes.filter((other) => other.tick === note.tick && isStruck(other.articulation));
    const lowest = Math.min(...together.map((other) => other.string));
    if (together.length > 1 && note.string === lowest && isStruck(note.articulation))
      marks.push(...oneStroke(instrument, i, together));
    return marks;
  });
}

/** What one stroke reaches: a pick and a bow neighbouring strings (a bow two), three fingers three notes. */
function oneStroke(
  instrument: Scene['setup']['instrument'],
  index: number,
  together: readonly FillNote[],
): readonly Mark[] {
  const on = together.map((note) => note.string);
  const width = Math.max(...on) - Math.min(...on) + 1;
  if (instrument === 'fiddle' && (width > 2 || on.length > 2))
    return [mark(index, 'one bow', 'a bow has two neighbouring strings at most')];
  if ((instrument === 'guitar' || instrument === 'mandolin') && width > on.length)
    return [mark(index, 'one stroke', 'a pick strikes strings between them too')];
  if ((instrument === 'banjo' || instrument === 'resonator guitar') && on.length > 3)
    return [mark(index, 'three fingers', 'three fingers strike three strings at most')];
  return [];
}

function speed(scene: Scene, notes: readonly FillNote[]): readonly Mark[] {
  const marks: Mark[] = [];
  let before: Ticks | null = null;
  for (const [i, note] of notes.entries()) {
    if (!isStruck(note.articulation)) continue;
    if (before !== null && note.tick > before) {
      const ratio =
        60 / secondsOf(note.tick - before, scene.quartersPerMinute) / scene.comfortEighthsPerMinute;
      if (ratio > MOST_OF_COMFORT)
        marks.push(mark(i, 'hard at this tempo', 'much faster than is easy here', FILL_COSTS.hard));
      else if (ratio > 1) marks.push(mark(i, 'hard at this tempo', 'fast for this player', FILL_COSTS.hard));
    }
    before = note.tick;
  }
  return marks;
}

function time(scene: Scene, family: string, notes: readonly FillNote[]): readonly Mark[] {
  const { space, leader } = scene;
  const guard = goesThroughGuard(family) ? space.endTick : space.endTick - space.guardTicks;
  const earliest = earliestOf(space, scene.timeline);
  return notes.flatMap((note, i) => {
    const end = note.tick + note.ticks;
    if (note.tick < earliest) return [mark(i, 'outside the space', `begins while ${leader} is still there`)];
    if (end > space.endTick) return [mark(i, 'outside the space', `goes on while ${leader} comes in`)];
    if (end > guard) return [mark(i, 'in the guard', `leaves ${leader} little time to come in`)];
    return [];
  });
}

function chords(scene: Scene, notes: readonly FillNote[]): readonly Mark[] {
  return notes.flatMap((note, i) => {
    if (strengthAt(scene.timeline, note.tick) < 3) return [];
    const after = notes[i + 1];
    const ornament = after !== undefined && after.tick - note.tick <= 480 && !isStruck(after.articulation);
    const { chord } = harmonyOf(scene, note);
    const heard = ornament ? [note, after] : [note];
    if (heard.some((each) => toneOf(harmonyOf(scene, each).chord, each.midi))) return [];
    const rub = `no note of ${chord.symbol}, on a strong beat`;
    return [mark(i, 'outside the chord on a beat', rub, FILL_COSTS.outsideOnBeat)];
  });
}

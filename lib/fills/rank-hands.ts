import { itemAt, lastOf, type Reason } from '../base';
import { type InstrumentName, indexReach, openStrings, placeMillimetres } from '../instruments';
import type { FillNote } from '../song';
import { BAR_EASE, BAR_EASE_STEP, FILL_COSTS } from './costs';
import { barTravel } from './hand-limits';
import type { Played } from './play';
import { reason } from './rank-reason';
import { type Scene, strengthAt } from './scene';
import { chordNameOf, listed } from './words';

/** What the hands have to say about a fill: strokes, shapes, slurs, shifts and speed. */
export function handReasons(scene: Scene, played: Played): readonly Reason[] {
  return [...rightHand(scene, played), ...leftHand(scene, played), ...speed(played)];
}

function rightHand(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  const reasons: Reason[] = [];
  if (draft.strings.length > 0)
    reasons.push(reason('strings', FILL_COSTS.told, shapeWords(scene, draft.strings, notes)));
  const exceptions = notes.filter((note) => note.exception).length;
  if (exceptions > 0)
    reasons.push(
      reason(
        'unusual strokes',
        exceptions * FILL_COSTS.exception,
        exceptions === 1 ? 'one stroke against the usual way' : `${exceptions} strokes against the usual way`,
      ),
    );
  const first = notes.find((note) => note.stroke !== null);
  if (
    first?.stroke === 'up' &&
    first.strokeRule === 'toward the next string' &&
    strengthAt(scene.timeline, first.tick) >= 2
  )
    reasons.push(
      reason('up-stroke on the beat', FILL_COSTS.upStrokeOnBeat, 'begins with an up-stroke on the beat'),
    );
  return reasons;
}

/** 'all on 4, 3, 2, in the open G shape': the shape is named where it is one and as low as can be. */
function shapeWords(scene: Scene, strings: readonly number[], notes: readonly FillNote[]): string {
  const tick = itemAt(notes, 0).tick;
  const chords = scene.harmonies.filter(
    (each) => each.given && each.startTick <= lastOf(notes).tick && each.endTick > tick,
  );
  const one = chords.length === 1 && scene.setup.capo === 0 ? chords[0] : undefined;
  const open = one && notes.some((note) => note.fret === 0) && notes.every((note) => note.fret < HIGH_FRET);
  const shape = open ? `, in the open ${chordNameOf(one.chord)} shape` : '';
  const inside = notes.every((note) => strings.includes(note.string));
  return `${inside ? 'all ' : 'rolls '}on ${strings.join(', ')}${shape}`;
}

const PLUCKED = new Set(['guitar', 'banjo', 'resonator guitar', 'mandolin']);

function leftHand(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  const reasons: Reason[] = [];
  const slurs = notes.filter((note) => note.articulation in SLUR_WORDS);
  if (slurs.length > 0) {
    const kinds = [...new Set(slurs.map((note) => SLUR_WORDS[note.articulation] ?? ''))];
    const points = scene.setup.instrument === 'bass' ? FILL_COSTS.slursOnBass : FILL_COSTS.slurs;
    reasons.push(reason('slurs', points, `with ${listed(kinds)}`));
  } else if (
    PLUCKED.has(scene.setup.instrument) &&
    notes.length > 4 &&
    !notes.some((n) => n.articulation === 'tremolo')
  )
    reasons.push(reason('no slurs', FILL_COSTS.noSlurs, 'plainly picked, no slurs'));
  if (draft.strings.length > 0 && notes.some((note) => note.fret >= HIGH_FRET))
    reasons.push(
      reason(
        'reaches up',
        FILL_COSTS.reachesUp,
        `reaches up to fret ${Math.max(...notes.map((note) => note.fret))}`,
      ),
    );
  if (notes.some((note) => note.fret > 0) && widestHeld(scene, notes) > WIDE * scene.spanMillimetres)
    reasons.push(reason('wide stretch', FILL_COSTS.told, 'a wide stretch for the hand'));
  const slants = scene.setup.instrument === 'resonator guitar' ? slantedPairs(notes) : 0;
  if (slants > 0)
    reasons.push(
      reason(
        'the bar slants',
        slants * FILL_COSTS.slant,
        slants === 1 ? 'the bar slants once' : `the bar slants ${slants} times`,
      ),
    );
  const strings = openStrings(scene.setup);
  const travel = strings.ok ? barTravel(scene, strings.value, notes, { fingerings: notes }) : 0;
  if (travel > BAR_EASE)
    reasons.push(
      reason(
        'the bar hurries',
        ((travel - BAR_EASE) / BAR_EASE_STEP) * FILL_COSTS.barTravel,
        `the bar goes at ${Math.round(travel / 10) * 10} millimetres a second at its fastest`,
      ),
    );
  const { shifts, further } = handShifts(scene.setup.instrument, notes);
  if (shifts > 0)
    reasons.push(
      reason(
        'the hand moves',
        shifts * FILL_COSTS.shift + further * FILL_COSTS.shiftFurther,
        shifts === 1 ? 'the hand moves once' : `the hand moves ${shifts} times`,
      ),
    );
  return reasons;
}

/** How many pairs of stopped notes that begin together lie on two frets. */
function slantedPairs(notes: readonly FillNote[]): number {
  return notes.filter((note, i) => {
    const other = notes[i + 1];
    return other?.tick === note.tick && other.fret > 0 && note.fret > 0 && other.fret !== note.fret;
  }).length;
}

/** From this share of the player's span on a stretch is said to be wide. */
const WIDE = 0.9;

/** The furthest that two stopped notes which sound together lie apart on the neck, in millimetres. */
function widestHeld(scene: Scene, notes: readonly FillNote[]): number {
  const { instrument } = scene.setup;
  const strings = openStrings(scene.setup);
  if (!strings.ok) return 0;
  let widest = 0;
  notes.forEach((note, i) => {
    for (const other of notes.slice(i + 1)) {
      if (other.tick >= note.tick + note.ticks) break;
      if (note.fret === 0 || other.fret === 0 || other.string === note.string) continue;
      const at = placeMillimetres(instrument, strings.value, note);
      widest = Math.max(widest, Math.abs(placeMillimetres(instrument, strings.value, other) - at));
    }
  });
  return widest;
}

const SLUR_WORDS: Readonly<Record<string, string>> = {
  hammer: 'a hammer-on',
  pull: 'a pull-off',
  slide: 'a slide',
  choke: 'a choke',
};

/** From this fret on a shape for a roll is a reach. */
const HIGH_FRET = 5;

/**
 * How often the hand moves by more than a fret, and how many frets it goes beyond two. It stays as long as each finger has its note from where
 * it lies.
 */
function handShifts(
  instrument: InstrumentName,
  notes: readonly FillNote[],
): { readonly shifts: number; readonly further: number } {
  let shifts = 0;
  let further = 0;
  let place: { readonly from: number; readonly to: number } | null = null;
  for (const note of notes) {
    if (note.fret === 0 || note.finger === 0) continue;
    const here = indexReach(instrument, note);
    const away: number = place === null ? 0 : Math.max(0, here.from - place.to, place.from - here.to);
    if (away > 1) shifts += 1;
    further += Math.max(0, away - 2);
    if (place === null || away > 0) place = here;
    else place = { from: Math.max(place.from, here.from), to: Math.min(place.to, here.to) };
  }
  return { shifts, further };
}

function speed({ speed: ratio }: Played): readonly Reason[] {
  if (ratio > 1) return [reason('hard at this tempo', FILL_COSTS.hard, 'fast for this player')];
  if (ratio <= 0.7) return [reason('easy at this tempo', FILL_COSTS.easy, 'easy at this tempo')];
  return [];
}

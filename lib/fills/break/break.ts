import { fail, itemAt, ok, type Result } from '../../base';
import { type InstrumentName, openStrings } from '../../instruments';
import { barTicks, type Meter } from '../../time';
import { breakScene } from './break-scene';
import { capoWords } from './capo';
import { frameOf } from './frame';
import { type Model, modelOf } from './model';
import { pickupInto } from './pickup';
import { difficultyOf, pickupReason, reasonsOf, unusualIn } from './report';
import { heldNotes } from './ringing';
import { rollStates } from './roll-states';
import { leastWay, type Way } from './search';
import { octavesFor, type Sung, tuneIn } from './tune';
import type { Break, BreakRequest, TuneNote } from './types';

/**
 * A break: the tune of a stretch as one player plays it alone, with its pickup, runs in the spaces between phrases and a close.
 *
 * Guitar and mandolin cross-pick it over three neighbouring strings, banjo plays it inside its rolls; fiddle and resonator guitar ornament it; bass
 * plays it plain, an octave or more below; `plain` asks for the tune alone anywhere.
 *
 * The model. Every note of the tune is struck, in its order, on its beat or at most an eighth early or late, in the octave of its
 * phrase (`octavesFor`); the places of the grid between are left to the roll: tones of the chord that sounds, the tune's own note again, the
 * banjo's drone. Each strike lies on the string of a place of a roll (`rollStates`), or beside a roll. What is minimised is the sum of
 * `BREAK_COSTS` over strikes, the roll's beginnings and the hand's moves, exactly, by dynamic programming (`leastWay`). Runs between phrases, the tag lick
 * and the octaves are chosen before that, each exactly for its own model; slurs are put in afterwards and change no string. Fingers and
 * strokes are then the least of `planHand` and `planStrokes`. Where no hand can let notes ring as they are laid they are cut short. No
 * chance: the same request gives the same break.
 *
 * Errors: a voice; a song without bars or without a tune; a tune out of the instrument's reach; a setup that cannot be.
 */
export function breakFor(request: BreakRequest): Result<Break> {
  const { timeline, setup, startTick, endTick } = request;
  if (setup.instrument === 'voice')
    return fail('a voice plays no break', 'the player', 'choose a player with an instrument');
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  const found = breakScene(request);
  if (!found.ok) return found;
  const { scene, chordsWorkedOut } = found.value;
  const tune = tuneIn(request);
  if (tune.length === 0)
    return fail(
      'no tune is written here',
      `bar ${timeline.barAt(startTick).number}`,
      'bring in a file with notes, or choose a voice and a section that have a tune',
    );
  const octaves = octavesFor(tune, strings.value, request);
  if (!octaves)
    return fail(
      `a phrase of the tune is wider than the ${setup.instrument} reaches`,
      'the tune',
      'choose another tuning, capo or key',
    );
  const frame = frameOf(scene, strings.value, tune, octaves, request.plain);
  const { meter } = timeline.barAt(itemAt(tune, 0).tick).bar;
  const rolls = request.plain ? [] : rollStates(setup.instrument, strings.value.length, goesBySixes(meter));
  const model = modelOf(setup.instrument, strings.value, frame, rolls, request.rule);
  const way = leastWay(model);
  if (!way)
    return fail(
      `the ${setup.instrument} finds no way through the tune`,
      'the tune',
      'choose another capo or key',
    );

  const hands = heldNotes(scene, model, way, tune, endTick, request);
  if (!hands.ok) return hands;
  const notes = hands.value;
  const first = { ...itemAt(tune, 0), octaves: itemAt(octaves, 0) };
  const pickup = pickupInto(request, strings.value, first, notes);
  const unusual = unusualIn(setup, strings.value, notes);
  const told = tuneNotes(tune, octaves, model, way);
  const family = familyOf(setup.instrument, request.plain);
  const capo = capoWords(setup, scene.key);
  return ok({
    family,
    title: frame.endingTitle === null ? family : `${family}, ${frame.endingTitle} to close`,
    notes,
    pickup,
    tune: told,
    difficulty: difficultyOf(scene, notes, unusual, rolls.length > 0),
    unusual,
    cost: way.cost,
    chordsWorkedOut,
    reasons: [
      ...reasonsOf(model, frame, way, told, unusual, chordsWorkedOut),
      ...pickupReason(timeline.barAt(startTick), tune, pickup),
      ...(capo ? [capo] : []),
    ],
  });
}

/** Bars of six eighths have rolls of six. */
function goesBySixes(meter: Meter): boolean {
  const eighths = barTicks(meter) / 480;
  return eighths % 8 !== 0 && eighths % 6 === 0;
}

function familyOf(instrument: InstrumentName, plain: boolean): string {
  if (plain || instrument === 'bass') return 'plain melody';
  if (instrument === 'banjo') return 'melody in the roll';
  return instrument === 'guitar' || instrument === 'mandolin' ? 'cross-picked melody' : 'ornamented melody';
}

function tuneNotes(
  tune: readonly Sung[],
  octaves: readonly number[],
  model: Model,
  way: Way,
): readonly TuneNote[] {
  const playedAt = new Map<number, number>();
  way.steps.forEach(({ choice }, k) => {
    if (choice.tune !== null) playedAt.set(choice.tune, itemAt(model.moments, k).tick);
  });
  return tune.map((note, i) => {
    const playedTick = playedAt.get(i) ?? note.tick;
    return {
      noteId: note.noteId,
      tick: note.tick,
      ticks: note.ticks,
      midi: note.midi,
      octaves: itemAt(octaves, i),
      playedTick,
      licence: playedTick === note.tick ? 'on its beat' : playedTick < note.tick ? 'early' : 'late',
    };
  });
}

import { itemAt } from '../../base';
import type { InstrumentName, OpenString, StrokeRule } from '../../instruments';
import { pitchClassOf, toneOf } from '../../theory';
import { BREAK_COSTS, TUNE_REACH } from './costs';
import type { Frame, Moment } from './frame';
import type { RollState } from './roll-states';

/**
 * Where a note of the tune stands to its moment: `due` now or done; `owed`: it was due a moment ago and comes now, late;
 * `ahead`: what is due now was played a moment ago, early.
 */
export const LAGS = ['due', 'owed', 'ahead'] as const;
export type Lag = (typeof LAGS)[number];

/** One thing that can be done at a moment: strike a note, or (string null) nothing. */
export interface Choice {
  readonly kind: 'tune' | 'run' | 'roll' | 'rest';
  readonly string: number | null;
  readonly fret: number;
  readonly midi: number;
  /** The note of the tune that it plays. */
  readonly tune: number | null;
  readonly before: Lag;
  readonly after: Lag;
  /** Positions of the hand from which it is had: the index finger's fret. */
  readonly lowest: number;
  readonly highest: number;
  readonly cost: number;
}

/**
 * What a break is searched in. A way through it gives each moment a choice, a place of the right hand (in a roll, or beside one: then only the
 * last string counts) and a position of the left.
 */
export interface Model {
  readonly instrument: InstrumentName;
  readonly strings: readonly OpenString[];
  readonly moments: readonly Moment[];
  readonly pitches: readonly number[];
  readonly rolls: readonly RollState[];
  readonly rule: StrokeRule;
  /** Positions of the hand, from 1: up to the last one from which some note of the tune or a run is first had, one hand at least. */
  readonly positions: number;
}

/** An eighth: as far as a note of the tune may be moved. */
export const LICENCE = 480;

export function modelOf(
  instrument: InstrumentName,
  strings: readonly OpenString[],
  frame: Pick<Frame, 'moments' | 'pitches'>,
  rolls: readonly RollState[],
  rule: StrokeRule,
): Model {
  return {
    instrument,
    strings,
    moments: frame.moments,
    pitches: frame.pitches,
    rolls,
    rule,
    positions: positionsFor(instrument, strings, frame),
  };
}

function positionsFor(
  instrument: InstrumentName,
  strings: readonly OpenString[],
  { moments, pitches }: Pick<Frame, 'moments' | 'pitches'>,
): number {
  const wanted = [...pitches, ...moments.flatMap(({ run }) => run ?? [])];
  const lowestFrets = wanted.map((midi) =>
    Math.min(
      ...strings.flatMap(({ string, midi: open }) =>
        midi < open || isShort({ instrument }, string) ? [] : midi - open,
      ),
    ),
  );
  return Math.min(TUNE_REACH[instrument].highestFret, Math.max(FEWEST_POSITIONS, ...lowestFrets));
}

/** So many positions are tried at least. */
const FEWEST_POSITIONS = 5;

/** All that can be done at a moment. */
export function choicesAt(model: Model, k: number): readonly Choice[] {
  const { moments, pitches, rolls } = model;
  const moment = itemAt(moments, k);
  const next = moments[k + 1];
  const rolled = rolls.length > 0;
  const choices: Choice[] = [];
  const strike = (
    kind: Choice['kind'],
    midi: number,
    tune: number | null,
    before: Lag,
    after: Lag,
    cost: number,
  ) => {
    for (const place of placesFor(model, midi))
      choices.push({ kind, midi, tune, before, after, ...place, cost: cost + place.cost });
  };
  const fillIn = (before: Lag, after: Lag) => {
    choices.push(restAt(model, k, before, after));
    if (!rolled || !moment.onGrid) return;
    for (const note of rollNotes(model, k)) choices.push({ ...note, before, after });
  };

  if (moment.run !== null) {
    strike('run', moment.run, null, 'due', 'due', 0);
    return choices;
  }
  if (moment.due === null) fillIn('due', 'due');
  else strike('tune', itemAt(pitches, moment.due), moment.due, 'due', 'due', 0);
  if (!rolled) return choices;

  const movable = (due: number) => due > 0 && due < pitches.length - 1;
  const before = moments[k - 1];
  // Late: it was due a moment ago, and nothing else is due now.
  if (before && before.due !== null && moment.due === null && canMove(before, moment) && movable(before.due))
    strike('tune', itemAt(pitches, before.due), before.due, 'owed', 'due', moved(before, 'late'));
  if (
    next &&
    moment.due !== null &&
    next.due === null &&
    next.run === null &&
    canMove(moment, next) &&
    movable(moment.due)
  )
    fillIn('due', 'owed');
  // Early: it is due at the next moment.
  if (next && next.due !== null && moment.due === null && canMove(next, moment) && movable(next.due))
    strike('tune', itemAt(pitches, next.due), next.due, 'due', 'ahead', moved(next, 'early'));
  if (
    before &&
    moment.due !== null &&
    before.run === null &&
    before.due === null &&
    canMove(moment, before) &&
    movable(moment.due)
  )
    fillIn('ahead', 'due');
  return choices;
}

const canMove = (from: Moment, to: Moment) =>
  from.onGrid && to.onGrid && Math.abs(from.tick - to.tick) <= LICENCE;

const moved = (from: Moment, way: 'early' | 'late') =>
  BREAK_COSTS[way] + BREAK_COSTS.offItsBeat * Math.max(0, from.strength - 1);

function restAt(model: Model, k: number, before: Lag, after: Lag): Choice {
  const moment = itemAt(model.moments, k);
  const cost = model.rolls.length > 0 && moment.onGrid && moment.ticks >= LICENCE ? BREAK_COSTS.rollRests : 0;
  const { positions } = model;
  return {
    kind: 'rest',
    string: null,
    fret: 0,
    midi: 0,
    tune: null,
    before,
    after,
    lowest: 1,
    highest: positions,
    cost,
  };
}

interface PlaceChoice {
  readonly string: number;
  readonly fret: number;
  readonly lowest: number;
  readonly highest: number;
  readonly cost: number;
}

/** Where a pitch can be had, and from which positions; not on a banjo's short string. */
function placesFor(model: Model, midi: number): readonly PlaceChoice[] {
  const { highestFret } = TUNE_REACH[model.instrument];
  return model.strings.flatMap(({ string, midi: open, highestFret: most }) => {
    const fret = midi - open;
    if (fret < 0 || fret > Math.min(most, highestFret, highestStop(model)) || isShort(model, string))
      return [];
    return [placeAt(model, string, fret)];
  });
}

/** The highest fret that some position reaches. */
const highestStop = (model: Model) => model.positions + TUNE_REACH[model.instrument].hand;

function placeAt(model: Model, string: number, fret: number): PlaceChoice {
  const { hand } = TUNE_REACH[model.instrument];
  const cost = BREAK_COSTS.fret * fret;
  if (fret === 0) return { string, fret, lowest: 1, highest: model.positions, cost };
  return { string, fret, lowest: Math.max(1, fret - hand), highest: Math.min(fret, model.positions), cost };
}

export const isShort = (model: Pick<Model, 'instrument'>, string: number) =>
  model.instrument === 'banjo' && string === 5;

type RollNote = Omit<Choice, 'before' | 'after'>;

/** Notes of a roll at a moment: tones of its chord, the tune's own note again, the drone. */
function rollNotes(model: Model, k: number): readonly RollNote[] {
  const moment = itemAt(model.moments, k);
  const { chord } = moment.harmony;
  const { highestFret } = TUNE_REACH[model.instrument];
  const notes: RollNote[] = [];
  for (const open of model.strings) {
    const most = isShort(model, open.string)
      ? 0
      : Math.min(highestFret, open.highestFret, highestStop(model));
    for (let fret = 0; fret <= most; fret++) {
      const midi = open.midi + fret;
      const drone = isShort(model, open.string);
      const again = moment.sings === midi;
      const inChord = toneOf(chord, midi) !== null;
      if (!inChord && !again && !drone) continue;
      const place = placeAt(model, open.string, fret);
      const cost =
        place.cost +
        (fret > 0 ? BREAK_COSTS.pressed : 0) +
        (again ? BREAK_COSTS.tuneAgain + (inChord ? 0 : BREAK_COSTS.tuneAgainOutside) : 0) +
        (again || drone ? 0 : beside(model, midi, moment.sings)) +
        (drone && !inChord
          ? moment.strength >= 2
            ? BREAK_COSTS.droneOutsideOnBeat
            : BREAK_COSTS.droneOutside
          : 0);
      notes.push({ kind: 'roll', midi, tune: null, ...place, cost });
    }
  }
  return notes;
}

function beside(model: Model, midi: number, sings: number | null): number {
  if (sings === null) return 0;
  const close =
    Math.abs(midi - sings) <= 2 || pitchClassOf(midi - sings) === 1 || pitchClassOf(sings - midi) === 1;
  return (
    (midi > sings
      ? model.instrument === 'banjo'
        ? BREAK_COSTS.aboveTune
        : BREAK_COSTS.aboveTunePicked
      : 0) + (close && midi !== sings ? BREAK_COSTS.besideTune : 0)
  );
}

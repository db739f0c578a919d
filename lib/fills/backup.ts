import { fail, itemAt, ok, type Result } from '../base';
import {
  type Articulation,
  type ChordShape,
  chordShape,
  type Fingering,
  openStrings,
  type Setup,
  type Stroke,
} from '../instruments';
import type { FillNote, PlacedBar, Timeline } from '../song';
import { type Chord, parseChord, pitchClassOf } from '../theory';
import { isCompound, type Ticks, ticksOf } from '../time';
import { barOrigin } from './scene';

/** What a player's backup is worked out from: a stretch of the timeline, and when the player is away with a fill. */
export interface BackupRequest {
  readonly timeline: Timeline;
  readonly startTick: Ticks;
  readonly endTick: Ticks;
  readonly setup: Setup;
  readonly away: readonly { readonly startTick: Ticks; readonly endTick: Ticks }[];
}

/** A change of chord costs so much for each fret that the hand's place moves, beside the shape's own cost. Common practice, no source. */
const CHANGE_COST_PER_FRET = 2;
const SHAPES_TRIED = 6;

/**
 * Backup on guitar (boom-chuck), mandolin (chop), banjo and resonator guitar (vamp), in the chords as they change.
 *
 * The model: one shape for each chord as it holds, the least sum of the shapes' own costs (`chordShape`, the first
 * `SHAPES_TRIED`) and of the way from place to place (`CHANGE_COST_PER_FRET`), exactly, by dynamic programming over chords × shapes.
 * Beats: bass on the odd and strum on the even ones, in a waltz bass on 1 and strum on 2 and 3; chop and vamp only the latter.
 * A pickup and time away with a fill are left free; a note before a fill ends where it begins. No chord, no note.
 * Errors: an instrument without chords to strum, a setup that cannot be, a chord that no hand can hold.
 */
export function strumBackup(request: BackupRequest): Result<readonly FillNote[]> {
  const { timeline, setup } = request;
  const strums = ['guitar', 'mandolin', 'banjo', 'resonator guitar'];
  if (!strums.includes(setup.instrument))
    return fail(
      `no strummed backup for ${setup.instrument}`,
      'the player',
      'choose an instrument that strums',
    );
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  const open = strings.value.map((each) => each.midi);
  const chords = timeline.chordsIn(request.startTick, request.endTick).flatMap((placed) => {
    const chord = parseChord(placed.symbol);
    return chord ? [{ placed, chord }] : [];
  });
  const columns: (readonly ChordShape[])[] = [];
  for (const { chord, placed } of chords) {
    const shapes = shapesFor(setup, chord);
    if (!shapes.ok)
      return fail(
        shapes.error.what,
        `${placed.symbol}, bar ${timeline.barAt(placed.startTick).number}`,
        shapes.error.mend,
      );
    columns.push(shapes.value);
  }
  const chosen = smoothest(columns);
  const notes: FillNote[] = [];
  for (const beat of beatsIn(timeline, request.startTick, request.endTick)) {
    if (request.away.some((each) => beat.tick >= each.startTick && beat.tick < each.endTick)) continue;
    const at = chords.findIndex(({ placed }) => placed.startTick <= beat.tick && placed.endTick > beat.tick);
    const held = chords[at];
    if (!held) continue;
    const { stops } = itemAt(chosen, at);
    const leave = Math.min(
      request.endTick,
      held.placed.endTick,
      ...request.away.filter((each) => each.startTick > beat.tick).map((each) => each.startTick),
    );
    const guitar = setup.instrument === 'guitar';
    if (!beat.strum && !guitar) continue;
    const struck = beat.strum
      ? stops.filter((stop) => stop.string <= 3)
      : [bassStop(stops, open, held.chord, beat.second)];
    const length = beat.strum ? Math.floor(beat.ticks / 2) : beat.ticks;
    for (const stop of struck) {
      notes.push({
        tick: beat.tick,
        ticks: Math.min(length, leave - beat.tick),
        midi: itemAt(open, stop.string - 1) + stop.fret,
        string: stop.string,
        fret: stop.fret,
        finger: stop.finger,
        ...handOn(setup, stop.string),
      });
    }
  }
  return ok(notes);
}

/** A pick goes down on the beat; three fingers pinch, the thumb nearest the ceiling. */
function handOn(
  setup: Setup,
  string: number,
): Pick<FillNote, 'articulation' | 'stroke' | 'strokeRule' | 'exception'> {
  const picked = setup.instrument === 'guitar' || setup.instrument === 'mandolin';
  const fingers: readonly Stroke[] = ['middle', 'index', 'thumb'];
  const articulation: Articulation = picked ? 'struck' : 'pinch';
  return {
    articulation,
    stroke: picked ? 'down' : itemAt(fingers, string - 1),
    strokeRule: picked ? 'the beat decides' : 'roll',
    exception: false,
  };
}

/** Guitar: whole shapes with the bass below; the rest: the first three strings, stopped all where that can be, so that the hand can cut them short. */
function shapesFor(setup: Setup, chord: Chord): Result<readonly ChordShape[]> {
  const tones = chord.tones.map((tone) => tone.pitchClass);
  if (setup.instrument === 'guitar') {
    const shapes = chordShape(setup, tones, { bass: chord.bass, count: SHAPES_TRIED });
    if (!shapes.ok) return shapes;
    const whole = shapes.value.filter(
      ({ stops }) => stops.some((stop) => stop.string > 3) && stops.some((stop) => stop.string <= 3),
    );
    return whole.length > 0
      ? ok(whole)
      : fail('no shape has both bass and strum', 'the shapes', 'move the capo');
  }
  const options = { bass: null, highestFret: setup.instrument === 'resonator guitar' ? 12 : 9, count: 40 };
  let shapes = chordShape(setup, tones, { ...options, strings: [3, 2, 1] });
  // One straight bar has no full minor triad: two notes of it are enough.
  for (const strings of [
    [2, 1],
    [3, 2],
    [3, 1],
  ])
    if (!shapes.ok) shapes = chordShape(setup, tones, { ...options, strings });
  if (!shapes.ok) return shapes;
  const stopped = shapes.value.filter(({ stops }) => stops.every((stop) => stop.fret > 0));
  return ok((stopped.length > 0 ? stopped : shapes.value).slice(0, SHAPES_TRIED));
}

function bassStop(
  stops: readonly Fingering[],
  open: readonly number[],
  chord: Chord,
  second: boolean,
): Fingering {
  const low = stops.filter((stop) => stop.string > 3);
  const find = (pitchClass: number) =>
    low.find((stop) => pitchClassOf(itemAt(open, stop.string - 1) + stop.fret) === pitchClass);
  const root = find(chord.bass) ?? itemAt(low, 0);
  return second ? (find(pitchClassOf(chord.root + 7)) ?? root) : root;
}

function smoothest(columns: readonly (readonly ChordShape[])[]): readonly ChordShape[] {
  interface Step {
    readonly shape: ChordShape;
    readonly cost: number;
    readonly before: Step | null;
  }
  let layer: readonly Step[] = [];
  columns.forEach((shapes, i) => {
    layer = shapes.map((shape): Step => {
      if (i === 0) return { shape, cost: shape.cost, before: null };
      const steps = layer.map(
        (step): Step => ({
          shape,
          cost:
            step.cost + shape.cost + CHANGE_COST_PER_FRET * Math.abs(step.shape.position - shape.position),
          before: step,
        }),
      );
      return steps.reduce((least, step) => (step.cost < least.cost ? step : least));
    });
  });
  const path: ChordShape[] = [];
  const end =
    layer.length > 0 ? layer.reduce((least, step) => (step.cost < least.cost ? step : least)) : null;
  for (let step: Step | null = end; step; step = step.before) path.push(step.shape);
  return path.reverse();
}

interface Beat {
  readonly tick: Ticks;
  readonly ticks: Ticks;
  readonly strum: boolean;
  /** The bar's second bass note: the fifth. */
  readonly second: boolean;
}

function beatsIn(timeline: Timeline, from: Ticks, to: Ticks): readonly Beat[] {
  return timeline.bars
    .flatMap((placed) => (placed.bar.pickup ? [] : beatsOfBar(placed)))
    .filter(({ tick }) => tick >= from && tick < to);
}

/** Cut time is counted in quarters, compound meters in their dotted beats. */
function beatsOfBar(placed: PlacedBar): readonly Beat[] {
  const { meter } = placed.bar;
  const ticks = isCompound(meter) ? ticksOf(3, meter.unit) : ticksOf(1, Math.max(4, meter.unit));
  const waltz = meter.count === 3 || meter.count === 9;
  const beats: Beat[] = [];
  for (let tick = barOrigin(placed); tick + ticks <= placed.endTick; tick += ticks) {
    const at = beats.length;
    beats.push({ tick, ticks, strum: waltz ? at % 3 !== 0 : at % 2 === 1, second: !waltz && at % 4 === 2 });
  }
  return beats;
}

/**
 * Who keeps the chop while a player has a fill: the usual chopper if somebody else has it, else the first of the others in the order
 * mandolin, banjo, guitar, fiddle, resonator guitar; null: nobody is left to. Common practice, no source.
 */
export function keepsTheChop(
  players: readonly { readonly id: string; readonly setup: Setup }[],
  holder: string | null,
): string | null {
  const order = ['mandolin', 'banjo', 'guitar', 'fiddle', 'resonator guitar'];
  const left = players.filter(({ id, setup }) => id !== holder && order.includes(setup.instrument));
  left.sort((a, b) => order.indexOf(a.setup.instrument) - order.indexOf(b.setup.instrument));
  return left[0]?.id ?? null;
}

import { fail, itemAt, lastOf, ok, type Result } from '../base';
import {
  DEFAULT_SPAN_MILLIMETRES,
  type NoteToPlan,
  type OpenString,
  planHand,
  planStrokes,
} from '../instruments';
import { type Chord, type Key, type PitchClass, pitchClassOf, scaleOf } from '../theory';
import type { Ticks } from '../time';
import { bassTurns, secondBass, type Touch, touchesOf } from './backup-beats';
import { BACKUP_COSTS, BASS_REGISTER_TOP } from './backup-patterns';
import type { BackupRequest, PlayedBackup } from './backup-types';
import { barOrigin } from './scene';

/** A note of the bass before its octave is chosen. */
interface Step {
  readonly tick: Ticks;
  readonly ticks: Ticks;
  readonly pitchClass: PitchClass;
  readonly kind: 'root' | 'fifth' | 'walk';
  /** True where this note is gone to by a walk: by step. */
  readonly walkedTo: boolean;
}

/**
 * Root and fifth, and walks into the next chord.
 *
 * The model: a walk goes through the one or two notes of the key between the two basses, a third, fourth or fifth apart, on the last
 * counts before a change on a barline (`walkInto`). Octaves are those of least cost (`BACKUP_COSTS`: steps, register), exactly, by
 * dynamic programming over notes × pitches; then the hand is planned over the whole line (`planHand`).
 */
export function bassBackup(request: BackupRequest, strings: readonly OpenString[]): Result<PlayedBackup> {
  const touches = touchesOf(request, 'root and fifth');
  if (touches.length === 0) return ok({ notes: [], walks: 0, way: 'root and fifth' });
  const steps = stepsOf(request, touches);
  const pitches = octavesFor(steps, strings);
  const { timeline, setup } = request;
  const notes: readonly NoteToPlan[] = steps.map(({ tick, ticks }, at) => ({
    tick,
    ticks,
    midi: itemAt(pitches, at),
    articulation: 'struck',
    string: null,
  }));
  const hand = planHand(notes, {
    setup,
    spanMillimetres: DEFAULT_SPAN_MILLIMETRES[setup.instrument],
    quartersPerMinute: timeline.tempo.tempoAt(request.startTick),
  });
  if (!hand.ok) return fail(hand.error.what, 'the bass', hand.error.mend);
  const bar = timeline.barAt(request.startTick);
  const strokes = planStrokes(
    notes.map(({ tick, ticks, articulation }, at) => ({
      tick,
      ticks,
      articulation,
      string: itemAt(hand.value.fingerings, at).string,
      run: false,
    })),
    {
      instrument: setup.instrument,
      rule: 'alternate',
      meter: bar.bar.meter,
      barTick: barOrigin(bar),
      closes: false,
    },
  );
  return ok({
    way: steps.some((step) => step.kind === 'fifth') ? 'root and fifth' : 'root and fifth without fifths',
    walks: steps.filter((step, at) => step.kind !== 'walk' && step.walkedTo && at > 0).length,
    notes: notes.map(({ tick, ticks, midi, articulation }, at) => {
      const { stroke, rule, exception } = itemAt(strokes, at);
      return {
        tick,
        ticks,
        midi,
        ...itemAt(hand.value.fingerings, at),
        articulation,
        stroke,
        strokeRule: rule,
        exception,
      };
    }),
  });
}

function stepsOf(request: BackupRequest, touches: readonly Touch[]): readonly Step[] {
  const turns = bassTurns(touches);
  const walks = touches.map((_, at) => {
    const next = touches[at + 1];
    return next ? walkBetween(request, touches, at, next) : null;
  });
  const steps: Step[] = [];
  touches.forEach((touch, at) => {
    const walk = walks[at] ?? null;
    const over = itemAt(touches, Math.min(at + 1, touches.length - 1));
    const end = Math.min(touch.until, over.tick > touch.tick ? over.tick : touch.until);
    const first = walk?.[0]?.tick ?? end;
    const walkedTo = at > 0 && (walks[at - 1] ?? null) !== null;
    if (touch.tick < first) {
      // Out of the root, not the fifth, a walk goes by step.
      const second = turns.get(touch) === 'second' && walk === null;
      steps.push({
        tick: touch.tick,
        ticks: first - touch.tick,
        pitchClass: second ? secondBass(touch.chord) : touch.chord.bass,
        kind: second ? 'fifth' : 'root',
        walkedTo,
      });
    }
    for (const note of walk ?? []) {
      // A walk of two begins on this very touch, in the fifth's place: the note before it is the root.
      steps.push({ ...note, kind: 'walk', walkedTo: true });
    }
  });
  return steps;
}

/** How long a chord must have held before it is walked out of, in bars. Common practice, no source: sooner, and the bass never stands still. */
const BARS_BEFORE_WALK = 2;

type WalkNote = Pick<Step, 'tick' | 'ticks' | 'pitchClass'>;

/** The walk from a touch to the next one; null: none. It takes the last counts before a change of bass on a barline. */
function walkBetween(
  { timeline, keepsChop, away }: BackupRequest,
  touches: readonly Touch[],
  at: number,
  next: Touch,
): readonly WalkNote[] | null {
  const touch = itemAt(touches, at);
  const before = touches[at - 1];
  if (keepsChop.length > 0 || next.chord.bass === touch.chord.bass || !next.downbeat) return null;
  if (
    next.held.startTick !== next.tick ||
    touch.held.endTick !== next.tick ||
    away.some((each) => each.endTick > touch.tick && each.startTick < next.tick)
  )
    return null;
  const bar = timeline.barAt(touch.tick);
  const barLength = bar.endTick - bar.startTick;
  if (next.tick !== bar.endTick || next.tick - touch.held.startTick < BARS_BEFORE_WALK * barLength)
    return null;
  const path = walkInto(touch.chord, next.chord, timeline.song.key);
  if (path === null) return null;
  const { count } = touch;
  const from = next.tick - path.length * count;
  const rootBefore =
    from > touch.tick || (from === touch.tick && before?.held === touch.held && !touch.downbeat);
  if (from < touch.tick || !rootBefore) return null;
  return path.map((pitchClass, k) => ({ tick: from + k * count, ticks: count, pitchClass }));
}

/**
 * The notes that lie between two basses a third, a fourth or a fifth apart, on the way there by step: up a fourth, down a fifth taken
 * as a fourth, a third either way. Of the ways by whole and half tones the one with most notes of the key and the chord; null: they
 * lie a step apart, or a tritone.
 */
export function walkInto(from: Chord, to: Chord, key: Key): readonly PitchClass[] | null {
  const up = pitchClassOf(to.bass - from.bass);
  const way = up <= 5 ? { sign: 1, wide: up } : { sign: -1, wide: 12 - up };
  if (way.wide < 3 || way.wide > 5) return null;
  const scale = new Set([...scaleOf(key), ...from.tones.map((tone) => tone.pitchClass)]);
  const paths: readonly (readonly number[])[] =
    way.wide === 5
      ? [
          [2, 4],
          [2, 3],
          [1, 3],
        ]
      : way.wide === 4
        ? [[2]]
        : [[2], [1]];
  const classes = paths.map((path) => path.map((step) => pitchClassOf(from.bass + way.sign * step)));
  const inside = (path: readonly PitchClass[]) => path.filter((each) => scale.has(each)).length;
  return classes.reduce((best, path) => (inside(path) > inside(best) ? path : best), itemAt(classes, 0));
}

/** Octaves of least cost for a line of pitch classes, exactly. */
function octavesFor(steps: readonly Step[], strings: readonly OpenString[]): readonly number[] {
  interface Way {
    readonly midi: number;
    readonly cost: number;
    readonly before: Way | null;
  }
  const lowest = Math.min(...strings.map((each) => each.midi));
  const highest = Math.max(...strings.map((each) => each.midi + Math.min(5, each.highestFret)));
  let layer: readonly Way[] = [];
  steps.forEach((step, at) => {
    const ways: Way[] = [];
    for (let midi = lowest; midi <= highest; midi++) {
      if (pitchClassOf(midi) !== step.pitchClass) continue;
      const own = BACKUP_COSTS.bassHigh * Math.max(0, midi - BASS_REGISTER_TOP);
      if (at === 0) ways.push({ midi, cost: own, before: null });
      else {
        const found = layer.map((before) => ({
          midi,
          cost: before.cost + own + leapCost(before.midi, midi, step),
          before,
        }));
        ways.push(found.reduce((best, way) => (way.cost < best.cost ? way : best), lastOf(found)));
      }
    }
    layer = ways;
  });
  const end = layer.reduce((best, way) => (way.cost < best.cost ? way : best), lastOf(layer));
  const line: number[] = [];
  for (let way: Way | null = end; way; way = way.before) line.push(way.midi);
  return line.reverse();
}

function leapCost(from: number, to: number, { kind, walkedTo }: Step): number {
  const wide = Math.abs(to - from);
  if (walkedTo) return wide >= 1 && wide <= 2 ? 0 : BACKUP_COSTS.walkLeap + wide;
  return (
    BACKUP_COSTS.bassSemitone * wide +
    (wide > 12 ? BACKUP_COSTS.bassBeyondOctave : 0) +
    (kind === 'fifth' && to > from ? BACKUP_COSTS.fifthAbove : 0)
  );
}

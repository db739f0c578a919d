import { fail, itemAt, ok, type Result } from '../base';
import {
  betweenFretsMillimetres,
  type ChordShape,
  chordShape,
  type Hold,
  INSTRUMENT_FACTS,
  type OpenString,
  openStrings,
  type Setup,
  shapeOfStops,
  type Turn,
} from '../instruments';
import type { FillNote } from '../song';
import { type Chord, pitchClassOf } from '../theory';
import { secondsOf, type Ticks } from '../time';
import { BACKUP_COSTS } from './backup-patterns';
import type { BackupRequest } from './backup-types';
import { isTold } from './held';

/** How many shapes of a chord are weighed against those of its neighbours. */
const SHAPES_TRIED = 12;
/** A guitar's shapes are looked through for those with the right bass: first the near ones, then more and further up. */
const GUITAR_SEARCHES = [
  { count: 24, highestFret: 5 },
  { count: 90, highestFret: 8 },
] as const;
const CHOP_FRETS = 9;
const BAR_FRETS = 12;

export type ShapesFor = (chord: Chord) => Result<readonly ChordShape[]>;

/** Shapes by chord, each chord searched once. */
export function remembered(find: ShapesFor): ShapesFor {
  const known = new Map<string, Result<readonly ChordShape[]>>();
  return (chord) => {
    const found = known.get(chord.symbol) ?? find(chord);
    known.set(chord.symbol, found);
    return found;
  };
}

/**
 * Whole shapes with the chord's bass below and something to strum above; where no hand has that bass, with the root, or any chord tone.
 */
export function boomChuckShapes(setup: Setup, chord: Chord): Result<readonly ChordShape[]> {
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  const over = (shapes: readonly ChordShape[], pitchClass: number) =>
    shapes.filter(({ stops }) =>
      stops.some(
        ({ string, fret }) =>
          string > 3 && pitchClassOf(itemAt(strings.value, string - 1).midi + fret) === pitchClass,
      ),
    );
  let whole: readonly ChordShape[] = [];
  for (const search of GUITAR_SEARCHES) {
    const tones = [...new Set([...tonesOf(chord), chord.bass])];
    const shapes = chordShape(setup, tones, { bass: chord.bass, ...search });
    if (!shapes.ok) continue;
    whole = wholeShapes(shapes.value, chord, strings.value);
    const right = over(whole, chord.bass);
    if (right.length > 0) return ok(cheapest(right));
  }
  const rooted = over(whole, chord.root);
  if (whole.length > 0) return ok(cheapest(rooted.length > 0 ? rooted : whole));
  return fail('no hand can hold this chord there', 'the shapes', 'write a plainer chord, or move the capo');
}

/** Those with a low string for the bass and at least two high ones to strum. */
function wholeShapes(
  shapes: readonly ChordShape[],
  chord: Chord,
  strings: readonly OpenString[],
): readonly ChordShape[] {
  return shapes.flatMap((shape) => {
    const strummed = shape.stops.filter((stop) => stop.string <= 3);
    const strum = strummed.length;
    if (strum < 2 || strum === shape.stops.length) return [];
    const pitches = strummed.map(({ string, fret }) => itemAt(strings, string - 1).midi + fret);
    const untold = isTold(chord, pitches) ? 0 : BACKUP_COSTS.untoldStrum;
    const low = shape.stops.reduce((lowest, stop) => (stop.string > lowest.string ? stop : lowest));
    const up = BACKUP_COSTS.bassUpTheNeck * Math.max(0, low.fret - 3);
    const lack = untold + lackCost(chord, pitches);
    return [{ ...shape, cost: shape.cost + up + lack + BACKUP_COSTS.thinStrum * (3 - strum) }];
  });
}

/** What it costs that these pitches leave out of a chord what tells it: its third, its seventh. */
function lackCost(chord: Chord, pitches: readonly number[]): number {
  const heard = new Set(pitches.map(pitchClassOf));
  const lacks = (above: readonly number[]) =>
    chord.tones.some((tone) => above.includes(tone.above)) &&
    !chord.tones.some((tone) => above.includes(tone.above) && heard.has(tone.pitchClass));
  return (lacks(THIRDS) ? BACKUP_COSTS.noThird : 0) + (lacks(SEVENTHS) ? BACKUP_COSTS.noSeventh : 0);
}

const rootCost = (chord: Chord, pitches: readonly number[]): number =>
  pitches.some((midi) => pitchClassOf(midi) === chord.root) ? 0 : BACKUP_COSTS.noRoot;

/** Semitones above the root. */
const THIRDS = [3, 4];
const SEVENTHS = [10, 11];

/** Three or four courses, all stopped, so that the hand can cut them short. */
export function chopShapes(setup: Setup, chord: Chord): Result<readonly ChordShape[]> {
  return stoppedShapes(setup, chord, [
    [4, 3, 2, 1],
    [4, 3, 2],
    [3, 2, 1],
  ]);
}

/** Three strings for thumb, index and middle, stopped, or under a bar's hand damped. A straight bar has no full minor triad: two notes of it are enough. */
export function vampShapes(setup: Setup, chord: Chord): Result<readonly ChordShape[]> {
  const three = stoppedShapes(setup, chord, [[3, 2, 1]]);
  if (three.ok || setup.instrument !== 'resonator guitar') return three;
  return stoppedShapes(setup, chord, [
    [2, 1],
    [3, 2],
    [3, 1],
  ]);
}

function stoppedShapes(
  setup: Setup,
  chord: Chord,
  sets: readonly (readonly number[])[],
): Result<readonly ChordShape[]> {
  const highestFret = setup.instrument === 'resonator guitar' ? BAR_FRETS : CHOP_FRETS;
  const open = openStrings(setup);
  if (!open.ok) return open;
  const found = sets.flatMap((strings) => {
    const shapes = chordShape(setup, tonesOf(chord), { strings, bass: null, highestFret, count: 40 });
    const woody = setup.instrument !== 'mandolin' || strings.includes(4);
    const cost = woody ? 0 : BACKUP_COSTS.chopWithoutLow;
    return shapes.ok
      ? shapes.value.map((shape) => ({
          ...shape,
          cost:
            shape.cost +
            cost +
            wideCost(setup, shape) +
            lackCost(chord, pitchesOf(shape, open.value)) +
            rootCost(chord, pitchesOf(shape, open.value)),
        }))
      : [];
  });
  if (found.length === 0)
    return fail('no hand can hold this chord there', 'the shapes', 'write a plainer chord, or move the capo');
  const openAt = ({ stops }: ChordShape) => stops.filter((stop) => stop.fret === 0).length;
  if (setup.instrument === 'resonator guitar')
    return ok(
      cheapest(
        found.map((shape) => ({ ...shape, cost: shape.cost + BACKUP_COSTS.openChop * openAt(shape) })),
      ),
    );
  const stopped = found.filter((shape) => openAt(shape) === 0);
  return ok(cheapest(stopped.length > 0 ? stopped : found));
}

function wideCost(setup: Setup, { stops }: ChordShape): number {
  const frets = stops.filter((stop) => stop.fret > 0).map((stop) => setup.capo + stop.fret);
  if (frets.length < 2) return 0;
  const { scaleMillimetres } = INSTRUMENT_FACTS[setup.instrument];
  const [lowest, highest] = [Math.min(...frets), Math.max(...frets)];
  const wide = betweenFretsMillimetres(scaleMillimetres, lowest, highest);
  const far = BACKUP_COSTS.wideChop * Math.max(0, wide - BACKUP_COSTS.chopReachMillimetres);
  if (setup.instrument !== 'mandolin') return far;
  const fingers = new Set(stops.map((stop) => stop.finger).filter((finger) => finger > 0)).size;
  return (
    far +
    BACKUP_COSTS.chopFret * Math.max(0, highest - lowest - 2) +
    BACKUP_COSTS.chopFinger * Math.max(0, fingers - 3)
  );
}

const pitchesOf = ({ stops }: ChordShape, strings: readonly OpenString[]): readonly number[] =>
  stops.map(({ string, fret }) => itemAt(strings, string - 1).midi + fret);

/** Double-stops of two chord tones on two neighbouring strings. */
export function pairShapes(
  setup: Setup,
  chord: Chord,
  pairs: readonly (readonly [number, number])[],
): Result<readonly ChordShape[]> {
  const open = openStrings(setup);
  if (!open.ok) return open;
  const found = pairs.flatMap((strings) => {
    const shapes = chordShape(setup, tonesOf(chord), { strings, bass: null, highestFret: 7, count: 12 });
    if (!shapes.ok) return [];
    return shapes.value.map((shape) => ({
      ...shape,
      cost: shape.cost + lackCost(chord, pitchesOf(shape, open.value)),
    }));
  });
  return found.length > 0
    ? ok(cheapest(found))
    : fail('no double-stop has two notes of this chord', 'the shapes', 'write a plainer chord');
}

const cheapest = (shapes: readonly ChordShape[]) =>
  shapes.toSorted((a, b) => a.cost - b.cost).slice(0, SHAPES_TRIED);

const tonesOf = (chord: Chord) => chord.tones.map((tone) => tone.pitchClass);

/** Something that is played on one chord, in its turn. */
export interface Played {
  readonly tick: Ticks;
  readonly holds: readonly Hold[];
  /** Touches with the same key, one after another, are one turn: the hand stays. */
  readonly key: string;
}

/**
 * The turns that the hand takes: chord after chord, with the player's own fills between them where their notes are known.
 *
 * @returns for each thing played the index of its turn
 */
export function turnsOf(
  { timeline, setup, away }: BackupRequest,
  played: readonly Played[],
): { readonly turns: readonly Turn[]; readonly turnOf: readonly number[] } {
  const turns: Turn[] = [];
  const turnOf: number[] = [];
  const fills = [...away].sort((a, b) => a.startTick - b.startTick);
  let handAt: Ticks = played[0]?.tick ?? 0;
  let key: string | null = null;
  const secondsTo = (tick: Ticks) => secondsOf(Math.max(0, tick - handAt), timeline.tempo.tempoAt(handAt));
  for (const each of played) {
    for (let fill = fills[0]; fill && fill.startTick <= each.tick; fill = fills[0]) {
      fills.shift();
      const stopped = fill.notes.filter((note) => note.fret > 0);
      const [first, last] = [stopped[0], stopped.at(-1)];
      if (!first || !last || key === null) continue;
      const at = (tick: Ticks): readonly FillNote[] => stopped.filter((note) => note.tick === tick);
      const hold = {
        arrives: shapeOfStops(setup, at(first.tick)),
        leaves: shapeOfStops(setup, at(last.tick)),
        cost: 0,
      };
      turns.push({ holds: [hold], seconds: secondsTo(first.tick) });
      handAt = last.tick;
      key = '';
    }
    if (each.key !== key) turns.push({ holds: each.holds, seconds: secondsTo(each.tick) });
    turnOf.push(turns.length - 1);
    key = each.key;
    handAt = each.tick;
  }
  return { turns, turnOf };
}

/** The same shapes for a song's last chord, the dearer where the root is not heard at an edge of them: its close hangs in the air. */
export function closingShapes(
  shapes: readonly ChordShape[],
  chord: Chord,
  strings: readonly OpenString[],
): readonly ChordShape[] {
  return shapes.map((shape) => {
    const pitches = pitchesOf(shape, strings);
    const isRoot = (midi: number) => pitchClassOf(midi) === chord.root;
    const atEdge = isRoot(Math.min(...pitches)) || isRoot(Math.max(...pitches));
    const { closeNoRoot, closeRootInside } = BACKUP_COSTS;
    const lack = atEdge ? 0 : pitches.some(isRoot) ? closeRootInside : closeNoRoot;
    return { ...shape, cost: shape.cost + lack };
  });
}

export const holdsOf = (shapes: readonly ChordShape[]): readonly Hold[] =>
  shapes.map((shape) => ({ arrives: shape, leaves: shape, cost: BACKUP_COSTS.held * shape.cost }));

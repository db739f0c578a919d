import { fail, itemAt, ok, type Result } from '../base';
import {
  type Articulation,
  type ChordShape,
  type Fingering,
  type OpenString,
  type Setup,
  type Stroke,
  smoothestHolds,
} from '../instruments';
import type { FillNote } from '../song';
import { type Chord, pitchClassOf } from '../theory';
import { type BassTurn, bassTurns, secondBass, type Touch, touchesOf } from './backup-beats';
import {
  boomChuckShapes,
  chopShapes,
  closingShapes,
  holdsOf,
  type Played,
  remembered,
  turnsOf,
  vampShapes,
} from './backup-shapes';
import type { BackupRequest, PlayedBackup } from './backup-types';

/** A chord is let sound for half its count, an eighth at most. */
const LONGEST_CHUCK = 480;

/** Boom-chuck, chop and vamp: the shapes of least cost with all changes between them, touched by the pattern. */
export function chordBackup(
  request: BackupRequest,
  way: 'boom-chuck' | 'chop' | 'vamp',
  strings: readonly OpenString[],
): Result<PlayedBackup> {
  const { timeline, setup } = request;
  const find = way === 'boom-chuck' ? boomChuckShapes : way === 'chop' ? chopFor(setup) : vampShapes;
  const shapesFor = remembered((chord) => find(setup, chord));
  const touches = touchesOf(request, way);
  const played: Played[] = [];
  const end = touches.at(-1);
  const closing = end?.closes ? end : null;
  for (const { chord, held, tick, fillsBefore } of touches) {
    const shapes = shapesFor(chord);
    if (!shapes.ok) {
      const { what, mend } = shapes.error;
      return fail(what, `${held.symbol}, bar ${timeline.barAt(tick).number}`, mend);
    }
    const closes = closing?.held === held && closing.fillsBefore === fillsBefore;
    const own = closes ? closingShapes(shapes.value, chord, strings) : shapes.value;
    played.push({ tick, holds: holdsOf(own), key: `${chord.symbol} ${fillsBefore}` });
  }
  const { turns, turnOf } = turnsOf(request, played);
  const { holds } = smoothestHolds(setup, turns);
  const basses = bassTurns(touches);
  const notes = touches.flatMap((touch, at) => {
    const { arrives } = itemAt(holds, itemAt(turnOf, at));
    const bass = basses.get(touch);
    if (touch === closing && way === 'boom-chuck') return wholeChord(touch, arrives, strings);
    if (bass) {
      // A string that still rings is struck again with the last chord.
      const until =
        way === 'boom-chuck' && touches[at + 1] === closing && closing ? closing.tick : touch.until;
      return [bassNote({ ...touch, until }, bassStop(arrives, strings, touch.chord, bass), strings)];
    }
    return chordNotes(touch, arrives, setup, strings);
  });
  const byTurns = [...basses.values()].includes('second');
  return ok({
    notes,
    way: way === 'boom-chuck' && !byTurns ? 'boom-chuck without fifths' : way,
    walks: 0,
  });
}

const chopFor = (setup: Setup) => (setup.instrument === 'mandolin' ? chopShapes : vampShapes);

function chordNotes(
  touch: Touch,
  shape: ChordShape,
  setup: Setup,
  strings: readonly OpenString[],
): readonly FillNote[] {
  const guitar = setup.instrument === 'guitar';
  const ticks = Math.min(touch.ticks, Math.floor(touch.count / 2), LONGEST_CHUCK, touch.until - touch.tick);
  return shape.stops
    .filter((stop) => !guitar || stop.string <= 3)
    .map((stop) => ({ ...noteAt(touch, ticks, stop, strings), ...handOn(setup, stop.string) }));
}

function bassNote(touch: Touch, stop: Fingering, strings: readonly OpenString[]): FillNote {
  const ticks = Math.min(touch.ticks, touch.until - touch.tick);
  return { ...noteAt(touch, ticks, stop, strings), ...PICKED };
}

/** A song's last touch: all of the shape from its bass up, let ring. Common practice, no source. */
function wholeChord(touch: Touch, shape: ChordShape, strings: readonly OpenString[]): readonly FillNote[] {
  const bass = bassStop(shape, strings, touch.chord, 'first');
  return shape.stops
    .filter((stop) => stop.string <= bass.string)
    .map((stop) => ({ ...noteAt(touch, touch.until - touch.tick, stop, strings), ...PICKED }));
}

const PICKED = {
  articulation: 'struck' as Articulation,
  stroke: 'down' as Stroke,
  strokeRule: 'the beat decides',
  exception: false,
};

function noteAt({ tick }: Touch, ticks: number, stop: Fingering, strings: readonly OpenString[]) {
  const { string, fret, finger } = stop;
  return { tick, ticks, midi: itemAt(strings, string - 1).midi + fret, string, fret, finger };
}

/** A pick goes down; three fingers pinch, the thumb nearest the ceiling. */
function handOn(setup: Setup, string: number): typeof PICKED {
  if (setup.instrument === 'guitar' || setup.instrument === 'mandolin') return PICKED;
  const fingers: readonly Stroke[] = ['middle', 'index', 'thumb'];
  return {
    articulation: 'pinch',
    stroke: itemAt(fingers, string - 1),
    strokeRule: 'roll',
    exception: false,
  };
}

/**
 * The string for a bass note: one of the shape; for the second note also an open string, or one that the finger on the first
 * goes over to, a string away and on its own fret or next to it. Where there is none, the first again.
 */
function bassStop(
  shape: ChordShape,
  strings: readonly OpenString[],
  chord: Chord,
  turn: BassTurn,
): Fingering {
  const low = shape.stops.filter((stop) => stop.string > 3);
  const classOf = (stop: Fingering) => pitchClassOf(itemAt(strings, stop.string - 1).midi + stop.fret);
  const on = (pitchClass: number) => low.find((stop) => classOf(stop) === pitchClass);
  const first = on(chord.bass) ?? on(chord.root) ?? itemAt(low, 0);
  if (turn === 'first') return first;
  const wanted = secondBass(chord);
  const held = low.filter((stop) => stop.string !== first.string && classOf(stop) === wanted);
  const taken = new Set(low.map((stop) => stop.string));
  const open = [6, 5, 4]
    .filter((string) => !taken.has(string) && pitchClassOf(itemAt(strings, string - 1).midi) === wanted)
    .map((string) => ({ string, fret: 0, finger: 0 }));
  const near = [...open, ...held].sort(
    (a, b) => Math.abs(a.string - first.string) - Math.abs(b.string - first.string) || b.string - a.string,
  );
  return near[0] ?? goneOver(first, taken, strings, wanted) ?? first;
}

function goneOver(
  from: Fingering,
  taken: ReadonlySet<number>,
  strings: readonly OpenString[],
  wanted: number,
): Fingering | null {
  if (from.finger === 0) return null;
  for (const string of [from.string + 1, from.string - 1]) {
    if (string > 6 || string < 4 || taken.has(string)) continue;
    for (const fret of [from.fret, from.fret - 1, from.fret + 1]) {
      if (fret > 0 && pitchClassOf(itemAt(strings, string - 1).midi + fret) === wanted)
        return { string, fret, finger: from.finger };
    }
  }
  return null;
}

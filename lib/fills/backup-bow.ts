import { fail, itemAt, ok, type Result } from '../base';
import { type ChordShape, type OpenString, smoothestHolds } from '../instruments';
import type { FillNote } from '../song';
import type { Chord } from '../theory';
import { secondsOf, type Ticks } from '../time';
import { closesSong, countOf, heldChords, isIn, touchesOf } from './backup-beats';
import { BACKUP_COSTS, LONGEST_BOW_SECONDS, type WayPlayed } from './backup-patterns';
import { closingShapes, type Played, pairShapes, remembered, turnsOf } from './backup-shapes';
import type { BackupRequest, PlayedBackup } from './backup-types';
import { barOrigin } from './scene';

/** A bow, or a soft chop of it. */
interface Bow {
  readonly tick: Ticks;
  readonly ticks: Ticks;
  readonly chord: Chord;
  readonly chop: boolean;
  /** It begins on a downbeat, and others follow in its bar: it ought to go down. */
  readonly downbeat: boolean;
  readonly fillsBar: boolean;
}

const ALL_PAIRS = [
  [4, 3],
  [3, 2],
  [2, 1],
] as const;
const LOW_PAIR = [[4, 3]] as const;
const CHOP_TICKS = 240;

/**
 * Long double-stops on the fiddle, a bow to a bar or to a chord, soft chops on the off-beats where the player keeps the chop.
 *
 * The model: a pair of neighbouring strings for each chord, the least sum of the hand's costs, of its changes, of the semitones that both notes
 * move (`voiceStep`) and of how far the pair goes above what is sung meanwhile (`aboveVoice`), exactly, by dynamic programming.
 */
export function bowBackup(request: BackupRequest, strings: readonly OpenString[]): Result<PlayedBackup> {
  const { setup, timeline } = request;
  const bows = [...longBows(request), ...chops(request)].sort((a, b) => a.tick - b.tick);
  const long = remembered((chord) => pairShapes(setup, chord, ALL_PAIRS));
  const low = remembered((chord) => pairShapes(setup, chord, LOW_PAIR));
  const midiOf = (shape: ChordShape) =>
    shape.stops.map((stop) => itemAt(strings, stop.string - 1).midi + stop.fret).sort((a, b) => a - b);
  const played: Played[] = [];
  for (const bow of bows) {
    const shapes = bow.chop ? low(bow.chord) : long(bow.chord);
    if (!shapes.ok) {
      const { what, mend } = shapes.error;
      return fail(what, `${bow.chord.symbol}, bar ${timeline.barAt(bow.tick).number}`, mend);
    }
    const sung = bow.chop ? null : lowestSung(request, bow.tick, bow.tick + bow.ticks);
    const closes = bow === bows.at(-1) && closesSong(request, bow.tick);
    const own = closes ? closingShapes(shapes.value, bow.chord, strings) : shapes.value;
    const holds = own.map((shape) => {
      const above = sung === null ? 0 : Math.max(0, (midiOf(shape).at(-1) ?? 0) - sung);
      return {
        arrives: shape,
        leaves: shape,
        cost: BACKUP_COSTS.held * shape.cost + BACKUP_COSTS.aboveVoice * above,
      };
    });
    played.push({ tick: bow.tick, holds, key: `${bow.chord.symbol} ${bow.chop} ${bow.tick}` });
  }
  const { turns, turnOf } = turnsOf(request, played);
  const { holds } = smoothestHolds(setup, turns, (from, to) => {
    const [a, b] = [midiOf(from), midiOf(to)];
    if (a.length !== b.length) return 0;
    return BACKUP_COSTS.voiceStep * a.reduce((sum, midi, i) => sum + Math.abs(midi - itemAt(b, i)), 0);
  });
  const strokes = strokesOf(bows);
  const notes = bows.flatMap(({ tick, ticks }, at) =>
    itemAt(holds, itemAt(turnOf, at)).arrives.stops.map(({ string, fret, finger }) => ({
      tick,
      ticks,
      midi: itemAt(strings, string - 1).midi + fret,
      string,
      fret,
      finger,
      articulation: 'bowed' as const,
      ...itemAt(strokes, at),
    })),
  );
  return ok({ notes, way: wayOf(bows), walks: 0 });
}

function wayOf(bows: readonly Bow[]): WayPlayed {
  const long = bows.filter((bow) => !bow.chop);
  if (long.length === 0) return 'soft chops';
  return long.every((bow) => bow.fillsBar) ? 'long notes' : 'long notes within bars';
}

/** From barline to barline, or to the next chord; slow bars in halves. */
function longBows(request: BackupRequest): readonly Bow[] {
  const { timeline, away, keepsChop } = request;
  const elsewhere = [...away, ...keepsChop];
  const chords = heldChords(timeline);
  const bows: Bow[] = [];
  for (const bar of timeline.bars) {
    if (bar.bar.pickup) continue;
    const from = Math.max(bar.startTick, request.startTick);
    const to = Math.min(bar.endTick, request.endTick);
    const count = countOf(bar.bar.meter);
    const counts = Math.floor((bar.endTick - bar.startTick) / count);
    const slow = secondsOf(to - from, timeline.tempo.tempoAt(from)) > LONGEST_BOW_SECONDS && counts >= 2;
    const half = barOrigin(bar) + Math.floor(counts / 2) * count;
    const edges = [
      from,
      to,
      ...(slow ? [half] : []),
      ...chords.flatMap((chord) => [chord.startTick, chord.endTick]),
      ...elsewhere.flatMap((each) => [each.startTick, each.endTick]),
    ];
    const ticks = [...new Set(edges)].filter((tick) => tick >= from && tick <= to).sort((a, b) => a - b);
    ticks.slice(0, -1).forEach((tick, at) => {
      const chord = chords.find((each) => each.startTick <= tick && each.endTick > tick)?.chord;
      const length = itemAt(ticks, at + 1) - tick;
      const torn = elsewhere.some((each) => each.endTick === tick || each.startTick === tick + length);
      if (!chord || length < (torn ? count : count / 2) || isIn(elsewhere, tick)) return;
      const fillsBar = length === bar.endTick - bar.startTick;
      const downbeat = tick === bar.startTick && !fillsBar;
      bows.push({ tick, ticks: length, chord, chop: false, downbeat, fillsBar });
    });
  }
  return bows;
}

function chops(request: BackupRequest): readonly Bow[] {
  return touchesOf(request, 'long notes')
    .filter((touch) => isIn(request.keepsChop, touch.tick))
    .map(({ tick, until, chord }) => ({
      tick,
      ticks: Math.min(CHOP_TICKS, until - tick),
      chord,
      chop: true,
      downbeat: false,
      fillsBar: false,
    }));
}

function lowestSung({ timeline }: BackupRequest, from: Ticks, to: Ticks): number | null {
  let lowest: number | null = null;
  for (const notes of timeline.notes.values())
    for (const { note, startTick, endTick } of notes)
      if (note.midi !== null && startTick < to && endTick > from)
        lowest = Math.min(lowest ?? note.midi, note.midi);
  return lowest;
}

/** Bows by turns, down after a rest and on each chop; a downbeat on an up-bow is marked. Common practice, no source. */
function strokesOf(bows: readonly Bow[]): readonly Pick<FillNote, 'stroke' | 'strokeRule' | 'exception'>[] {
  let before: { readonly end: Ticks; readonly down: boolean } | null = null;
  return bows.map((bow) => {
    const fresh = bow.chop || before === null || before.end < bow.tick;
    const down: boolean = fresh || before === null ? true : !before.down;
    before = { end: bow.tick + bow.ticks, down };
    return {
      stroke: down ? 'down' : 'up',
      strokeRule: fresh ? 'the beat decides' : 'alternate',
      exception: bow.downbeat && !down,
    };
  });
}

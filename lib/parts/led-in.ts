import type { FillNote, PlacedBar } from '../song';
import { beatTicks, type Ticks } from '../time';
import type { Arrangement } from './arrangement';
import type { Line, PassLines, Segment } from './lines';

/** Before a first note that stands on its beat, who plays it is written over one beat more. */
const ROOM_FOR_NAME: Ticks = 480;

/**
 * A pass's lines as they are drawn for a player (null: for everybody). A break that begins before its pass's first barline has its pickup hung before its
 * first line: the end of the bar before, without its words, which stand where they are sung.
 */
export function ledIn(
  arrangement: Pick<Arrangement, 'timeline' | 'bySpace'>,
  pass: PassLines,
  playerId: string | null,
): readonly Line[] {
  const [line, ...others] = pass.lines;
  const part = line?.segments[0]?.spaces.find(
    ({ space }) => space.kind === 'instrumental' && space.startTick === pass.startTick,
  );
  if (!line || !part) return pass.lines;
  const standing = arrangement.bySpace.get(part.space.id);
  const holding = standing?.answer.holding;
  const first = standing?.notes[0];
  if (!standing || holding?.kind !== 'fill' || !first || first.tick >= pass.startTick) return pass.lines;
  if (playerId !== null && holding.playerId !== playerId) return pass.lines;
  const { timeline } = arrangement;
  const bar = timeline.barAt(pass.startTick - 1);
  const { startTick, beats } = beatsOfPickup(first, bar, pass.startTick);
  const segment: Segment = {
    startTick,
    endTick: pass.startTick,
    bar,
    startsBar: false,
    endsBar: true,
    beats,
    syllables: [],
    echoes: [],
    chords: timeline
      .chordsIn(startTick, pass.startTick)
      .filter((chord) => chord.startTick >= startTick)
      .map((chord) => ({ tick: chord.startTick, symbol: chord.symbol })),
    spaces: [{ space: part.space, startTick, endTick: pass.startTick }],
  };
  const led = {
    ...line,
    pickupTicks: pass.startTick - startTick,
    segments: [segment, ...line.segments],
    chordBefore: null,
  };
  return [led, ...others];
}

/** The bar's last beats, from the one on which the first note falls or before it; a note before that is out of the song's time. */
function beatsOfPickup(
  first: FillNote,
  bar: PlacedBar,
  endTick: Ticks,
): { readonly startTick: Ticks; readonly beats: readonly Ticks[] } {
  const beat = beatTicks(bar.bar.meter);
  const beats: Ticks[] = [];
  let tick = endTick;
  while (tick - beat >= bar.startTick && tick + ROOM_FOR_NAME > first.tick) {
    tick -= beat;
    beats.unshift(tick);
  }
  return { startTick: Math.min(tick, Math.max(bar.startTick, first.tick)), beats };
}

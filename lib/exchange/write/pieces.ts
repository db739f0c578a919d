import type { PlacedNote } from '../../song';
import type { Ticks } from '../../time';
import { type NoteValue, tripletSpans, valuesOf } from './lengths';
import type { ScoreEvent, Timed } from './score';

/** A note or rest of one written value. */
export interface Piece<N extends Timed = PlacedNote> {
  readonly offset: Ticks;
  readonly value: NoteValue;
  readonly event: ScoreEvent<N>;
  /** The first of its note, which carries its words. */
  readonly first: boolean;
  /** The last of its note, after which a breath stands. */
  readonly last: boolean;
  /** Tied to the piece before, and to the one after. */
  readonly tiedBack: boolean;
  readonly tiedOn: boolean;
  /** Begins or ends a group of triplets. */
  readonly opens: boolean;
  readonly closes: boolean;
}

/**
 * A bar's events as pieces that can be written each with one sign: cut at the edges of triplets, at the places given, and
 * where no single note value is as long.
 */
export function piecesOf<N extends Timed>(
  events: readonly ScoreEvent<N>[],
  barTicks: Ticks,
  cuts: readonly Ticks[] = [],
): readonly Piece<N>[] {
  const onsets = events.map(({ offset }) => offset);
  const spans = tripletSpans(onsets, barTicks);
  const edges = [...cuts, ...spans.flatMap(({ from, to }) => [from, to])];
  const pieces: Piece<N>[] = [];
  for (const event of events) {
    const end = event.offset + event.ticks;
    const inner = [...new Set(edges.filter((edge) => edge > event.offset && edge < end))].sort(
      (a, b) => a - b,
    );
    const ends = [...inner, end];
    let at = event.offset;
    for (const to of ends) {
      const span = spans.find(({ from, to: last }) => from <= at && at < last);
      for (const value of valuesOf(to - at, span !== undefined)) {
        const first = at === event.offset;
        const last = at + value.ticks === end;
        const isNote = event.note !== null;
        pieces.push({
          offset: at,
          value,
          event,
          first: first && !event.goesOn,
          last: last && !event.heldOn,
          tiedBack: isNote && (!first || event.goesOn),
          tiedOn: isNote && (!last || event.heldOn),
          opens: span?.from === at,
          closes: span !== undefined && span.to === at + value.ticks,
        });
        at += value.ticks;
      }
    }
  }
  return pieces;
}

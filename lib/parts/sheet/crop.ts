import type { Line } from '../lines';

/** A line cut down to some of its spaces, with one bar either side, so that what is sung just before and after is still there. */
export function croppedTo(line: Line, spaceIds: ReadonlySet<string>): Line {
  const has = line.segments.map(({ spaces }) => spaces.some(({ space }) => spaceIds.has(space.id)));
  const from = Math.max(0, has.indexOf(true) - 1);
  const to = Math.min(line.segments.length, has.lastIndexOf(true) + 2);
  const before = line.segments.slice(0, from);
  const segments = line.segments.slice(from, to);
  const first = segments[0];
  if (from === 0 || first === undefined) return { ...line, segments };
  const sounding = before.flatMap(({ chords }) => chords).at(-1)?.symbol ?? line.chordBefore;
  const begins = first.chords.some(({ tick }) => tick === first.startTick);
  return {
    ...line,
    startTick: first.startTick,
    pickupTicks: 0,
    segments,
    chordBefore: begins ? null : sounding,
  };
}

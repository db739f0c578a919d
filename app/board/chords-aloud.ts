import type { ChordNaming, Line } from '../../lib/parts';
import { keyName } from '../../lib/theory';

/** The chords of a line for who hears the page, with the key where it changes: `Chords: G, C, now in A, A, D.`; empty where there are none. */
export function chordsAloud({ segments }: Pick<Line, 'segments'>, chordName: ChordNaming): string {
  const said = segments.flatMap(({ chords, bar: { bar }, startsBar }) => [
    ...(startsBar && bar.key !== null ? [`now in ${keyName(bar.key)}`] : []),
    ...chords.map(({ symbol, tick }) => chordName(symbol, tick)),
  ]);
  return said.length === 0 ? '' : `Chords: ${said.join(', ')}.`;
}

import type { StrokeRule } from '../../lib/instruments';
import { strokesForFigure } from '../../lib/instruments';
import { WrongCall } from './call';
import type { Told } from './output';

/**
 * `strokes`: the right hand's strokes for a figure that is repeated, in eighth notes from the beat.
 *
 * @throws WrongCall where a string is not a string's number
 */
export function tellStrokes(strings: readonly string[], rule: StrokeRule): Told {
  if (strings.length === 0) throw new WrongCall('give the strings of the figure: strokes 4 3 2');
  const wrong = strings.find((string) => !/^[1-9]$|^1[0-2]$/.test(string));
  if (wrong !== undefined) throw new WrongCall(`'${wrong}' is not a string: strings are numbered from 1`);
  const strokes = strokesForFigure(strings.map(Number), rule).map(({ stroke }) => stroke);
  return { answer: { strokes }, text: strokes.map((stroke) => stroke ?? '-').join(' ') };
}

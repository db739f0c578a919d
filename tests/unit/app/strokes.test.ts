import { beforeAll, describe, expect, it } from 'vitest';
import { BOARD_LINE } from '@/app/board/geometry';
import type { LineLook } from '@/app/board/look';
import { rowsGuess } from '@/app/board/rows-guess';
import { type Placed, strokesBehind } from '@/app/board/strokes';
import { itemAt } from '@/lib/base';
import { type Arrangement, arrange, type Line, spacingOf } from '@/lib/parts';
import { demoBand } from '@/server/demo';

let arrangements: readonly Arrangement[] = [];
beforeAll(async () => {
  arrangements = (await demoBand()).songs.map((song) => arrange(song));
});

const linesOf = (arrangement: Arrangement): readonly Line[] =>
  arrangement.passes.flatMap((pass) => pass.lines);

const lookOf = ({ song, pixelsPerTick, bySpace }: Arrangement): LineLook => ({
  pixelsPerTick,
  geometry: BOARD_LINE,
  bySpace,
  playerOf: () => null,
  instrumentOf: () => 'guitar',
  songKey: song.key,
  chordName: (symbol) => symbol,
  isReadable: () => true,
  breakOf: () => null,
  troubleOf: () => null,
  spaces: {
    openId: null,
    peersAt: () => [],
    press: () => undefined,
    labelOf: () => '',
    isPut: () => false,
  },
  onlyPlayer: null,
});

const placed = (line: Line, arrangement: Arrangement): readonly Placed[] =>
  line.segments.map((segment) => ({
    ...lookOf(arrangement),
    segment,
    spacing: spacingOf(segment, arrangement.pixelsPerTick, BOARD_LINE.wordSize),
  }));

interface Stroke {
  readonly pen: string;
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** As the browser reads the three lists of a background. */
function read(style: ReturnType<typeof strokesBehind>[number]): readonly Stroke[] {
  const [images, places, sizes] = [style.backgroundImage, style.backgroundPosition, style.backgroundSize].map(
    (list) => (list === '' ? [] : String(list).split(',')),
  );
  expect(places).toHaveLength(images?.length ?? 0);
  expect(sizes).toHaveLength(images?.length ?? 0);
  return (images ?? []).map((image, i) => {
    const [x, y] = itemAt(places ?? [], i)
      .split(' ')
      .map(Number.parseFloat);
    const [width, height] = itemAt(sizes ?? [], i)
      .split(' ')
      .map(Number.parseFloat);
    return {
      pen: /--stroke-(\w+)/.exec(image)?.[1] ?? '',
      x: x ?? Number.NaN,
      y: y ?? Number.NaN,
      width: width ?? Number.NaN,
      height: height ?? Number.NaN,
    };
  });
}

describe('the strokes behind a line', () => {
  it('all lie within their segment, where its background is painted', () => {
    for (const arrangement of arrangements)
      for (const line of linesOf(arrangement)) {
        const at = placed(line, arrangement);
        strokesBehind(at).forEach((style, i) => {
          const { width } = itemAt(at, i).spacing;
          for (const stroke of read(style)) {
            expect(stroke.x).toBeGreaterThanOrEqual(-0.7);
            expect(stroke.x + stroke.width).toBeLessThanOrEqual(width + 0.7);
            expect(stroke.y + stroke.height).toBeLessThanOrEqual(BOARD_LINE.height);
            expect(stroke.width).toBeGreaterThan(0);
          }
        });
      }
  });

  it('count the beats, and stand higher where a bar begins', () => {
    for (const arrangement of arrangements)
      for (const line of linesOf(arrangement)) {
        const styles = strokesBehind(placed(line, arrangement));
        line.segments.forEach((segment, i) => {
          const ticks = read(itemAt(styles, i)).filter(({ y }) => y === BOARD_LINE.tickTop);
          const closing = i === line.segments.length - 1 && segment.endsBar ? 1 : 0;
          const between = segment.startsBar && segment.beats[0] !== segment.startTick ? 1 : 0;
          expect(ticks).toHaveLength(segment.beats.length + closing + between);
          expect(ticks.filter(({ pen }) => pen === 'ink')).toHaveLength(
            (segment.startsBar ? 1 : 0) + closing,
          );
        });
      }
  });

  it('hold a syllable over the barline up to its end, and no further', () => {
    let over = 0;
    for (const arrangement of arrangements)
      for (const line of linesOf(arrangement)) {
        const at = placed(line, arrangement);
        const held = strokesBehind(at).map((style) =>
          read(style).filter(({ y, pen }) => y === BOARD_LINE.wordBase && pen === 'faint'),
        );
        held.forEach((strokes, i) => {
          const { width } = itemAt(at, i).spacing;
          const goesOn = strokes.some((stroke) => Math.abs(stroke.x + stroke.width - width) < 0.2);
          const comesOn = (held[i + 1] ?? []).some(({ x }) => x === 0);
          if (comesOn) {
            over += 1;
            expect(goesOn).toBe(true);
          }
        });
      }
    expect(over).toBeGreaterThan(3);
  });
});

describe('the rows that a pass out of sight stands in for', () => {
  it('are one for each line that fills it, and as many lines beside each other as there is room for', () => {
    const arrangement = itemAt(arrangements, 0);
    const lines = linesOf(arrangement);
    const same = [itemAt(lines, 0), itemAt(lines, 0), itemAt(lines, 0), itemAt(lines, 0)];
    const scale = 1180 / ticksOf(itemAt(lines, 0));
    expect(rowsGuess(same, scale, BOARD_LINE)['--rows-wide']).toBe('4');
    expect(rowsGuess(same, scale / 2, BOARD_LINE)['--rows-wide']).toBe('2');
    expect(rowsGuess(same, scale * 1.5, BOARD_LINE)['--rows-wide']).toBe('8');
    expect(rowsGuess([], scale, BOARD_LINE)['--rows-wide']).toBe('0');
  });
});

const ticksOf = ({ startTick, endTick }: Line): number => endTick - startTick;

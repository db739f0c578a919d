import type { Drawing, Face, Instruction } from '../../lib/parts';
import { standsAt } from './geometry';

const FACES: Readonly<Record<Face, string>> = {
  plain: 'var(--font-plain)',
  strong: 'var(--font-plain)',
  words: 'var(--font-words)',
  italic: 'var(--font-words)',
  music: 'var(--font-music)',
};

/** Paints drawing instructions as SVG. It decides nothing about where things stand. */
export function Painter({
  drawing,
  left,
  top,
  width,
  height,
}: {
  readonly drawing: Drawing;
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}) {
  return (
    <svg aria-hidden="true" className="drawn" style={standsAt(left, top)} width={width} height={height}>
      {drawing.map((instruction, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: instructions have no life of their own beyond one drawing
        <Stroke key={i} instruction={instruction} />
      ))}
    </svg>
  );
}

function Stroke({ instruction }: { readonly instruction: Instruction }) {
  switch (instruction.kind) {
    case 'line':
      return (
        <line
          x1={round(instruction.x1)}
          y1={round(instruction.y1)}
          x2={round(instruction.x2)}
          y2={round(instruction.y2)}
          stroke={instruction.pen === 'faint' ? 'var(--faint)' : 'var(--ink)'}
          strokeWidth={instruction.pen === 'faint' ? 0.9 : 1.1}
        />
      );
    case 'arc': {
      const { x1, x2, y, height } = instruction;
      const middle = (x1 + x2) / 2;
      return (
        <path
          d={`M${round(x1)} ${round(y)}Q${round(middle)} ${round(y - 2 * height)} ${round(x2)} ${round(y)}`}
          fill="none"
          stroke="var(--ink)"
          strokeWidth={1}
        />
      );
    }
    case 'text':
      return (
        <>
          {instruction.clear > 0 && (
            <rect
              x={round(instruction.x - instruction.clear / 2)}
              y={round(instruction.y - instruction.size * 0.74)}
              width={round(instruction.clear)}
              height={round(instruction.size * 0.78)}
              fill="var(--paper)"
            />
          )}
          <text
            x={round(instruction.x)}
            y={round(instruction.y)}
            fontSize={round(instruction.size)}
            textAnchor={instruction.anchor}
            fontFamily={FACES[instruction.face]}
            fontWeight={instruction.face === 'strong' ? 600 : undefined}
            fontStyle={instruction.face === 'italic' ? 'italic' : undefined}
            fill={instruction.tone === 'ink' ? 'var(--ink)' : 'var(--quiet)'}
          >
            {instruction.text}
          </text>
        </>
      );
  }
}

const round = (value: number): number => Math.round(value * 10) / 10;

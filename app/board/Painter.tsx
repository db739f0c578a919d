import type { Drawing, Face } from '../../lib/parts';
import { standsAt } from './geometry';
import { type Painted, painted, round } from './painted';

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
      {painted(drawing).map((what, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: strokes have no life of their own beyond one drawing
        <Stroke key={i} what={what} />
      ))}
    </svg>
  );
}

function Stroke({ what }: { readonly what: Painted }) {
  switch (what.kind) {
    case 'lines':
      return (
        <path
          d={what.path}
          fill="none"
          stroke={what.pen === 'faint' ? 'var(--faint)' : 'var(--ink)'}
          strokeWidth={what.pen === 'faint' ? 0.9 : 1.1}
        />
      );
    case 'arc': {
      const { x1, x2, y, height } = what;
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
    case 'paper':
      return <path d={what.path} fill="var(--paper)" />;
    case 'texts':
      return (
        <text
          x={what.x}
          y={what.y}
          fontSize={round(what.size)}
          textAnchor={what.anchor}
          fontFamily={FACES[what.face]}
          fontWeight={what.face === 'strong' ? 600 : undefined}
          fontStyle={what.face === 'italic' ? 'italic' : undefined}
          fill={what.tone === 'ink' ? 'var(--ink)' : 'var(--quiet)'}
        >
          {what.text}
        </text>
      );
  }
}

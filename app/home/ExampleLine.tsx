import type { ReactNode } from 'react';

/**
 * A sung line as the board draws it, to scale along its beats: words where they are sung, and in the silence a
 * forward roll on the guitar over G that lands on its root, the strokes toward the next string; below, a space that
 * nobody has taken yet. Drawn in pieces of two bars, so that it wraps on a narrow page as a line of words does.
 */
const BEAT = 44;
const BARS = 8 * BEAT;
const HEIGHT = 78;
const WORDS = 54;

interface Word {
  readonly beat: number;
  readonly text: string;
}

const FIRST: readonly Word[] = [
  { beat: 0, text: 'Set' },
  { beat: 1, text: 'a' },
  { beat: 1.5, text: 'lamp' },
  { beat: 3, text: 'be-' },
  { beat: 3.75, text: 'side' },
  { beat: 5, text: 'the' },
  { beat: 6, text: 'gate,' },
];
const SECOND: readonly Word[] = [
  { beat: 6, text: 'I’ll' },
  { beat: 6.75, text: 'find' },
];
const THIRD: readonly Word[] = [
  { beat: 0, text: 'my' },
  { beat: 1, text: 'way.' },
];

/** String (1 nearest the floor), fret, stroke: eighth notes from the downbeat. */
const ROLL: readonly (readonly [string: number, fret: number, stroke: 'down' | 'up'])[] = [
  [4, 0, 'down'],
  [3, 0, 'down'],
  [2, 0, 'up'],
  [4, 0, 'down'],
  [3, 0, 'down'],
  [2, 0, 'up'],
  [4, 0, 'down'],
  [3, 0, 'down'],
  [1, 3, 'down'],
];

function Bars({
  words,
  chords,
  children,
}: {
  readonly words: readonly Word[];
  readonly chords: readonly Word[];
  readonly children?: ReactNode;
}) {
  return (
    <svg
      width={BARS}
      height={HEIGHT + 10}
      viewBox={`0 -10 ${BARS} ${HEIGHT + 10}`}
      className="h-auto max-w-full flex-none"
      aria-hidden="true"
    >
      {Array.from({ length: 8 }, (_, beat) => (
        <line
          // biome-ignore lint/suspicious/noArrayIndexKey: beats are what they count
          key={beat}
          x1={beat * BEAT + 0.5}
          x2={beat * BEAT + 0.5}
          y1={66}
          y2={beat % 4 === 0 ? 76 : 70}
          stroke={beat % 4 === 0 ? 'var(--edge)' : 'var(--faint)'}
        />
      ))}
      {chords.map((chord) => (
        <text
          key={chord.beat}
          x={chord.beat * BEAT + 1}
          y={22}
          className="fill-ink font-plain text-[15px] font-bold"
        >
          {chord.text}
        </text>
      ))}
      {words.map((word) => (
        <text key={word.beat} x={word.beat * BEAT + 1} y={WORDS} className="fill-ink font-words text-[18px]">
          {word.text}
        </text>
      ))}
      {children}
    </svg>
  );
}

function Roll() {
  const from = 0.35 * BEAT;
  const step = BEAT / 2;
  const to = from + 8 * step + 10;
  return (
    <g>
      {[1, 2, 3, 4, 5, 6].map((string) => (
        <line
          key={string}
          x1={from - 8}
          x2={to}
          y1={string * 8 + 13}
          y2={string * 8 + 13}
          stroke="var(--faint)"
        />
      ))}
      {ROLL.map(([string, fret, stroke], i) => {
        const x = from + i * step;
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: eighth notes are what they count
          <g key={i}>
            <rect x={x - 4.5} y={string * 8 + 8} width={9} height={10} className="fill-paper" />
            <text
              x={x}
              y={string * 8 + 17}
              textAnchor="middle"
              className="fill-ink-0 font-plain text-[12px] font-semibold"
            >
              {fret}
            </text>
            <path
              d={stroke === 'down' ? `M${x - 3},6 v-6 h6 v6` : `M${x - 3},-1 l3,7 l3,-7`}
              fill="none"
              stroke="var(--quiet)"
              strokeWidth={1.1}
            />
          </g>
        );
      })}
    </g>
  );
}

export function ExampleLine() {
  return (
    <figure className="my-8">
      <div
        role="img"
        aria-label="Two sung lines drawn along their beats. ‘Set a lamp beside the gate,’ then a silence in which the guitar plays a roll in tab, then ‘I’ll find my way.’ and a breath sign over six beats that nobody has yet."
        className="flex max-w-[44.5rem] flex-wrap gap-y-4"
      >
        <Bars
          words={FIRST}
          chords={[
            { beat: 0, text: 'G' },
            { beat: 4, text: 'D' },
            { beat: 6, text: 'G' },
          ]}
        />
        <Bars words={SECOND} chords={[{ beat: 6, text: 'D' }]}>
          <Roll />
        </Bars>
        <Bars words={THIRD} chords={[{ beat: 0, text: 'G' }]}>
          <path
            d="M100,26 c5,-1 8,3 7,8 c-1,6 -5,9 -9,11 l-1,-2 c3,-2 4,-4 5,-6 c-4,1 -7,-1 -7,-5 c0,-3 2,-6 5,-6 z"
            className="fill-accent"
          />
          <path
            d={`M${2.8 * BEAT},54 v6 h${5 * BEAT} v-6`}
            fill="none"
            stroke="var(--accent)"
            strokeWidth={1.3}
          />
          <text
            x={5.3 * BEAT}
            y={50}
            textAnchor="middle"
            className="fill-accent font-words text-[15px] italic"
          >
            6 beats
          </text>
        </Bars>
      </div>
    </figure>
  );
}

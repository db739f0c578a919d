'use client';

import { useState } from 'react';
import type { Problem } from '../../lib/base';
import type { BandEdits } from '../../lib/document';
import { fillDrawing, roomBefore } from '../../lib/parts';
import type { Band, Figure } from '../../lib/song';
import { Painter } from '../board/Painter';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { Initials } from '../ui/Initials';
import { ProblemNotice } from '../ui/Notice';

/** The figures that players keep as their own: what each is written on and how it goes; named anew, or thrown away. */
export function Figures({ band, edits }: { readonly band: Band; readonly edits: BandEdits | null }) {
  const [naming, setNaming] = useState<{ readonly id: string; readonly name: string } | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const keep = () => {
    if (naming === null) return;
    const done = edits?.renameFigure(naming.id, naming.name);
    if (done && !done.ok) return setProblem(done.error);
    setProblem(null);
    setNaming(null);
  };
  return (
    <>
      <p className="aside">
        They are among their player’s ideas wherever they fit. What is thrown away comes back with “take
        back”.
      </p>
      <ul className="-mt-2">
        {band.figures.map((figure) => {
          const player = band.players.find(({ id }) => id === figure.playerId);
          return (
            <li key={figure.id} className="py-2">
              <div className="flex min-h-(--touch) flex-wrap items-baseline gap-x-3">
                {player && <Initials initials={player.initials} ink={player.ink} name={player.name} />}
                <span className="text-xl">{figure.name}</span>
                <span className="aside">
                  {figure.instrument}, written on {figure.chord}
                </span>
                {edits && (
                  <>
                    <Button
                      label={`Rename the figure ${figure.name}`}
                      onPress={() => setNaming({ id: figure.id, name: figure.name })}
                    >
                      rename
                    </Button>
                    <Button
                      label={`Throw the figure ${figure.name} away`}
                      onPress={() => edits.removeFigure(figure.id)}
                    >
                      throw away
                    </Button>
                  </>
                )}
              </div>
              {naming?.id === figure.id && (
                <form
                  onSubmit={(event) => {
                    event.preventDefault();
                    keep();
                  }}
                >
                  <Field
                    label="Its name"
                    value={naming.name}
                    onChange={(name) => setNaming({ id: figure.id, name })}
                    most={80}
                    autoFocus
                  />
                  <div className="flex flex-wrap gap-x-8">
                    <Button submit look="main">
                      Keep it
                    </Button>
                    <Button shortcut="Escape" onPress={() => setNaming(null)}>
                      Leave it as it was
                    </Button>
                  </div>
                  {problem && <ProblemNotice problem={problem} />}
                </form>
              )}
              <Notes figure={figure} />
            </li>
          );
        })}
      </ul>
    </>
  );
}

const TAB = { top: 18, bottom: 66, size: 13, height: 78 } as const;
const PIXELS_PER_TICK = 62 / 960;

function Notes({ figure }: { readonly figure: Figure }) {
  const { instrument, notes, extent } = figure;
  // Drawn in the key of the chord that it was written on.
  const tonic = /^[A-G][#b]?/.exec(figure.chord)?.[0] ?? 'C';
  const key = { tonic, mode: 'major' } as const;
  const startTick = Math.min(extent.from, ...notes.map(({ tick }) => tick));
  const endTick = Math.max(...notes.map(({ tick, ticks }) => tick + Math.min(ticks, 960)));
  const frame = { instrument, key, top: TAB.top, bottom: TAB.bottom };
  const before = roomBefore(frame);
  const width = (endTick - startTick) * PIXELS_PER_TICK;
  return (
    <div className="overflow-x-auto">
      <div
        className="relative"
        style={{ width: before + width + 8, height: TAB.height }}
        role="img"
        aria-label={`${notes.length} notes for ${instrument}`}
      >
        <Painter
          left={before}
          top={0}
          width={width}
          height={TAB.height}
          drawing={fillDrawing(notes, {
            ...frame,
            startTick,
            endTick,
            xOf: (tick) => (tick - startTick) * PIXELS_PER_TICK,
            barTick: 0,
            beatTicks: 960,
            numberSize: TAB.size,
            begins: true,
          })}
        />
      </div>
    </div>
  );
}

'use client';

import { useState } from 'react';
import type { Result } from '../../lib/base';
import { type Offer, WAYS, type Way } from '../../lib/fills';
import type { InstrumentName } from '../../lib/instruments';
import type { Arrangement } from '../../lib/parts';
import type { KeyName } from '../hooks/useKeys';
import { Button } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';
import type { Standing } from '../workers/offers';
import { FillEditor } from './fill-edit/FillEditor';
import { KeepFigure } from './KeepFigure';
import type { Seated } from './useOffers';
import type { Turns } from './useTurns';

const KEYS: Readonly<Record<Way, KeyName>> = {
  'same idea again': 'r',
  'fewer notes': 'f',
  'more notes': 'n',
  higher: 'h',
  lower: 'l',
};

/** What can be done to one idea: turned in five ways and back, changed by hand, kept as a figure of one's own. */
export function IdeaTurns({
  offer,
  index,
  turns,
  seated,
  arrangement,
  instrument,
  chordName,
  settle,
  keepFigure,
}: {
  readonly offer: Offer;
  readonly index: number;
  readonly turns: Turns;
  readonly seated: Seated | null;
  readonly arrangement: Arrangement;
  readonly instrument: InstrumentName;
  readonly chordName: (symbol: string) => string;
  readonly settle: (fill: Standing) => void;
  readonly keepFigure: ((fill: Standing, name: string) => Promise<Result<string>>) | null;
}) {
  const [isEditing, setEditing] = useState(false);
  const back = turns.back(index);
  const isBusy = turns.busy === index;
  if (isEditing && seated)
    return (
      <div className="idea-wide">
        <FillEditor
          fill={offer}
          seated={seated}
          arrangement={arrangement}
          instrument={instrument}
          chordName={chordName}
          keep={settle}
          close={() => setEditing(false)}
        />
      </div>
    );
  return (
    <div className="idea-wide">
      <fieldset className="turns" aria-label={`Idea ${index + 1}, another way`}>
        {WAYS.map((way) => (
          <Button key={way} shortcut={KEYS[way]} disabled={isBusy} onPress={() => turns.turn(index, way)}>
            {way}
          </Button>
        ))}
        <Button shortcut="b" disabled={back === null || isBusy} onPress={() => back?.()}>
          the one before
        </Button>
        {isBusy && (
          <Button shortcut="Escape" onPress={turns.stop}>
            stop
          </Button>
        )}
      </fieldset>
      {turns.problem?.index === index && <ProblemNotice problem={turns.problem.problem} />}
      <div className="turns">
        <Button shortcut="e" disabled={!seated} onPress={() => setEditing(true)}>
          Change it by hand
        </Button>
        {keepFigure && <KeepFigure fill={offer} keep={keepFigure} />}
      </div>
    </div>
  );
}

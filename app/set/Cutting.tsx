'use client';

import { useState } from 'react';
import { clockInFigures, cutSeconds, type EveningModel } from '../../lib/sets';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { figure } from './rules';

/** Which songs to leave out so that a set becomes so much shorter and changes as little as can be; and what that costs. */
export function Cutting({
  model,
  overSeconds,
  titleOf,
  onCut,
}: {
  readonly model: EveningModel;
  /** How much longer it is than promised; null: nothing was promised. */
  readonly overSeconds: number | null;
  readonly titleOf: (id: string) => string;
  readonly onCut: (entryIds: readonly string[]) => void;
}) {
  const [draft, setDraft] = useState<string | null>(null);
  // Rounded up, so that what is offered is enough.
  const shown = overSeconds !== null && overSeconds > 0 ? String(Math.ceil(overSeconds / 6) / 10) : '';
  const text = (draft ?? shown).trim();
  const minutes = Number(text);
  const wrong = text !== '' && !(minutes > 0 && minutes <= 1440);
  const now = model.evening.songs.map(({ id }) => id);
  const cut = text === '' || wrong ? null : cutSeconds(model, now, minutes * 60);
  return (
    <>
      <Field
        label="Minutes to cut"
        kind="number"
        most={8}
        value={draft ?? shown}
        onChange={setDraft}
        hint="Fewest songs go; of those choices, the one that loses least. What stays keeps its order."
        problem={wrong ? 'Give minutes above 0, such as 12' : null}
      />
      <div aria-live="polite">
        {cut && !cut.ok && (
          <p>
            This cannot be cut: {cut.error.what}. What stands in the way is {cut.error.where};{' '}
            {cut.error.mend}.
          </p>
        )}
        {cut?.ok && (
          <section aria-label="What goes">
            <p>
              Without {listed(cut.value.cut.map(titleOf))} it is {clockInFigures(cut.value.savedSeconds)}{' '}
              shorter. What that costs, in seconds’ worth:
            </p>
            <ul className="aside my-2">
              {cut.value.reasons.map(({ detail, weight }) => (
                <li key={detail}>
                  {detail}: {weight < 0 ? `${figure(-weight)} gained` : figure(weight)}
                </li>
              ))}
            </ul>
            <Button
              shortcut="c"
              look="main"
              label={`Take out ${listed(cut.value.cut.map(titleOf))}`}
              onPress={() => {
                setDraft(null);
                onCut(cut.value.cut);
              }}
            >
              Take {cut.value.cut.length === 1 ? 'it' : 'them'} out
            </Button>
          </section>
        )}
      </div>
    </>
  );
}

const WORDS = new Intl.ListFormat('en', { type: 'conjunction' });
const listed = (titles: readonly string[]): string => WORDS.format(titles);

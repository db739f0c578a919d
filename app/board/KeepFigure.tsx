'use client';

import { useState } from 'react';
import type { Problem, Result } from '../../lib/base';
import { Button } from '../ui/Button';
import { Field } from '../ui/Field';
import { ProblemNotice } from '../ui/Notice';
import type { Standing } from '../workers/offers';

/** A fill kept as a figure of one's own, under a name: from then on it is fitted to other spaces, among the ideas. */
export function KeepFigure({
  fill,
  keep,
  hasKey = true,
}: {
  readonly fill: Standing;
  readonly keep: (fill: Standing, name: string) => Promise<Result<string>>;
  /** False while another one on the page has the key. */
  readonly hasKey?: boolean;
}) {
  const [name, setName] = useState<string | null>(null);
  const [kept, setKept] = useState<string | null>(null);
  const [problem, setProblem] = useState<Problem | null>(null);
  const write = () => {
    if (name === null) return;
    void keep(fill, name).then((answer) => {
      setProblem(answer.ok ? null : answer.error);
      if (!answer.ok) return;
      setKept(name);
      setName(null);
    });
  };
  if (name === null)
    return (
      <>
        <Button {...(hasKey && { shortcut: 'g' })} onPress={() => setName(fill.family)}>
          Keep it as my own figure
        </Button>
        <span role="status" className="aside">
          {kept === null ? '' : `Kept as “${kept}”: it is among your ideas wherever it fits.`}
        </span>
      </>
    );
  return (
    <form
      className="figure-form"
      onSubmit={(event) => {
        event.preventDefault();
        write();
      }}
    >
      <Field label="Its name" value={name} onChange={setName} most={80} autoFocus />
      <div className="turns">
        <Button look="main" submit>
          Keep the figure
        </Button>
        <Button shortcut="Escape" onPress={() => setName(null)}>
          Not now
        </Button>
      </div>
      {problem && <ProblemNotice problem={problem} />}
    </form>
  );
}

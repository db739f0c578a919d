'use client';

import { useState } from 'react';
import { compareOrders, type EveningModel, holdAt } from '../../lib/sets';
import { Button } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';
import { Proposed } from './Proposed';
import { figure } from './rules';
import { useOrder } from './useOrder';

/** Puts a set in order. Nothing is changed before it is taken; songs of an order found can be held there, and the rest looked for again. */
export function Ordering({
  model,
  names,
  titleOf,
  onTake,
}: {
  readonly model: EveningModel;
  readonly names: Readonly<Record<string, string>>;
  readonly titleOf: (id: string) => string;
  readonly onTake: (entryIds: readonly string[]) => void;
}) {
  const { order, ask, stop, forget } = useOrder();
  const { evening } = model;
  const asIs = JSON.stringify(evening);
  /** The set as it was when it was asked about, and the songs that were held in the order found then. */
  const [asked, setAsked] = useState<{ readonly set: string; readonly held: readonly string[] } | null>(null);
  const now = evening.songs.map(({ id }) => id);
  // An answer for a set that has changed since is of no use.
  const found = order.state === 'done' && asked?.set === asIs ? order.answer : null;
  const held = found && asked ? asked.held : [];
  const begin = () => {
    setAsked({ set: asIs, held });
    ask(found ? holdAt(evening, found.order, held) : evening, names);
  };
  const hold = (id: string) =>
    setAsked({ set: asIs, held: held.includes(id) ? held.filter((each) => each !== id) : [...held, id] });
  const leave = () => {
    setAsked(null);
    forget();
  };
  return (
    <>
      <div className="flex flex-wrap items-baseline gap-x-6" aria-live="polite">
        {order.state === 'working' ? (
          <>
            <span>{progressSaid(order.progress)}</span>
            <Button shortcut="Escape" onPress={stop}>
              Stop, and take the best so far
            </Button>
          </>
        ) : (
          <Button shortcut="o" look="main" disabled={now.length < 2} onPress={begin}>
            {held.length > 0 ? 'Put the others in order again' : 'Put in order'}
          </Button>
        )}
        {now.length < 2 && <span className="aside">An order takes two songs or more.</span>}
      </div>
      {order.state === 'failed' && <ProblemNotice problem={order.problem} />}
      {order.state === 'done' && !found && (
        <p className="aside">The set has changed meanwhile: put it in order once more.</p>
      )}
      {found && (
        <Proposed
          comparison={compareOrders(model, now, found.order)}
          answer={found}
          held={held}
          titleOf={titleOf}
          onHold={hold}
          onTake={() => {
            onTake(found.order);
            leave();
          }}
          onLeave={leave}
        />
      )}
    </>
  );
}

function progressSaid(
  progress: { readonly share: number; readonly total: number; readonly lowerBound: number } | null,
) {
  if (progress === null) return 'Working it out…';
  const { share, total, lowerBound } = progress;
  return `Working it out: ${Math.round(share * 100)} %, ${figure(total)} so far, no order below ${figure(lowerBound)}`;
}

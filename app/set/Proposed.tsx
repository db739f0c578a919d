'use client';

import { type Comparison, clockInFigures, type OrderAnswer, type OrderCosts } from '../../lib/sets';
import { Button } from '../ui/Button';
import { figure, moreOrLess, ruleSaid } from './rules';

/** The order as it stands and the one that was found, beside one another, with what the change costs and spares. */
export function Proposed({
  comparison: { before, after, differences, moved },
  answer: { exact, lowerBound },
  held,
  titleOf,
  onHold,
  onTake,
  onLeave,
}: {
  readonly comparison: Comparison;
  readonly answer: Pick<OrderAnswer, 'exact' | 'lowerBound'>;
  /** Songs held where they stand in the order found, while it is looked for again. */
  readonly held: readonly string[];
  readonly titleOf: (id: string) => string;
  readonly onHold: (id: string) => void;
  readonly onTake: () => void;
  readonly onLeave: () => void;
}) {
  const bound = exact
    ? 'no order costs less'
    : `no order can cost less than ${figure(lowerBound)}, so at most ${figure(after.total - lowerBound)} could still be spared`;
  if (moved.length === 0 || (after.total >= before.total && held.length === 0)) {
    return <p>It stands well: {bound}.</p>;
  }
  return (
    <section aria-label="The order proposed" className="mt-3">
      <p>
        It costs {figure(after.total)} instead of {figure(before.total)}; {bound}. Costs are in seconds’
        worth: how long a band would let a crowd wait to be spared it.
      </p>
      <ul className="aside my-2">
        {differences.map(({ rule, weight }) => (
          <li key={rule}>
            {ruleSaid(rule)}: {moreOrLess(weight)}
          </li>
        ))}
      </ul>
      <div className="grid gap-x-8 sm:grid-cols-2">
        <Column heading="Now" costs={before} titleOf={titleOf} />
        <Column heading="Found" costs={after} titleOf={titleOf} moved={moved} held={held} onHold={onHold} />
      </div>
      <div className="flex flex-wrap gap-x-6">
        <Button shortcut="Enter" look="main" onPress={onTake}>
          Take this order
        </Button>
        <Button shortcut="Escape" onPress={onLeave}>
          Leave it as it is
        </Button>
      </div>
    </section>
  );
}

function Column({
  heading,
  costs: { order, between, seconds },
  titleOf,
  moved = [],
  held = [],
  onHold,
}: {
  readonly heading: string;
  readonly costs: OrderCosts;
  readonly titleOf: (id: string) => string;
  readonly moved?: readonly string[];
  readonly held?: readonly string[];
  readonly onHold?: (id: string) => void;
}) {
  return (
    <div>
      <h3 className="plain font-semibold tabular-nums">
        {heading}, {clockInFigures(seconds)}
      </h3>
      <ol className="list-decimal pl-8">
        {order.map((id, i) => {
          const next = between[i];
          return (
            <li key={id}>
              {/* As high as those that can be held, so that places stand beside each other. */}
              <span
                className={`flex flex-wrap gap-x-4 ${onHold ? 'items-baseline' : 'sm:min-h-(--touch) sm:items-center'}`}
              >
                {titleOf(id)}
                {moved.includes(id) && <span className="aside">moved</span>}
                {onHold && (
                  <Button
                    label={`Hold ${titleOf(id)} here, in the order found`}
                    pressed={held.includes(id)}
                    onPress={() => onHold(id)}
                  >
                    {held.includes(id) ? 'held here' : 'hold here'}
                  </Button>
                )}
              </span>
              {next && (
                <span className="aside block">
                  {next.atBreak ? 'break' : [`${Math.round(next.seconds)} s`, ...next.steps].join(', ')}
                </span>
              )}
            </li>
          );
        })}
      </ol>
    </div>
  );
}

'use client';

import { type Comparison, type Cut, compareOrders, cutSeconds, type EveningModel } from '../../lib/sets';
import { Button } from '../ui/Button';
import { ProblemNotice } from '../ui/Notice';
import { clockOf } from './clock';
import { useOrder } from './useOrder';

/** What each rule is called on the page. */
const RULES: Readonly<Record<string, string>> = {
  waiting: 'the crowd waits',
  effort: 'busy hands between songs',
  sameKey: 'one key twice running',
  sameTempo: 'one tempo twice running',
  sameSinger: 'one singer twice running',
  voiceRest: 'strong songs running for one voice',
  energy: 'rise and fall',
  shakyFirst: 'a shaky opener',
};

/** Puts a set in order, and says what to leave out of one that is too long. Nothing is changed before it is taken. */
export function Ordering({
  model,
  names,
  overSeconds,
  onTake,
  onCut,
}: {
  readonly model: EveningModel;
  readonly names: Readonly<Record<string, string>>;
  readonly overSeconds: number | null;
  readonly onTake: (entryIds: readonly string[]) => void;
  readonly onCut: (entryIds: readonly string[]) => void;
}) {
  const { order, ask, stop, forget } = useOrder();
  const now = model.evening.songs.map(({ id }) => id);
  const cut = overSeconds !== null && overSeconds > 0 ? cutSeconds(model, now, overSeconds) : null;
  // An answer for a set that has changed since is of no use.
  const fresh =
    order.state === 'done' &&
    order.evening.songs.length === now.length &&
    order.evening.songs.every(({ id, place }, i) => id === now[i] && place === model.evening.songs[i]?.place);
  return (
    <>
      <div className="flex flex-wrap items-baseline gap-x-6" aria-live="polite">
        {order.state === 'working' ? (
          <>
            <span>
              Working it out
              {order.progress ? `: ${Math.round(order.progress.share * 100)} %` : '…'}
            </span>
            <Button shortcut="Escape" onPress={stop}>
              Stop, and take the best so far
            </Button>
          </>
        ) : (
          <Button
            shortcut="o"
            look="main"
            disabled={now.length < 2}
            onPress={() => ask(model.evening, names)}
          >
            Put in order
          </Button>
        )}
      </div>
      {order.state === 'failed' && <ProblemNotice problem={order.problem} />}
      {order.state === 'done' && fresh && (
        <Proposed
          comparison={compareOrders(model, now, order.answer.order)}
          exact={order.answer.exact}
          lowerBound={order.answer.lowerBound}
          titleOf={(id) => model.song(id).title}
          onTake={() => {
            onTake(order.answer.order);
            forget();
          }}
          onLeave={forget}
        />
      )}
      {cut?.ok && <ToCut cut={cut.value} titleOf={(id) => model.song(id).title} onCut={onCut} />}
      {cut && !cut.ok && <p className="aside">It is too long, and {cut.error.what}.</p>}
    </>
  );
}

function Proposed({
  comparison: { before, after, differences, moved },
  exact,
  lowerBound,
  titleOf,
  onTake,
  onLeave,
}: {
  readonly comparison: Comparison;
  readonly exact: boolean;
  readonly lowerBound: number;
  readonly titleOf: (id: string) => string;
  readonly onTake: () => void;
  readonly onLeave: () => void;
}) {
  if (after.total >= before.total) {
    return (
      <p>It stands well: {exact ? 'no order costs less.' : `no order can cost less than ${lowerBound}.`}</p>
    );
  }
  return (
    <section aria-label="The order proposed" className="mt-3">
      <ol className="list-decimal pl-8">
        {after.order.map((id) => (
          <li key={id}>
            {titleOf(id)} {moved.includes(id) && <span className="aside">moved</span>}
          </li>
        ))}
      </ol>
      <p className="mt-2">
        It costs {after.total} instead of {before.total}
        {exact ? '; no order costs less' : `; no order can cost less than ${lowerBound}`}.
      </p>
      <ul className="aside">
        {differences.map(({ rule, weight }) => (
          <li key={rule}>
            {RULES[rule] ?? rule}: {weight < 0 ? `${-weight} less` : `${weight} more`}
          </li>
        ))}
      </ul>
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

function ToCut({
  cut: { cut, savedSeconds },
  titleOf,
  onCut,
}: {
  readonly cut: Cut;
  readonly titleOf: (id: string) => string;
  readonly onCut: (entryIds: readonly string[]) => void;
}) {
  const titles = cut.map(titleOf).join(', ');
  return (
    <p className="mt-3 flex flex-wrap items-baseline gap-x-4">
      <span>
        To end in time, least is lost without {titles}: {clockOf(savedSeconds)} shorter.
      </span>
      <Button shortcut="c" label={`Take out ${titles}`} onPress={() => onCut(cut)}>
        take {cut.length === 1 ? 'it' : 'them'} out
      </Button>
    </p>
  );
}

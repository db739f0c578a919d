'use client';

import { useEffect, useMemo, useRef, useState } from 'react';
import type { SongEdits } from '../../lib/document';
import type { Arrangement } from '../../lib/parts';
import { findClashes } from '../../lib/plan';
import type { FreedomContext } from '../../lib/players';
import type { Band, Song } from '../../lib/song';
import { Button } from '../ui/Button';
import { Passage } from '../ui/Passage';
import { ClashList } from './ClashList';
import { PlanList } from './PlanList';
import { ALL, useDeciding } from './useDeciding';
import { usePlan } from './usePlan';
import { isUndecided } from './where-it-stands';
import { spacesInWords } from './words';

/** Who takes what, over the whole song: asked for, looked over, accepted whole or space by space; and what clashes. */
export function WhoTakesWhat({
  song,
  band,
  you,
  arrangement,
  context,
  edits,
  open,
  close,
}: {
  readonly song: Song;
  readonly band: Band;
  /** The player at this page; null: a listener, or not said. */
  readonly you: string | null;
  readonly arrangement: Arrangement;
  readonly context: FreedomContext;
  /** Null while nothing can be written: then it is only looked at. */
  readonly edits: SongEdits | null;
  readonly open: (spaceId: string) => void;
  readonly close: () => void;
}) {
  const { shown, ask, stop } = usePlan();
  const [passedOver, setPassedOver] = useState<ReadonlySet<string>>(new Set());
  const clashes = useMemo(() => findClashes(context), [context]);
  const { plan, progress } = shown;
  const undecided = (plan?.entries ?? []).filter((entry) => isUndecided(entry, arrangement));
  const current = undecided.find(({ space }) => !passedOver.has(space.id)) ?? null;
  const { players, openShare } = band;
  const deciding = useDeciding({ arrangement, context, clashes, band, you, edits });
  const root = useRef<HTMLDivElement>(null);
  // Its key works from anywhere on the board: what it opens comes into sight, and the keys go there.
  useEffect(() => {
    root.current?.focus({ preventScroll: true });
    root.current?.scrollIntoView({ block: 'start' });
  }, []);

  const start = () => {
    setPassedOver(new Set());
    deciding.forget();
    ask({ song, players, openShare, microphone: context.microphone ?? null });
  };
  return (
    <div className="way-open no-print my-6 outline-none [&_h2]:text-lg" ref={root} tabIndex={-1}>
      <Passage heading="Who takes what">
        <p>
          A plan for the spaces that nobody has settled: turns shared by the pass, the best ideas first, room
          left open. What is settled stays. You look it over before anything is written.
        </p>
        <p className="mt-2 flex flex-wrap items-center gap-x-8">
          {progress === null ? (
            <Button shortcut="g" onPress={start} {...(plan ? {} : { look: 'main' as const })}>
              {plan ? 'Work it out again' : 'Work it out'}
            </Button>
          ) : (
            <Button shortcut="." onPress={stop}>
              Stop
            </Button>
          )}
          {edits && undecided.length > 0 && (
            <Button shortcut="y" look="main" onPress={() => deciding.take(undecided, ALL)}>
              {`Settle all ${undecided.length}`}
            </Button>
          )}
          <Button shortcut="Escape" onPress={close}>
            Close
          </Button>
        </p>
        {progress !== null && (
          <p className="flex flex-wrap items-center gap-x-4">
            <progress value={progress.done} max={Math.max(1, progress.of)} aria-label="Ideas worked out" />
            <span className="aside">
              {progress.done === progress.of && progress.of > 0
                ? 'Weighing who takes what'
                : `Ideas for space ${Math.min(progress.done + 1, Math.max(1, progress.of))} of ${progress.of}`}
            </span>
          </p>
        )}
        <p role="status" className="aside min-h-6">
          {deciding.said !== '' ? deciding.said : statusOf(shown.failed, plan, undecided.length)}
        </p>
        {deciding.questionAt(ALL)}
        {plan && shown.song !== song && undecided.length > 0 && (
          <p className="aside">
            The song has changed since this was worked out. What is still undecided can be settled as it
            stands here, or work it out again.
          </p>
        )}
        {plan && (
          <PlanList
            plan={plan}
            next={shown.next}
            arrangement={arrangement}
            players={players}
            current={edits ? current : null}
            take={edits ? (entry) => deciding.take([entry], entry.space.id) : null}
            questionAt={deciding.questionAt}
            passOver={(entry) => setPassedOver((now) => new Set(now).add(entry.space.id))}
            open={open}
          />
        )}
      </Passage>
      <ClashList
        clashes={clashes}
        arrangement={arrangement}
        mend={edits ? deciding.mend : null}
        questionAt={deciding.questionAt}
        open={open}
      />
    </div>
  );
}

function statusOf(
  failed: boolean,
  plan: ReturnType<typeof usePlan>['shown']['plan'],
  undecided: number,
): string {
  if (failed) return 'The plan could not be worked out. Nothing was changed; try it again.';
  if (!plan) return '';
  const proof = plan.exact
    ? 'no plan costs less'
    : `at most ${plan.total - plan.lowerBound} points above the best there could be`;
  return undecided === 0
    ? 'Every space of the plan has its answer.'
    : `${spacesInWords(undecided)} to settle; ${proof}.`;
}

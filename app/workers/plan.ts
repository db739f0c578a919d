import { bestOffers, type NextBest, type Plan, type Progress, planSpaces } from '../../lib/plan';
import type { FreedomContext } from '../../lib/players';
import { type OneMicrophone, type Player, roadmapTimeline, type Song } from '../../lib/song';
import { findSpaces } from '../../lib/spaces';

/** What the page asks: one plan. To stop, it ends the worker. */
export interface PlanQuestion {
  readonly song: Song;
  readonly players: readonly Player[];
  readonly openShare: number;
  /** Null: the band has more than one. */
  readonly microphone: OneMicrophone | null;
}

/** What it hears, in this order: how far the ideas have come, the plan, what would be next best space by space, the end. */
export type PlanAnswer =
  | { readonly kind: 'ideas'; readonly progress: Progress }
  | { readonly kind: 'plan'; readonly plan: Plan }
  | { readonly kind: 'next'; readonly next: NextBest }
  | { readonly kind: 'done' };

addEventListener('message', (event: MessageEvent<PlanQuestion>) => {
  const tell = (answer: PlanAnswer): void => postMessage(answer);
  const { song, players, openShare, microphone } = event.data;
  const timeline = roadmapTimeline(song);
  const spaces = findSpaces(timeline);
  const context: FreedomContext = { timeline, players, spaces, settled: song.settled, microphone };
  const work = bestOffers(context);
  let step = work.next();
  for (; !step.done; step = work.next()) tell({ kind: 'ideas', progress: step.value });
  const planned = planSpaces({ ...context, fits: step.value, openShare });
  tell({ kind: 'plan', plan: planned.plan });
  for (const { id } of context.spaces) {
    const next = planned.nextBest(id);
    if (next) tell({ kind: 'next', next });
  }
  tell({ kind: 'done' });
});

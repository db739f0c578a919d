import { fail, ok, type Result } from '../../lib/base';
import {
  type Edited,
  editFill,
  type FillEdit,
  figureOf,
  type Idea,
  judgeFill,
  type Offer,
  type OfferRequest,
  offerFills,
  varyFill,
  type Way,
} from '../../lib/fills';
import { type Figure, roadmapTimeline, type Song, type Timeline } from '../../lib/song';
import { DEFAULT_SPACE_OPTIONS, findSpaces, narrowSpace, type Space } from '../../lib/spaces';

/** A player before a space: what every answer is worked out from, beside the song. */
export interface Seat extends Omit<OfferRequest, 'timeline' | 'space' | 'count'> {
  readonly spaceId: string;
  /** What the player has of the space. */
  readonly stretch: { readonly startTick: number; readonly endTick: number };
}

/** Notes that stand, as far as they matter for a change by hand. */
export type Standing = Pick<Offer, 'family' | 'notes'>;

/** What the page asks about a seat. */
export type Ask =
  | { readonly kind: 'offers'; readonly count: number }
  | { readonly kind: 'turn'; readonly idea: Idea; readonly way: Way; readonly seen: readonly Standing[] }
  /** Without an edit: how it stands. */
  | { readonly kind: 'edit'; readonly fill: Standing; readonly edit: FillEdit | null }
  | { readonly kind: 'figure'; readonly fill: Standing; readonly whose: Pick<Figure, 'playerId' | 'name'> };

/** What a question of each kind is answered by. */
export type Answer =
  | { readonly kind: 'offers'; readonly offers: Result<readonly Offer[]> }
  | { readonly kind: 'turn'; readonly idea: Result<Offer> }
  | { readonly kind: 'edit'; readonly edited: Result<Edited> }
  | { readonly kind: 'figure'; readonly figure: Result<Omit<Figure, 'id'>> };

export type Question =
  | { readonly kind: 'song'; readonly song: Song }
  | { readonly kind: 'ask'; readonly number: number; readonly seat: Seat; readonly ask: Ask };

export interface Reply {
  readonly number: number;
  readonly answer: Answer;
}

let timeline: Timeline | null = null;
let spaces: readonly Space[] = [];

addEventListener('message', (event: MessageEvent<Question>) => {
  const question = event.data;
  if (question.kind === 'song') {
    timeline = roadmapTimeline(question.song);
    spaces = findSpaces(timeline, DEFAULT_SPACE_OPTIONS);
    return;
  }
  const reply: Reply = { number: question.number, answer: answerTo(question.seat, question.ask) };
  postMessage(reply);
});

function answerTo(seat: Seat, ask: Ask): Answer {
  const request = requestFor(seat, ask.kind === 'offers' ? ask.count : 1);
  switch (ask.kind) {
    case 'offers':
      return { kind: 'offers', offers: request.ok ? offerFills(request.value) : request };
    case 'turn':
      return {
        kind: 'turn',
        idea: request.ok ? varyFill(request.value, ask.idea, ask.way, ask.seen) : request,
      };
    case 'edit': {
      const { fill, edit } = ask;
      if (!request.ok) return { kind: 'edit', edited: request };
      const edited = edit === null ? judgeFill(request.value, fill) : editFill(request.value, fill, edit);
      return { kind: 'edit', edited };
    }
    case 'figure':
      return { kind: 'figure', figure: request.ok ? figureOf(request.value, ask.fill, ask.whose) : request };
  }
}

function requestFor(seat: Seat, count: number): Result<OfferRequest> {
  const space = spaces.find((one) => one.id === seat.spaceId);
  if (!timeline || !space) return fail('this space is no longer there', 'in the song', 'open another space');
  const { spaceId: _, stretch, ...player } = seat;
  return ok({ ...player, timeline, space: narrowSpace(space, stretch, timeline), count });
}

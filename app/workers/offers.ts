import { fail, type Result } from '../../lib/base';
import { type Offer, offerFills } from '../../lib/fills';
import type { Setup, StrokeRule } from '../../lib/instruments';
import { roadmapTimeline, type Song, type Timeline } from '../../lib/song';
import { DEFAULT_SPACE_OPTIONS, findSpaces, narrowSpace, type Space } from '../../lib/spaces';

/** What the page asks: a song to hold on to, or offers for one of its spaces. */
export type OffersQuestion =
  | { readonly kind: 'song'; readonly song: Song }
  | {
      readonly kind: 'offers';
      readonly ask: number;
      readonly spaceId: string;
      /** What the player has of the space. */
      readonly stretch: { readonly startTick: number; readonly endTick: number };
      readonly setup: Setup;
      readonly rule: StrokeRule;
      readonly spanMillimetres: number | null;
      readonly comfortEighthsPerMinute: number | null;
      readonly count: number;
    };

export interface OffersAnswer {
  readonly ask: number;
  readonly offers: Result<readonly Offer[]>;
}

let timeline: Timeline | null = null;
let spaces: readonly Space[] = [];

addEventListener('message', (event: MessageEvent<OffersQuestion>) => {
  const question = event.data;
  if (question.kind === 'song') {
    timeline = roadmapTimeline(question.song);
    spaces = findSpaces(timeline, DEFAULT_SPACE_OPTIONS);
    return;
  }
  const answer: OffersAnswer = { ask: question.ask, offers: answerTo(question) };
  postMessage(answer);
});

function answerTo(question: Extract<OffersQuestion, { kind: 'offers' }>): Result<readonly Offer[]> {
  const space = spaces.find((one) => one.id === question.spaceId);
  if (!timeline || !space) return fail('this space is no longer there', 'in the song', 'open another space');
  return offerFills({
    timeline,
    space: narrowSpace(space, question.stretch, timeline),
    setup: question.setup,
    rule: question.rule,
    spanMillimetres: question.spanMillimetres,
    comfortEighthsPerMinute: question.comfortEighthsPerMinute,
    count: question.count,
  });
}

import type { Result } from '../../lib/base';
import { type Substitute, type SubstituteRequest, substituteIn } from '../../lib/substitutes';

/** What the page hears about one substitute. To stop, it ends the worker. */
export type SubstituteAnswer = Result<Substitute>;

addEventListener('message', ({ data }: MessageEvent<SubstituteRequest>) => {
  const answer: SubstituteAnswer = substituteIn(data);
  postMessage(answer);
});

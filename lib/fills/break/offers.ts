import { fail, ok, type Result } from '../../base';
import type { Offer, OfferRequest } from '../types';
import { breakFor } from './break';
import type { Break } from './types';

/** Points of a break as an offer: the instrument's own way before the tune alone. Common practice, no source. */
const POINTS = { ownWay: 10, plain: 5 } as const;

/**
 * Breaks for a pass (or a section) in which nobody sings, as offers: the tune in the instrument's own way, then plain where that is another one. The tune
 * is the section's own, as its verses sing it.
 *
 * Errors: as `breakFor`; a section without a tune.
 */
export function offerBreaks(request: OfferRequest): Result<readonly Offer[]> {
  const { timeline, space, setup, rule, spanMillimetres, comfortEighthsPerMinute } = request;
  const { startTick, endTick } = space;
  const found: { readonly made: Break; readonly points: number }[] = [];
  for (const plain of [false, true]) {
    const made = breakFor({
      timeline,
      startTick,
      endTick,
      setup,
      rule,
      spanMillimetres,
      comfortEighthsPerMinute,
      voiceId: null,
      plain,
    });
    if (!made.ok) return fail(made.error.what, made.error.where, `${made.error.mend}; or settle it ad lib`);
    if (found.some((other) => other.made.family === made.value.family)) continue;
    found.push({ made: made.value, points: plain ? POINTS.plain : POINTS.ownWay });
  }
  return ok(
    found.slice(0, Math.max(0, Math.floor(request.count))).map(({ made, points }, i) => {
      const { family, title, notes, difficulty, reasons } = made;
      return {
        rank: i + 1,
        score: points,
        family,
        title,
        notes,
        reasons: [
          { rule: 'family', weight: points, detail: family },
          { rule: 'difficulty', weight: 0, detail: `${difficulty.words}, ${difficulty.number} of 10` },
          ...reasons.filter((reason) => reason.rule !== 'cost'),
        ],
      };
    }),
  );
}

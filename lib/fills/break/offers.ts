import { fail, ok, type Result } from '../../base';
import { samePlace } from '../../song';
import { tickOfPlace } from '../../spaces';
import { earliestOf } from '../hang';
import type { Offer, OfferRequest } from '../types';
import { breakFor } from './break';
import type { Break } from './types';

/** Points of a break as an offer: the instrument's own way before the tune alone. Common practice, no source. */
const POINTS = { ownWay: 10, plain: 5 } as const;

const TAKEN = 'without its pickup: somebody has a fill in the bar before';

/**
 * Breaks for a pass (or a section) in which nobody sings, as offers: the tune in the instrument's own way, then plain where that is another one. The tune
 * is the section's own, as its verses sing it. The pickup is among the notes, before the pass's start, unless somebody has a fill there.
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
  const taken = isTaken(request);
  return ok(
    found.slice(0, Math.max(0, Math.floor(request.count))).map(({ made, points }, i) => {
      const { family, title, pickup, difficulty, reasons } = made;
      const leadsIn = pickup !== null && !taken;
      const notes = leadsIn ? [...pickup.notes, ...made.notes] : made.notes;
      return {
        rank: i + 1,
        score: points,
        family,
        title,
        notes,
        reasons: [
          { rule: 'family', weight: points, detail: family },
          { rule: 'difficulty', weight: 0, detail: `${difficulty.words}, ${difficulty.number} of 10` },
          ...reasons.filter(
            ({ rule }) => rule !== 'cost' && (rule !== 'pickup' || pickup === null || leadsIn),
          ),
          ...(pickup && taken ? [{ rule: 'pickup', weight: 0, detail: TAKEN }] : []),
        ],
      };
    }),
  );
}

/** Whether a fill (or an ad lib) stands in the bar in which the pickup would be. */
function isTaken({ timeline, space }: OfferRequest): boolean {
  const from = earliestOf(space, timeline);
  return timeline.song.settled.some(({ place, extent, holding }) => {
    const origin = tickOfPlace(timeline, place);
    if (origin === null || holding.kind === 'left open') return false;
    return (
      !samePlace(place, space.place) && origin + extent.from < space.startTick && origin + extent.to > from
    );
  });
}

import { ok, type Reason, type Result } from '../base';
import { openStrings } from '../instruments';
import { offerBreaks } from './break/offers';
import type { Draft } from './candidate';
import { choose } from './distance';
import { draftsFor } from './families';
import { figureDrafts, OWN_FIGURE } from './figure';
import { fits } from './fits';
import { play, unplanned } from './play';
import { reasonsFor } from './rank';
import { type Scene, sceneOf } from './scene';
import { titleOf } from './titles';
import type { Offer, OfferRequest } from './types';

/**
 * What a player could play in a space, best first.
 *
 * The model: each family of the instrument writes drafts from the space's grid, chords and neighbours (rolls as patterns over
 * held shapes, lines by `searchLine`, exactly; a player's own figures moved to its chords); each draft is planned for both hands and dropped where it cannot be
 * played; what remains is scored by `FILL_COSTS`, in points, whose terms are the reasons; then the best of each family and after
 * them the others are taken, no two closer than `MIN_DISTANCE` (`distanceOf`). Hands are planned in rounds, the drafts of each
 * family that promise most first, until there are enough. So every hand plan and line is the least of its own model, and
 * the list is the best of what was planned, not of all that could be played. No chance: the same request gives the same offers.
 *
 * Notes lie inside the space: they start before its end and are over by it; before its guard, but for low runs and walks.
 * An instrumental space takes a break as a whole (`offerBreaks`).
 * Errors: an instrumental space without a tune; a song without bars; a space without length; a setup that does not exist. An empty list where the space is too short for a fill.
 */
export function offerFills(request: OfferRequest): Result<readonly Offer[]> {
  const { setup } = request;
  if (request.space.kind === 'instrumental') return offerBreaks(request);
  const strings = openStrings(setup);
  if (!strings.ok) return strings;
  const scene = sceneOf(request);
  if (!scene.ok) return scene;
  const drafts = [
    ...draftsFor(scene.value, strings.value),
    ...figureDrafts(scene.value, strings.value, request.figures ?? []),
  ].filter((draft) => fits(scene.value, draft));
  const count = Math.max(0, Math.floor(request.count));
  const offers: Unranked[] = [];
  let chosen: readonly Unranked[] = [];
  for (const [round, wave] of roundsOf(scene.value, drafts).entries()) {
    const enough = round >= LEAST_ROUNDS && chosen.length >= count;
    // A figure of the player's own is tried until it can be played.
    const tried = enough ? wave.filter((draft) => isMissing(draft, offers)) : wave;
    for (const draft of tried) {
      const played = play(scene.value, strings.value, draft);
      if (!played) continue;
      const reasons = reasonsFor(scene.value, played);
      offers.push({
        score: scoreOf(reasons),
        family: draft.family,
        notes: played.notes,
        reasons,
        title: titleOf(draft.title, played.notes),
      });
    }
    if (tried.length > 0) chosen = choose(offers, count, ownAmong(offers));
  }
  return ok(tellApart(chosen).map((offer, index) => ({ rank: index + 1, ...offer })));
}

type Unranked = Omit<Offer, 'rank'>;

/** Of the player's own figures that were planned, the best of each: what somebody wrote down is not crowded out by what was worked out. */
function ownAmong(offers: readonly Unranked[]): readonly Unranked[] {
  const best = new Map<string, Unranked>();
  for (const offer of offers) {
    if (offer.family !== OWN_FIGURE) continue;
    const name = ownName(offer);
    const before = best.get(name);
    if (before === undefined || offer.score > before.score) best.set(name, offer);
  }
  return [...best.values()].sort((a, b) => b.score - a.score);
}

/** Which of a player's own figures it is: what its title begins with. */
const ownName = ({ title }: Pick<Offer, 'title'>) => title.split('”')[0] ?? '';

/** A draft of a player's own figure: its title is a text. */
const draftName = ({ title, notes }: Draft) => ownName({ title: titleOf(title, notes) });

const isMissing = (draft: Draft, offers: readonly Unranked[]) =>
  draft.family === OWN_FIGURE &&
  !offers.some((offer) => offer.family === OWN_FIGURE && ownName(offer) === draftName(draft));

/** A reason of little weight still counts this much for the order; one that all of a list have is worth this share of it. */
const LEAST_TELLING = 3;
const SAID_BY_ALL = 0.2;

/** The reasons of each offer by how much they tell it from the others: weight, and how few of the list say the same. */
function tellApart(offers: readonly Unranked[]): readonly Unranked[] {
  const count = new Map<string, number>();
  for (const { reasons } of offers)
    for (const { detail } of reasons) count.set(detail, (count.get(detail) ?? 0) + 1);
  const others = Math.max(1, offers.length - 1);
  const telling = ({ weight, detail }: Reason) => {
    const shared = ((count.get(detail) ?? 1) - 1) / others;
    return Math.max(LEAST_TELLING, Math.abs(weight)) * (1 - (1 - SAID_BY_ALL) * shared);
  };
  return offers.map((offer) => ({
    ...offer,
    reasons: offer.reasons.toSorted((a, b) => telling(b) - telling(a)),
  }));
}

/** Every family has its best drafts planned, at least so many. */
const LEAST_ROUNDS = 2;

const scoreOf = (reasons: readonly Reason[]) => reasons.reduce((sum, each) => sum + each.weight, 0);

/**
 * The best draft of each family, then the second best of each, and so on, as they rank before the hands are planned. Each of a player's own figures
 * counts as a family here, so that each is tried.
 */
function roundsOf(scene: Scene, drafts: readonly Draft[]): readonly (readonly Draft[])[] {
  const families = new Map<string, { draft: Draft; score: number }[]>();
  for (const draft of drafts) {
    const name = draft.family === OWN_FIGURE ? draftName(draft) : draft.family;
    const family = families.get(name) ?? [];
    family.push({ draft, score: scoreOf(reasonsFor(scene, unplanned(scene, draft))) });
    families.set(name, family);
  }
  const rounds: Draft[][] = [];
  for (const family of families.values()) {
    family.sort((a, b) => b.score - a.score);
    family.forEach(({ draft }, at) => {
      const round = rounds[at] ?? [];
      round.push(draft);
      rounds[at] = round;
    });
  }
  return rounds;
}

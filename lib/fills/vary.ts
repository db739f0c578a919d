import { fail, ok, type Reason, type Result } from '../base';
import { openStrings } from '../instruments';
import type { Draft, DraftNote } from './candidate';
import { FEWEST_NOTES, MIN_DISTANCE, VARY_COSTS } from './costs';
import { distanceOf } from './distance';
import { draftsFor } from './families';
import { figureDrafts } from './figure';
import { fits } from './fits';
import { draftLike, draftNoteOf } from './kept';
import { play, unplanned } from './play';
import { reasonsFor } from './rank';
import { filled, moved, thinned } from './reshape';
import { type Scene, sceneOf, type Wish } from './scene';
import { titleOf } from './titles';
import type { Offer, OfferRequest } from './types';
import type { Way } from './ways';

/** An idea as far as it matters for a turn of it. */
export type Idea = Pick<Offer, 'rank' | 'family' | 'title' | 'notes'>;

/** How many turns of the seeded differences are looked at, and how many drafts have their hands planned at most. */
const TURNS = 6;
const MOST_PLANNED = 14;
/** Semitones by which lines are moved, and frets at which held shapes begin. */
const LIFTS = [3, 5, 7, 12];
const NECKS = [2, 3, 5, 7];
/** A change of register is at least so many semitones of the mean pitch. */
const LEAST_LIFT = 1;

/**
 * An idea once more, in a way that is asked for: of the same family, for the same space and player.
 *
 * The model: the family writes its drafts again, with its constraints changed (another turn of the seeded differences; a grid twice as coarse or as
 * fine, a later or an earlier beginning; lines moved by a third to an octave, shapes from further up the neck), and
 * beside them stands the idea itself, thinned out, filled by the line search around its own notes, or moved by an octave.
 * What does not do what was asked is left out; the hands of the most promising are planned (`MOST_PLANNED`), and the best is taken: its score
 * by `FILL_COSTS` less `VARY_COSTS` for how far it goes from the idea. No chance: the same call gives the same answer.
 *
 * - `same idea again`: at least `MIN_DISTANCE` from the idea and from all that was `seen`.
 * - `fewer notes`, `more notes`: fewer (more) notes, and fewer (more) of them at times of their own.
 * - `higher`, `lower`: the mean of its pitches lies at least a semitone higher (lower).
 *
 * Errors: those of `offerFills`; there is none.
 *
 * @param seen ideas that were turned before: what comes back is none of them
 */
export function varyFill(
  request: OfferRequest,
  idea: Idea,
  way: Way,
  seen: readonly Pick<Offer, 'family' | 'notes'>[] = [],
): Result<Offer> {
  if (request.space.kind === 'instrumental')
    return fail(
      'a break is taken as a whole',
      'this idea',
      'change its notes by hand, or take the other idea',
    );
  const strings = openStrings(request.setup);
  if (!strings.ok) return strings;
  const scene = sceneOf(request);
  if (!scene.ok) return scene;
  const within = scene.value;
  const again = scenesFor(within, way).flatMap((other) =>
    [...draftsFor(other, strings.value), ...figureDrafts(other, strings.value, request.figures ?? [])].filter(
      (draft) => draft.family === idea.family,
    ),
  );
  const notes = idea.notes.map(draftNoteOf);
  const reshaped = reshapedFor(within, way, notes, (scene) => filled(scene, strings.value, notes));
  const drafts = [...again, ...reshaped.map((each) => draftLike(idea, each.notes, each.changed))].filter(
    (draft) => fits(within, draft) && does(way, idea.notes, draft.notes),
  );
  const hopeful = unlike(drafts)
    .map((draft) => ({ draft, value: worthOf(within, idea, way, unplanned(within, draft)) }))
    .sort((a, b) => b.value - a.value)
    .slice(0, MOST_PLANNED);
  let best: { readonly offer: Offer; readonly value: number } | null = null;
  for (const { draft } of hopeful) {
    const played = play(within, strings.value, draft);
    if (!played || !does(way, idea.notes, played.notes)) continue;
    const one = { family: draft.family, notes: played.notes };
    const least = way === 'same idea again' ? MIN_DISTANCE : Number.MIN_VALUE;
    if ([idea, ...seen].some((other) => distanceOf(other, one) < least)) continue;
    const value = worthOf(within, idea, way, played);
    if (best !== null && value <= best.value) continue;
    const reasons = reasonsFor(within, played);
    const score = reasons.reduce((sum, each) => sum + each.weight, 0);
    const said = changeReason(way, idea.notes, played.notes);
    best = {
      value,
      offer: {
        ...one,
        rank: idea.rank,
        score,
        title: titleOf(draft.title, played.notes),
        reasons: [...said, ...reasons],
      },
    };
  }
  return best ? ok(best.offer) : none(request, idea, way);
}

/** The scenes in which the family writes anew. */
function scenesFor(scene: Scene, way: Way): readonly Scene[] {
  const wished = (wish: Partial<Wish>): Scene => ({ ...scene, wish: { ...scene.wish, ...wish } });
  switch (way) {
    case 'same idea again':
      return Array.from({ length: TURNS }, (_, turn) => wished({ turn }));
    case 'fewer notes': {
      const coarse = { ...scene, steps: scene.steps.map((step) => step * 2) };
      return [scene, ...laterStarts(scene), coarse, ...laterStarts(coarse)];
    }
    case 'more notes': {
      const fine = scene.steps
        .map((step) => step / 2)
        .filter((step) => step >= 240 && Number.isInteger(step));
      return fine.length > 0 ? [scene, { ...scene, steps: fine }] : [scene];
    }
    case 'higher':
      return LIFTS.map((lift, i) => wished({ lift, neck: NECKS[i] ?? 0 }));
    case 'lower':
      return [scene, ...LIFTS.map((lift) => wished({ lift: -lift, neck: 0 }))];
  }
}

/** The same scene entered one, two or three beats late, with nothing of the voice near it. */
function laterStarts(scene: Scene): readonly Scene[] {
  return [1, 2, 3]
    .map((beats) => scene.startTick + beats * 960)
    .filter((startTick) => startTick < scene.guardEnd)
    .map((startTick) => ({
      ...scene,
      startTick,
      harmonies: scene.harmonies.filter((each) => each.endTick > startTick),
    }));
}

interface Reshaped {
  readonly notes: readonly DraftNote[];
  readonly changed: string;
}

function reshapedFor(
  scene: Scene,
  way: Way,
  notes: readonly DraftNote[],
  fill: (scene: Scene) => readonly (readonly DraftNote[])[],
): readonly Reshaped[] {
  const as = (changed: string) => (each: readonly DraftNote[]) => ({ notes: each, changed });
  switch (way) {
    case 'same idea again':
      return [];
    case 'fewer notes':
      return thinned(scene, notes).map(as('thinned out'));
    case 'more notes':
      return fill(scene).map(as('with notes put in'));
    case 'higher':
      return [moved(notes, 1)].map(as('an octave higher'));
    case 'lower':
      return [moved(notes, -1)].map(as('an octave lower'));
  }
}

type Sounded = readonly { readonly tick: number; readonly midi: number }[];

const onsetsOf = (notes: Sounded) => new Set(notes.map((note) => note.tick)).size;
const meanOf = (notes: Sounded) => notes.reduce((sum, note) => sum + note.midi, 0) / notes.length;

/** Whether notes are to others what was asked for. */
function does(way: Way, before: Sounded, after: Sounded): boolean {
  const count = after.length - before.length;
  const onsets = onsetsOf(after) - onsetsOf(before);
  switch (way) {
    case 'same idea again':
      return true;
    case 'fewer notes':
      return count < 0 && onsets < 0 && onsetsOf(after) >= FEWEST_NOTES;
    case 'more notes':
      return count > 0 && onsets > 0;
    case 'higher':
      return meanOf(after) - meanOf(before) >= LEAST_LIFT;
    case 'lower':
      return meanOf(before) - meanOf(after) >= LEAST_LIFT;
  }
}

/** Each draft once. */
function unlike(drafts: readonly Draft[]): readonly Draft[] {
  const said = new Map<string, Draft>();
  for (const draft of drafts) {
    const key = draft.notes.map((note) => `${note.tick} ${note.midi} ${note.string}`).join();
    if (!said.has(key)) said.set(key, draft);
  }
  return [...said.values()];
}

function worthOf(scene: Scene, idea: Idea, way: Way, played: ReturnType<typeof unplanned>): number {
  const score = reasonsFor(scene, played).reduce((sum, each) => sum + each.weight, 0);
  if (way === 'same idea again') return score;
  const away = VARY_COSTS.away * distanceOf(idea, { family: idea.family, notes: played.notes });
  if (way === 'higher' || way === 'lower') {
    const moved = Math.abs(meanOf(played.notes) - meanOf(idea.notes));
    return score - away - VARY_COSTS.semitoneAside * Math.abs(moved - VARY_COSTS.wantedSemitones);
  }
  const wanted = way === 'fewer notes' ? VARY_COSTS.wantedShare : 1 / VARY_COSTS.wantedShare;
  const share = onsetsOf(played.notes) / onsetsOf(idea.notes);
  return score - away - VARY_COSTS.shareAside * Math.abs(Math.log(share / wanted));
}

/** What changed, in figures; none for another turn. */
function changeReason(way: Way, before: Sounded, after: Sounded): readonly Reason[] {
  if (way === 'same idea again') return [{ rule: 'turn', weight: 0, detail: 'the same idea once more' }];
  if (way === 'fewer notes' || way === 'more notes')
    return [{ rule: 'turn', weight: 0, detail: `${after.length} notes instead of ${before.length}` }];
  const semitones = Math.round(Math.abs(meanOf(after) - meanOf(before)));
  const far = semitones === 1 ? 'a half step' : `${semitones} half steps`;
  return [{ rule: 'turn', weight: 0, detail: `${far} ${way} on the whole` }];
}

function none(request: OfferRequest, idea: Idea, way: Way): Result<never> {
  const where = `bar ${request.space.bar}`;
  const mend = 'try another way, or another idea';
  if (way === 'same idea again') return fail(`there is no other ${idea.family} here`, where, mend);
  return fail(`this idea cannot be had with ${AS_A_WISH[way]} here`, where, mend);
}

const AS_A_WISH: Readonly<Record<Exclude<Way, 'same idea again'>, string>> = {
  'fewer notes': 'fewer notes',
  'more notes': 'more notes at this tempo',
  higher: 'higher notes',
  lower: 'lower notes',
};

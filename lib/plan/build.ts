import { itemAt, type Reason } from '../base';
import { keepsTheChop } from '../fills';
import { type Freedom, type FreedomContext, metBy, singingOf, whoIsFree } from '../players';
import { type PlacedPass, type Player, settingOf, type Timeline } from '../song';
import { leadVoice, type Space, spaceAt } from '../spaces';
import { extentOf, passIndexOf, playersIn } from './band-there';
import { NEAR_SEMITONES, PLAN_COSTS, USUAL_WANT } from './costs';
import { fitKey } from './fits';
import { OPEN, type PlanModel, type Relation } from './model';
import { fairShares, turnCosts } from './turns';
import type { PlanRequest } from './types';

/** A song's plan as numbers, with what each number means. */
export interface Built {
  readonly model: PlanModel;
  readonly players: readonly Player[];
  /** By space and choice: the terms of `own`. */
  readonly ownTerms: readonly (readonly (readonly Reason[])[])[];
  /** By relation, holder before and holder: the terms of `after`. */
  readonly afterTerms: readonly (readonly (readonly (readonly Reason[])[])[])[];
  /** By choice: fair turns. */
  readonly fair: readonly number[];
  /** By space: the choice that is settled; null: none is. */
  readonly fixed: readonly (number | null)[];
}

const RELATIONS: readonly Relation[] = [0, 1, 2];

/** Lays a song's spaces and players out as a `PlanModel`; the costs are those of `PLAN_COSTS`. */
export function buildModel(request: PlanRequest): Built {
  const { players, spaces, timeline } = request;
  const freedoms = spaces.map((space) => whoIsFree(space, request));
  const fixed = fixedChoices(request);
  const choices = [OPEN, ...players.map((_, i) => i + 1)];
  const usual = usualScore(request);
  const passes = spaces.map((space) => passIndexOf(space, timeline));
  const ownTerms = spaces.map((space, s) => {
    const around = surroundings(request, itemAt(passes, s));
    return choices.map((choice) => {
      const player = choice === OPEN ? null : itemAt(players, choice - 1);
      if (fixed[s] !== null) return [...settledTerm(), ...(player ? around(space) : [])];
      return player
        ? [
            ...fitTerms(space, player, request, usual),
            ...chopTerms(space, player, request),
            ...crossTerms(space, player, request),
            ...around(space),
          ]
        : openTerms(space);
    });
  });
  const allowed = (s: number, choice: number): boolean => {
    const settled = fixed[s] ?? null;
    if (settled !== null) return choice === settled;
    return choice === OPEN || (freedoms[s]?.[choice - 1]?.free ?? false);
  };
  const own = ownTerms.map((row, s) =>
    row.map((terms, choice) => (allowed(s, choice) ? sumOf(terms) : Number.POSITIVE_INFINITY)),
  );
  const likeness = likenessOf(request);
  const most = players.map(
    (_, i) => own.filter((row) => itemAt(row, i + 1) !== Number.POSITIVE_INFINITY).length,
  );
  const hasOthers = most.filter((count) => count > 0).length > 1;
  const afterTerms = RELATIONS.map((relation) =>
    choices.map((before) =>
      choices.map((holder) => changeTerms(relation, before, holder, likeness, hasOthers)),
    ),
  );
  const uncounted = spaces.map((space) => space.kind === 'instrumental');
  const fair = fairTurns(request, own, most, uncounted);
  return {
    model: {
      players: players.length,
      own,
      relation: spaces.map((space, s) => relationTo(spaces[s - 1] ?? null, space, timeline)),
      after: afterTerms.map((rows) => rows.map((row) => row.map(sumOf))),
      turns: fair.map((share, choice) =>
        turnCosts(choice === OPEN ? PLAN_COSTS.open : PLAN_COSTS.turn, share, spaces.length),
      ),
      uncounted,
      tooClose: tooClose(request, freedoms, fixed),
    },
    players,
    ownTerms,
    afterTerms,
    fair,
    fixed,
  };
}

const sumOf = (terms: readonly Reason[]): number => terms.reduce((sum, term) => sum + term.weight, 0);

/** The last settled answer of each space as a choice; one whose holder is no player any more settles nothing. */
function fixedChoices({ spaces, settled, players, timeline }: FreedomContext): readonly (number | null)[] {
  const bySpace = new Map<string, number>();
  for (const { place, holding } of settled) {
    const space = spaceAt(spaces, place, timeline);
    if (!space) continue;
    const choice =
      holding.kind === 'left open' ? OPEN : players.findIndex(({ id }) => id === holding.playerId) + 1;
    if (holding.kind === 'left open' || choice > 0) bySpace.set(space.id, choice);
  }
  return spaces.map((space) => bySpace.get(space.id) ?? null);
}

function settledTerm(): readonly Reason[] {
  return [{ rule: 'settled', weight: PLAN_COSTS.told, detail: 'the band has settled it' }];
}

function openTerms(space: Space): readonly Reason[] {
  if (space.kind !== 'instrumental') return [];
  return [{ rule: 'emptyBreak', weight: PLAN_COSTS.emptyBreak, detail: 'nobody plays the break' }];
}

/** The median of the best offers' scores: what is usual in this song. */
function usualScore({ fits }: PlanRequest): number {
  const scores = [...fits.values()].flatMap((offer) => (offer ? [offer.score] : [])).sort((a, b) => a - b);
  return scores[scores.length >> 1] ?? 0;
}

function fitTerms(space: Space, player: Player, { fits }: PlanRequest, usual: number): readonly Reason[] {
  if (space.kind === 'instrumental') return [];
  const offer = fits.get(fitKey(space.id, player.id));
  if (!offer)
    return [{ rule: 'adLib', weight: PLAN_COSTS.adLib, detail: 'nothing can be written out here: ad lib' }];
  const weight = Math.round(PLAN_COSTS.fit * (usual - offer.score)) + 0;
  const against = weight < 0 ? 'better than' : weight > 0 ? 'less than' : 'like';
  return [{ rule: 'fit', weight, detail: `${offer.title}, ${against} most ideas in this song` }];
}

function chopTerms(space: Space, player: Player, request: PlanRequest): readonly Reason[] {
  if (space.kind === 'instrumental') return [];
  const there = playersIn(request, space).map((each) => ({
    id: each.id,
    setup: settingOf(request.timeline.song, each),
  }));
  const isLeft =
    there.length < 2 || keepsTheChop(there, null) === null || keepsTheChop(there, player.id) !== null;
  return isLeft
    ? []
    : [{ rule: 'noChop', weight: PLAN_COSTS.noChop, detail: 'nobody else could take the chop' }];
}

/** Whom the holder meets at the one microphone; nothing where the band has more. */
function crossTerms(space: Space, player: Player, request: PlanRequest): readonly Reason[] {
  const times = new Map<string, number>();
  for (const { players } of metBy(space, player.id, request))
    for (const id of players) times.set(id, (times.get(id) ?? 0) + 1);
  return [...times].map(([id, count]) => {
    const name = request.players.find((each) => each.id === id)?.name ?? id;
    const detail = `crosses ${name} at the microphone${count > 1 ? ', there and back' : ''}`;
    return { rule: 'crosses', weight: PLAN_COSTS.crosses * count, detail };
  });
}

/** What a fill costs for where it stands in the song: harmony, and the build-up over the passes. */
function surroundings(request: PlanRequest, passIndex: number): (space: Space) => readonly Reason[] {
  const { timeline, players } = request;
  const placed = timeline.passes[passIndex];
  const isHarmony = placed !== undefined && sungInHarmony(placed, players, timeline);
  const last = timeline.passes.length - 1;
  const build = last > 0 ? Math.round(PLAN_COSTS.buildUp * (1 - (2 * passIndex) / last)) + 0 : 0;
  return (space) => {
    if (space.kind === 'instrumental') return [];
    const terms: Reason[] = [];
    if (isHarmony) {
      const weight = PLAN_COSTS.inHarmonyPass;
      terms.push({ rule: 'inHarmonyPass', weight, detail: 'fills thin out where harmony is sung' });
    }
    if (space.kind === 'half-open')
      terms.push({ rule: 'overHarmony', weight: PLAN_COSTS.overHarmony, detail: 'harmony sounds here' });
    if (build !== 0) {
      const detail =
        build > 0 ? 'early in the song, which builds up' : 'late in the song, which has built up';
      terms.push({ rule: 'buildUp', weight: build, detail });
    }
    return terms;
  };
}

function sungInHarmony(placed: PlacedPass, players: readonly Player[], timeline: Timeline): boolean {
  const lead = leadVoice(timeline);
  for (const [voiceId, notes] of timeline.notes) {
    if (voiceId === lead?.id) continue;
    if (notes.some((note) => note.startTick >= placed.startTick && note.startTick < placed.endTick))
      return true;
  }
  return players.some((player) => singingOf(player, placed.pass, timeline)?.unwritten ?? false);
}

function relationTo(before: Space | null, space: Space, timeline: Timeline): Relation {
  if (!before) return 0;
  const at = passIndexOf(space, timeline);
  if (passIndexOf(before, timeline) !== at) return 2;
  const placed = timeline.passes[at];
  const middle = placed ? (placed.startTick + placed.endTick) / 2 : 0;
  return before.startTick < middle && space.startTick >= middle ? 1 : 0;
}

/** What two players' fills have in common, by the players' places among the choices. */
type Likeness = (a: number, b: number) => readonly Reason[];

function likenessOf({ players, timeline, fits, spaces }: PlanRequest): Likeness {
  const instruments = players.map((player) => settingOf(timeline.song, player).instrument);
  const middles = players.map((player) => {
    const pitches = spaces.flatMap((space) =>
      (fits.get(fitKey(space.id, player.id))?.notes ?? []).map((note) => note.midi),
    );
    return pitches.length > 0 ? pitches.reduce((sum, midi) => sum + midi, 0) / pitches.length : null;
  });
  return (a, b) => {
    const instrument = itemAt(instruments, a - 1);
    if (instrument === itemAt(instruments, b - 1))
      return [
        { rule: 'sameColour', weight: PLAN_COSTS.sameColour, detail: `${instrument} after ${instrument}` },
      ];
    const [one, other] = [middles[a - 1] ?? null, middles[b - 1] ?? null];
    if (one === null || other === null || Math.abs(one - other) >= NEAR_SEMITONES) return [];
    return [
      { rule: 'sameRegister', weight: PLAN_COSTS.sameRegister, detail: 'in the register of the fill before' },
    ];
  };
}

function changeTerms(
  relation: Relation,
  before: number,
  holder: number,
  likeness: Likeness,
  hasOthers: boolean,
): readonly Reason[] {
  if (before === OPEN || holder === OPEN) return [];
  if (before === holder) {
    // Where nobody else can take any, nobody else might be next.
    if (relation < 2 || !hasOthers)
      return [{ rule: 'keeps', weight: PLAN_COSTS.told, detail: 'keeps the fills' }];
    return [
      {
        rule: 'staysOn',
        weight: PLAN_COSTS.staysOn,
        detail: 'had the fills before: somebody else might be next',
      },
    ];
  }
  const like = likeness(before, holder);
  if (relation === 0)
    return [
      { rule: 'changeInside', weight: PLAN_COSTS.changeInside, detail: 'takes over inside a turn' },
      ...like,
    ];
  if (relation === 1)
    return [
      { rule: 'changeAtHalf', weight: PLAN_COSTS.changeAtHalf, detail: 'takes over at half of the pass' },
      ...like,
    ];
  return [{ rule: 'nextTurn', weight: PLAN_COSTS.told, detail: 'takes over with the pass' }, ...like];
}

/**
 * By choice: the turns that are fair. What the band wants open comes first, and all that nobody can take is open anyway.
 *
 * @param most by player, how many spaces they could take
 */
function fairTurns(
  { players, wants, openShare, timeline }: PlanRequest,
  own: readonly (readonly number[])[],
  most: readonly number[],
  uncounted: readonly boolean[],
): readonly number[] {
  const anybody = own.filter((row) => row.slice(OPEN + 1).some((cost) => cost !== Number.POSITIVE_INFINITY));
  const open = openShare * uncounted.filter((each) => !each).length;
  const turns = Math.min(anybody.length, own.length - open);
  const wanted = players.map(
    (player) => wants?.get(player.id) ?? USUAL_WANT[settingOf(timeline.song, player).instrument],
  );
  return [open, ...fairShares(turns, wanted, most)];
}

/** By space and choice: whether who held the space before has too little time left in this one, or had in that one. */
function tooClose(
  request: PlanRequest,
  freedoms: readonly (readonly Freedom[])[],
  fixed: readonly (number | null)[],
): readonly (readonly boolean[])[] {
  const { spaces, players } = request;
  return spaces.map((space, s) => {
    const before = spaces[s - 1];
    const row = [false, ...players.map(() => false)];
    // What is settled is in everybody's freedom already.
    if (!before || fixed[s] !== null || fixed[s - 1] !== null) return row;
    if (space.startTick - before.endTick > SURELY_APART) return row;
    players.forEach((player, i) => {
      const own = [freedoms[s - 1]?.[i], freedoms[s]?.[i]];
      if (own.every((freedom) => freedom?.free ?? false))
        row[i + 1] = !canTakeBoth(before, space, player, own, request);
    });
    return row;
  });
}

/** Spaces further apart than this never keep one player from both: more than a second at 600 quarter notes a minute. */
const SURELY_APART = 12 * 960;

/** Whether each leaves the player all the time in the other that they would have without it. */
function canTakeBoth(
  a: Space,
  b: Space,
  player: Player,
  own: readonly (Freedom | undefined)[],
  request: PlanRequest,
): boolean {
  const keepsAll = (space: Space, held: Space, alone: Freedom | undefined): boolean => {
    const holding = { kind: 'ad lib' as const, playerId: player.id };
    const planned = { id: 'planned', place: held.place, extent: extentOf(held), holding, by: null, at: 0 };
    const settled = [...request.settled, planned];
    const [freedom] = whoIsFree(space, { ...request, players: [player], settled });
    const [both, lone] = [freedom?.stretch, alone?.stretch];
    return both !== null && both?.startTick === lone?.startTick && both?.endTick === lone?.endTick;
  };
  return keepsAll(b, a, own[1]) && keepsAll(a, b, own[0]);
}

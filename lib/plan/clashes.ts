import { goesThroughGuard, handKeepsUp, keepsTheChop } from '../fills';
import { isStruck } from '../instruments';
import { type Freedom, type FreedomContext, whoIsFree } from '../players';
import { type FillNote, type Player, settingOf } from '../song';
import { BeatClock, type Space } from '../spaces';
import { secondsOf, type Ticks } from '../time';
import { extentOf, playersIn } from './band-there';
import type { Clash, ClashRule, MendEdit } from './clash-types';
import { NEAR_SEMITONES } from './costs';
import { type Standing, standingsIn } from './standing';

export interface ClashOptions {
  /** True: also tell where a fill follows another player's in the same register. */
  readonly sameRegister?: boolean;
}

/** Highest note that may sound on through the guard, in a fill of no known family: below the voices, the guitar's three low strings. */
const LOW_ENOUGH = 54;

/**
 * What cannot be played or heard as it is settled: in time order, each with its place, who is in it, why, and an edit that would mend it.
 *
 * - `space gone`, `space shrank`, `another setup`, `chord changed`: what was settled no longer fits what it was made for;
 * - `two fills at once`: notes (or ad libs) of two players share time;
 * - `past its guard`: notes go on in the time kept clear for the singer, and are no low run;
 * - `nobody on the chop`: the band has somebody for the chop, and whoever is left while the fill sounds has none of its instruments;
 * - `unplayable shift`: no left hand gets from note to note in time; `over comfort`: faster than the player says is easy;
 * - `two places`: the holder is not free there, or only for a part in which the fill does not stay; `not at the microphone`: likewise, since
 *   around one microphone there is no time to come in to it or to make room for others;
 * - `same register`, where asked for: a fill within a fourth of the one before it in the pass, by another player.
 */
export function findClashes(context: FreedomContext, options: ClashOptions = {}): readonly Clash[] {
  const { standings } = standingsIn(context.settled, context.timeline, context.spaces);
  const held = standings.flatMap((standing) => heldBy(standing, context) ?? []);
  const clock = new BeatClock(context.timeline);
  const found: Found[] = [
    ...standings.flatMap((standing) => misfit(standing, context)),
    ...atOnce(held),
    ...held.flatMap((each) => [
      ...pastGuard(each),
      ...chopless(each, held, context),
      ...hands(each, context),
      ...elsewhere(each, context),
    ]),
    ...(options.sameRegister ? sameRegister(held) : []),
  ];
  return found
    .map(({ standing, ...clash }) => {
      const { startTick, endTick } = standing.space ?? standing;
      const { place } = standing.answer;
      return {
        ...clash,
        place,
        spaceId: standing.space?.id ?? null,
        startTick,
        endTick,
        ...clock.countAt(startTick),
      };
    })
    .sort((a, b) => a.startTick - b.startTick);
}

type Found = Pick<Clash, 'rule' | 'players' | 'detail' | 'mend'> & { readonly standing: Standing };

/** What somebody holds in a space that is there, with the time in which it sounds. */
interface Held {
  readonly standing: Standing;
  readonly space: Space;
  readonly player: Player;
  readonly notes: readonly FillNote[];
  readonly from: Ticks;
  readonly to: Ticks;
}

function heldBy(standing: Standing, { players }: FreedomContext): Held | null {
  const { space, notes } = standing;
  const { holding } = standing.answer;
  if (!space || holding.kind === 'left open') return null;
  const player = players.find(({ id }) => id === holding.playerId);
  if (!player) return null;
  const from = notes.length > 0 ? Math.min(...notes.map((note) => note.tick)) : standing.startTick;
  const to = notes.length > 0 ? Math.max(...notes.map((note) => note.tick + note.ticks)) : standing.endTick;
  return { standing, space, player, notes, from, to };
}

function misfit(standing: Standing, { players }: FreedomContext): readonly Found[] {
  const { answer, space, misfit: detail, misfitRule: rule } = standing;
  if (rule === null || detail === null || answer.holding.kind === 'left open') return [];
  const { playerId } = answer.holding;
  const player = players.find(({ id }) => id === playerId);
  const said = `${player ? `${player.name}'s fill` : 'this fill'}: ${detail}`;
  const mend =
    space && player
      ? workedOutAnew(standing, space, player)
      : { says: 'take it back', edit: { kind: 'unsettle' as const, place: answer.place } };
  return [{ rule, standing, players: [playerId], detail: said, mend }];
}

function workedOutAnew(standing: Standing, space: Space, player: Player): Clash['mend'] {
  const edit: MendEdit = {
    kind: 'anew',
    place: standing.answer.place,
    spaceId: space.id,
    playerId: player.id,
  };
  return { says: `work it out anew for ${player.name}`, edit };
}

/** Where two players' fills share time, told once, at the later one; the earlier one is cut short. */
function atOnce(held: readonly Held[]): readonly Found[] {
  const inOrder = [...held].sort((a, b) => a.from - b.from);
  return inOrder.flatMap((later, i) => {
    const earlier = inOrder
      .slice(0, i)
      .find((each) => each.to > later.from && each.player.id !== later.player.id);
    if (!earlier) return [];
    return [
      {
        rule: 'two fills at once' as const,
        standing: later.standing,
        players: [later.player.id, earlier.player.id],
        detail: `${earlier.player.name} is still playing when ${later.player.name} begins`,
        mend: endBy(earlier, later.from, `end ${earlier.player.name}'s fill before it`),
      },
    ];
  });
}

/** The same fill, over by a tick; taken back where nothing of it would be left. */
function endBy({ standing, notes, from }: Held, tick: Ticks, says: string): Clash['mend'] {
  const { answer } = standing;
  const { place, extent, holding } = answer;
  const origin = standing.startTick - extent.from;
  const left = notes
    .filter((note) => note.tick < tick)
    .map((note) => ({ ...note, tick: note.tick - origin, ticks: Math.min(note.ticks, tick - note.tick) }));
  if (holding.kind === 'fill' && left.length > 0)
    return {
      says,
      edit: {
        kind: 'settle',
        place,
        extent,
        holding: { ...holding, fill: { ...holding.fill, notes: left } },
      },
    };
  if (holding.kind === 'ad lib' && tick > from)
    return { says, edit: { kind: 'settle', place, extent: { ...extent, to: tick - origin }, holding } };
  return { says: 'take it back', edit: { kind: 'unsettle', place } };
}

function pastGuard(held: Held): readonly Found[] {
  const { standing, space, player, notes } = held;
  const { holding } = standing.answer;
  const limit = space.endTick - space.guardTicks;
  if (holding.kind !== 'fill' || space.guardTicks === 0 || goesThroughGuard(holding.fill.family)) return [];
  const inGuard = notes.filter((note) => note.tick + note.ticks > limit);
  if (inGuard.every((note) => note.midi <= LOW_ENOUGH)) return [];
  const detail = `${player.name}'s fill goes on into the time kept clear for the singer`;
  return [
    {
      rule: 'past its guard',
      standing,
      players: [player.id],
      detail,
      mend: endBy(held, limit, 'end it before the singer comes in'),
    },
  ];
}

function chopless(held: Held, all: readonly Held[], context: FreedomContext): readonly Found[] {
  const { standing, space, player } = held;
  if (space.kind === 'instrumental') return [];
  const there = playersIn(context, space).map((each) => ({
    id: each.id,
    setup: settingOf(context.timeline.song, each),
  }));
  const playing = new Set(
    all.filter((each) => each.from < held.to && each.to > held.from).map((each) => each.player.id),
  );
  const others = there.filter(({ id }) => !playing.has(id));
  if (others.length === 0 || keepsTheChop(there, null) === null || keepsTheChop(others, null) !== null)
    return [];
  const detail = `while ${player.name} has the fill, nobody is on the chop`;
  const keeper = (id: string) => keepsTheChop(there, id) !== null;
  const mend = givenToAnother(standing, space, context, ({ playerId }) => keeper(playerId));
  return [{ rule: 'nobody on the chop', standing, players: [player.id], detail, mend }];
}

/** The space handed to somebody else who is free, else left open. */
function givenToAnother(
  standing: Standing,
  space: Space,
  context: FreedomContext,
  suits: (freedom: Freedom) => boolean,
): Clash['mend'] {
  const { answer } = standing;
  const holder = answer.holding.kind === 'left open' ? null : answer.holding.playerId;
  const next = whoIsFree(space, context).find((each) => each.free && each.playerId !== holder && suits(each));
  const player = context.players.find(({ id }) => id === next?.playerId);
  if (player) {
    const edit: MendEdit = { kind: 'anew', place: answer.place, spaceId: space.id, playerId: player.id };
    return { says: `give it to ${player.name}`, edit };
  }
  const { place } = answer;
  return {
    says: 'leave it open',
    edit: { kind: 'settle', place, extent: extentOf(space), holding: { kind: 'left open' } },
  };
}

/** What the holder's hands cannot do, or not with ease. */
function hands(
  { standing, space, player, notes, from }: Held,
  { timeline }: FreedomContext,
): readonly Found[] {
  if (notes.length === 0 || standing.misfitRule === 'another setup') return [];
  const setup = settingOf(timeline.song, player);
  const quartersPerMinute = timeline.tempo.tempoAt(from);
  const found: Found[] = [];
  const players = [player.id];
  if (!handKeepsUp(notes, { setup, quartersPerMinute }, player.spanMillimetres)) {
    const detail = `${player.name}'s hand cannot get from place to place in time`;
    found.push({
      rule: 'unplayable shift',
      standing,
      players,
      detail,
      mend: workedOutAnew(standing, space, player),
    });
  }
  const fastest = eighthsAMinute(notes, quartersPerMinute);
  if (player.comfortEighthsPerMinute !== null && fastest > player.comfortEighthsPerMinute + 1e-6) {
    const detail = `${Math.round(fastest)} eighth notes a minute; ${player.name} plays ${player.comfortEighthsPerMinute} with ease`;
    const { place, extent } = standing.answer;
    const edit: MendEdit = {
      kind: 'settle',
      place,
      extent,
      holding: { kind: 'ad lib', playerId: player.id },
    };
    const mend = { says: `let ${player.name} play it ad lib`, edit };
    found.push({ rule: 'over comfort', standing, players, detail, mend });
  }
  return found;
}

/** The rate of the two struck notes that follow each other fastest. */
function eighthsAMinute(notes: readonly FillNote[], quartersPerMinute: number): number {
  const onsets = notes.filter((note) => isStruck(note.articulation)).map((note) => note.tick);
  const steps = onsets
    .sort((a, b) => a - b)
    .flatMap((tick, i) => {
      const step = tick - (onsets[i - 1] ?? tick);
      return step > 0 ? [step] : [];
    });
  return steps.length > 0 ? 60 / secondsOf(Math.min(...steps), quartersPerMinute) : 0;
}

function elsewhere(
  { standing, space, player, notes, from, to }: Held,
  context: FreedomContext,
): readonly Found[] {
  const freedom = whoIsFree(space, context).find(({ playerId }) => playerId === player.id);
  if (!freedom) return [];
  const { stretch } = freedom;
  // Ad lib is played in what time there is; notes need the time that they take, as long as they are in the space at all.
  const isOut =
    notes.length > 0 &&
    stretch !== null &&
    (Math.max(from, space.startTick) < stretch.startTick || Math.min(to, space.endTick) > stretch.endTick);
  if (freedom.free && !isOut) return [];
  const why = freedom.reasons.find(({ weight }) => weight < 0);
  const rule = why && AT_THE_MICROPHONE.has(why.rule) ? 'not at the microphone' : 'two places';
  const mend =
    freedom.free && isOut
      ? workedOutAnew(standing, space, player)
      : givenToAnother(standing, space, context, () => true);
  const detail = `${player.name} ${why?.detail ?? 'has not the time for it'}`;
  return [{ rule, standing, players: [player.id], detail, mend }];
}

/** The reasons of `whoIsFree` that one microphone gives. */
const AT_THE_MICROPHONE: ReadonlySet<string> = new Set(['microphone', 'comes in', 'makes room']);

function sameRegister(held: readonly Held[]): readonly Found[] {
  const played = held.filter(({ notes }) => notes.length > 0).sort((a, b) => a.from - b.from);
  return played.flatMap((each, i) => {
    const before = played[i - 1];
    if (!before || before.player.id === each.player.id) return [];
    if (before.space.place.passId !== each.space.place.passId) return [];
    if (Math.abs(middleOf(before.notes) - middleOf(each.notes)) >= NEAR_SEMITONES) return [];
    const detail = `${each.player.name} plays in the register of ${before.player.name}'s fill before it`;
    const { standing, player, space } = each;
    const rule: ClashRule = 'same register';
    return [
      {
        rule,
        standing,
        players: [player.id, before.player.id],
        detail,
        mend: workedOutAnew(standing, space, player),
      },
    ];
  });
}

function middleOf(notes: readonly FillNote[]): number {
  return notes.reduce((sum, note) => sum + note.midi, 0) / notes.length;
}

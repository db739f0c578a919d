import { handKeepsUp, type Offer, offerFills } from '../fills';
import { openStrings } from '../instruments';
import { settlingAt } from '../plan';
import { type FreedomContext, whoIsFree } from '../players';
import { type Answer, type FillNote, type Player, type PlayerSetting, type Song, settingOf } from '../song';
import { narrowSpace, type Space, spaceAt, tickOfPlace } from '../spaces';
import { kinship } from './kin';
import type { AnswerAfter } from './types';

/** As many ideas are looked through for the one that is nearest. */
const LOOKED_THROUGH = 8;

/** One answer in other hands. */
interface Became {
  readonly after: AnswerAfter;
  /** `left`: it does not go. */
  readonly way: 'kept' | 'anew' | 'left';
  /** A sentence; empty where it goes as it is. */
  readonly said: string;
}

export interface AnswersAfter {
  readonly became: readonly Became[];
  /** What the band has settled, with all of it. */
  readonly settled: readonly Answer[];
}

/** The song in which everything but the answers is in other hands already, with how the substitute plays it. */
interface Scene {
  readonly context: Omit<FreedomContext, 'settled'>;
  readonly song: Song;
  readonly from: Player;
  readonly to: Player;
  readonly setting: PlayerSetting;
}

/**
 * What somebody holds or has put forward, in another's hands, in the order of the song: each answer is judged with those before it given already.
 *
 * - A fill whose every note is where it was on the substitute's strings keeps its notes, if their hand keeps up.
 * - Another is solved anew: of their best ideas for that space, the one of the nearest family, the best first.
 * - An ad lib is theirs.
 * - Where the substitute is not free, nothing can be worked out, or the space is gone, it is left open; a break for which nothing can be worked out is
 *   played ad lib. An idea that was only put forward is taken back instead.
 */
export function answersFor(scene: Scene): AnswersAfter {
  const { song, from } = scene;
  const isTheirs = ({ holding }: Answer) => holding.kind !== 'left open' && holding.playerId === from.id;
  const tickOf = ({ place }: Answer) => tickOfPlace(scene.context.timeline, place) ?? 0;
  const inOrder = (answers: readonly Answer[]) =>
    answers.filter(isTheirs).sort((a, b) => tickOf(a) - tickOf(b));
  const settled = new Map(song.settled.map((answer) => [answer.id, answer]));
  for (const answer of inOrder(song.settled)) settled.delete(answer.id);
  const became: Became[] = [];
  for (const answer of inOrder(song.settled)) {
    const context = { ...scene.context, settled: [...settled.values()] };
    const one = becomes(answer, context, scene);
    became.push(one);
    const { holding, extent } = one.after;
    if (holding) settled.set(answer.id, { ...answer, extent, holding });
  }
  const context = { ...scene.context, settled: [...settled.values()] };
  for (const answer of inOrder(song.proposals)) {
    const one = becomes(answer, context, scene);
    became.push(
      one.way === 'left'
        ? {
            ...one,
            after: { ...one.after, holding: null },
            said: `${one.said.replace(LEFT_OPEN, '')}; the idea is taken back`,
          }
        : one,
    );
  }
  // The order in which they were settled is the document's.
  const order = song.settled.flatMap(({ id }) => settled.get(id) ?? []);
  return { became, settled: order };
}

const LEFT_OPEN = '; left open';

function becomes(answer: Answer, context: FreedomContext, scene: Scene): Became {
  const { to, setting } = scene;
  const { timeline, spaces } = context;
  const { place, extent, holding } = answer;
  const space = spaceAt(spaces, place, timeline);
  const leave = (why: string): Became => ({
    after: { answerId: answer.id, extent, holding: { kind: 'left open' } },
    way: 'left',
    said: `${space ? `bar ${space.bar}` : 'a space that is gone'}: ${why}${LEFT_OPEN}`,
  });
  if (!space) return leave(`${whatOf(answer, scene)} has no place any more`);
  const freedom = whoIsFree(space, context).find(({ playerId }) => playerId === to.id);
  if (!freedom?.free || !freedom.stretch) {
    const why = freedom?.reasons.find(({ weight }) => weight < 0)?.detail ?? 'has not the time for it';
    return leave(`${to.name} ${why}`);
  }
  if (holding.kind !== 'fill') {
    return {
      after: { answerId: answer.id, extent, holding: { kind: 'ad lib', playerId: to.id } },
      way: 'kept',
      said: '',
    };
  }
  const { notes } = holding.fill;
  const isSame = areTheSame(setting, settingOf(scene.song, scene.from), notes);
  const why = isSame ? whyNotKept(answer, notes, freedom.stretch, space, context, scene) : '';
  if (isSame && why === null) {
    return {
      after: { answerId: answer.id, extent, holding: { ...holding, playerId: to.id } },
      way: 'kept',
      said: '',
    };
  }
  const offer = nearest(narrowSpace(space, freedom.stretch, timeline), context, scene, holding.fill.family);
  if (offer === null && space.kind !== 'instrumental')
    return leave(`${whatOf(answer, scene)} has no like on ${setting.instrument}`);
  const settling = settlingAt(place, space, to.id, offer, timeline);
  const what = offer ? `${offer.family} on ${setting.instrument}` : 'ad lib, for nothing can be written out';
  return {
    after: { answerId: answer.id, extent: settling.extent, holding: settling.holding },
    way: 'anew',
    said: `bar ${space.bar}: ${whatOf(answer, scene)} is now ${what}${why ? `, for ${to.name} ${why}` : ''}`,
  };
}

/** Why notes that are at the same places on the substitute's strings do not go as they are, as what they do; null: they go. */
function whyNotKept(
  { place }: Answer,
  notes: readonly FillNote[],
  stretch: { readonly startTick: number; readonly endTick: number },
  space: Space,
  { timeline }: FreedomContext,
  { to, setting }: Scene,
): string | null {
  const origin = tickOfPlace(timeline, place) ?? 0;
  const isInside = notes.every(
    ({ tick, ticks }) =>
      Math.max(tick + origin, space.startTick) >= stretch.startTick &&
      Math.min(tick + origin + ticks, space.endTick) <= stretch.endTick,
  );
  if (!isInside) return 'has a part of the space only';
  const pace = { setup: setting, quartersPerMinute: timeline.tempo.tempoAt(space.startTick) };
  const keepsUp = setting.instrument === 'voice' || handKeepsUp(notes, pace, to.spanMillimetres);
  return keepsUp ? null : 'cannot get from place to place in time';
}

/** What it was: `the forward roll on banjo`. */
function whatOf({ holding }: Answer, { song, from }: Scene): string {
  if (holding.kind !== 'fill') return `what ${from.name} plays ad lib`;
  return `the ${holding.fill.family || 'fill'} on ${settingOf(song, from).instrument}`;
}

/** Whether each note is at the same place on the same kind of instrument, and sounds there as written. */
function areTheSame(setting: PlayerSetting, was: PlayerSetting, notes: readonly FillNote[]): boolean {
  if (setting.instrument !== was.instrument) return false;
  const strings = openStrings(setting);
  if (!strings.ok) return false;
  if (strings.value.length === 0) return true;
  return notes.every(({ string, fret, midi }) => {
    const open = strings.value[string - 1];
    return open !== undefined && open.midi + fret === midi && fret <= open.highestFret;
  });
}

/** Of the best ideas for a space, the one of the nearest family; of those, the best; null: there is none. */
function nearest(
  space: Space,
  { timeline }: FreedomContext,
  { to, setting }: Scene,
  family: string,
): Offer | null {
  const offers = offerFills({
    timeline,
    space,
    setup: setting,
    rule: setting.rule ?? to.rule,
    spanMillimetres: to.spanMillimetres,
    comfortEighthsPerMinute: to.comfortEighthsPerMinute,
    count: LOOKED_THROUGH,
    voiceRange: to.range,
  });
  if (!offers.ok) return null;
  return offers.value.reduce<Offer | null>(
    (best, offer) =>
      best === null || kinship(family, offer.family) < kinship(family, best.family) ? offer : best,
    null,
  );
}

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { type FreedomContext, metBy, microphoneMoves, whoIsFree } from '../../../lib/players';
import {
  type Answer,
  microphoneOf,
  NEW_BAND,
  type OneMicrophone,
  type Pass,
  type Player,
  roadmapTimeline,
  type Timeline,
  writtenTimeline,
} from '../../../lib/song';
import { findSpaces, type Space, spaceAt, tickOfPlace } from '../../../lib/spaces';
import { QUARTER, tinySong } from '../spaces/tiny-song';
import { somebody } from './somebody';

const player = (id: string, more: Partial<Player> = {}): Player =>
  somebody(id, { name: id.toUpperCase(), initials: id, rule: 'alternate', ...more });

const ANN = player('ann', { sings: 'lead' });
const BO = player('bo', { sings: 'tenor', instruments: ['mandolin'] });
const CY = player('cy', { instruments: ['banjo'] });
const DI = player('di', { instruments: ['fiddle'] });
const BAND = [ANN, BO, CY, DI];
const ONE_SINGS = [ANN, { ...BO, sings: 'none' as const }, CY, DI];

const around = (
  inSeconds: number,
  outSeconds: number,
  places = ['cy', 'ann', 'bo', 'di'],
): OneMicrophone => ({
  inSeconds,
  outSeconds,
  places,
});

function adLib(space: Space, playerId: string, timeline: Timeline): Answer {
  const origin = must(tickOfPlace(timeline, space.place), 'a place');
  return {
    id: `${space.id}-${playerId}`,
    place: space.place,
    extent: { from: space.startTick - origin, to: space.endTick - origin },
    holding: { kind: 'ad lib', playerId },
    by: null,
    at: 0,
  };
}

const verse = (notes: string, tenor?: string) => ({
  name: 'Verse',
  voices: [{ part: 'lead' as const, notes }, ...(tenor ? [{ part: 'tenor' as const, notes: tenor }] : [])],
});

function contextOf(
  timeline: Timeline,
  microphone: OneMicrophone | null,
  players: readonly Player[] = BAND,
  settled: readonly Answer[] = [],
): FreedomContext {
  return { timeline, players, spaces: findSpaces(timeline), settled, microphone };
}

const said = (context: FreedomContext, at = 0): readonly string[] =>
  whoIsFree(itemAt(context.spaces, at), context).map(
    ({ playerId, free, reasons }) =>
      `${playerId} ${free ? '+' : '-'} ${reasons.map((reason) => reason.detail).join('; ')}`,
  );

// Common practice, no source: around one microphone, coming in and going out takes a beat or two, and the one who has just played
// must get out of the way. All expected values here are counted by hand from that: at 120 a beat is half a second.
describe('who is free around one microphone', () => {
  const song = (rest: number) => writtenTimeline(tinySong([verse(`4 z${rest} 4 4`)], { tempo: 120 }));

  it('keeps a short space for who stands at the microphone, and says why to the others', () => {
    const context = contextOf(song(2), around(1, 1), [ANN, CY]);
    expect(said(context)).toEqual([
      'ann - sings lead again from bar 2, beat 3',
      'cy - has no time in 2 beats to come in to the microphone and make room for the singer',
    ]);
    const [, cy] = whoIsFree(itemAt(context.spaces, 0), context);
    expect(cy?.reasons[0]).toMatchObject({ rule: 'microphone', weight: -2 });
    expect(said(contextOf(song(2), null, [ANN, CY]))[1]).toBe('cy + does not sing here');
  });

  it('takes the time to come in, and to make room, from a longer one', () => {
    // Eight beats, two to come in and two to make room: four are left. The singer, who is there, has all but the beat to come back.
    const context = contextOf(song(8), around(1, 1), [ANN, CY]);
    const [ann, cy] = whoIsFree(itemAt(context.spaces, 0), context);
    expect(cy?.stretch).toEqual({ startTick: 6 * QUARTER, endTick: 10 * QUARTER });
    expect(ann?.stretch).toEqual({ startTick: 4 * QUARTER, endTick: 11 * QUARTER });
    expect(said(context)[1]).toBe(
      'cy + there is time enough for a fill; needs until bar 2, beat 3 to come in to the microphone; ' +
        'makes room at the microphone for the singer from bar 3, beat 3; crosses ANN on the way in and out',
    );
  });

  it('takes the longer of the two ways, since one goes out while the other comes in', () => {
    const stretches = [around(0.5, 1.5), around(1.5, 0.5)].map((microphone) => {
      const context = contextOf(song(10), microphone, [ANN, CY]);
      return whoIsFree(itemAt(context.spaces, 0), context)[1]?.stretch;
    });
    const seven = { startTick: 7 * QUARTER, endTick: 11 * QUARTER };
    expect(stretches).toEqual([seven, seven]);
  });

  it('lets a harmony singer who sang the line play without a step, and come in beside the lead again', () => {
    const timeline = writtenTimeline(tinySong([verse('4 z5 4 3', '4 z5 4 3')], { tempo: 120 }));
    const [, bo, cy] = whoIsFree(
      itemAt(findSpaces(timeline), 0),
      contextOf(timeline, around(1, 1), [ANN, BO, CY]),
    );
    expect(bo?.stretch).toEqual({ startTick: 4 * QUARTER, endTick: 8 * QUARTER });
    expect(cy?.free).toBe(false);
  });

  it('gives a break whole to who comes in for it while nobody is heard, and not to who has no time to', () => {
    const passes: Partial<Pass>[] = [{ roles: { ann: 'lead' } }, { stanza: null, roles: { cy: 'break' } }];
    const rest = (notes: string) => {
      const timeline = roadmapTimeline(tinySong([verse(notes)], { passes, tempo: 120 }));
      const context = contextOf(timeline, around(1, 1), [ANN, CY]);
      const space = must(
        context.spaces.find(({ kind }) => kind === 'instrumental'),
        'the break',
      );
      return whoIsFree(space, context)[1]?.stretch;
    };
    expect(rest('6 z2')).toEqual({ startTick: 8 * QUARTER, endTick: 16 * QUARTER });
    expect(rest('7.5 z0.5')).toEqual({ startTick: 9.5 * QUARTER, endTick: 16 * QUARTER });
  });

  it('tells of whom one would meet on one’s own side', () => {
    const timeline = song(8);
    const [space] = findSpaces(timeline);
    const meets = (places: readonly string[]) =>
      metBy(must(space, 'a space'), 'cy', contextOf(timeline, around(1, 1, [...places]), ONE_SINGS));
    const ways = [
      { way: 'in', players: ['ann'] },
      { way: 'out', players: ['ann'] },
    ];
    expect(meets(['cy', 'ann', 'bo', 'di'])).toEqual(ways);
    expect(meets(['bo', 'di', 'ann', 'cy'])).toEqual(ways);
    expect(meets(['cy', 'bo', 'ann', 'di'])).toEqual([]);
  });
});

describe('microphoneMoves', () => {
  it('has nobody move where there are more microphones, and the fill’s player in and out in time', () => {
    const timeline = writtenTimeline(tinySong([verse('4 z8 4 4')], { tempo: 120 }));
    const [space] = findSpaces(timeline);
    const settled = [
      {
        ...adLib(must(space, 'a space'), 'cy', timeline),
        extent: { from: 6 * QUARTER, to: 10 * QUARTER },
      },
    ];
    expect(microphoneMoves(contextOf(timeline, null, ONE_SINGS, settled))).toEqual([]);
    const told = microphoneMoves(contextOf(timeline, around(1, 1), ONE_SINGS, settled)).map((move) => [
      move.playerId,
      move.way,
      move.side,
      move.startTick / QUARTER,
      move.endTick / QUARTER,
      move.crosses,
      move.lateSeconds,
    ]);
    expect(told).toEqual([
      ['ann', 'in', 'left', 0, 0, [], 0],
      ['cy', 'in', 'left', 4, 6, ['ann'], 0],
      ['ann', 'out', 'left', 4, 6, ['cy'], 0],
      ['ann', 'in', 'left', 10, 12, ['cy'], 0],
      ['cy', 'out', 'left', 10, 12, ['ann'], 0],
    ]);
  });

  it('says by how much somebody is late', () => {
    const timeline = writtenTimeline(tinySong([verse('4 z3 4 1')], { tempo: 120 }));
    const [space] = findSpaces(timeline);
    const settled = [adLib(must(space, 'a space'), 'di', timeline)];
    const late = microphoneMoves(contextOf(timeline, around(1, 1), ONE_SINGS, settled))
      .filter(({ lateSeconds }) => lateSeconds > 0)
      .map(({ playerId, way, lateSeconds }) => [playerId, way, lateSeconds]);
    expect(late).toEqual([['di', 'in', 1]]);
  });
});

describe('microphoneOf', () => {
  const band = { ...NEW_BAND, players: BAND, oneMicrophone: true };

  it('is null where the band has more than one', () => {
    expect(microphoneOf({ ...band, oneMicrophone: false })).toBe(null);
  });

  it('places who has no place yet at the right, and passes over who has left', () => {
    expect(microphoneOf({ ...band, microphonePlaces: ['di', 'gone', 'ann'] })?.places).toEqual([
      'di',
      'ann',
      'bo',
      'cy',
    ]);
  });
});

/** The song as steps of half a beat, a quarter of a second each at 120. */
const STEP = QUARTER / 2;
interface Sound {
  readonly who: string;
  readonly sings: boolean;
  readonly from: number;
  readonly to: number;
}

/**
 * A simulation in time, step by step: at each step somebody is heard or nobody is; people walk while nobody is heard, one step of the way at
 * each step of time.
 */
class Stage {
  readonly #sounds: readonly Sound[];
  readonly #ways: { readonly in: number; readonly out: number };
  /** What is heard without a pause in which people could walk all their way. */
  readonly #scenes: { from: number; to: number; cast: Set<string>; standing: Set<string> }[] = [];

  constructor(sounds: readonly Sound[], ways: { readonly in: number; readonly out: number }, steps: number) {
    this.#sounds = sounds;
    this.#ways = ways;
    let quiet = Number.POSITIVE_INFINITY;
    for (let step = 0; step < steps; step++) {
      const now = sounds.filter(({ from, to }) => from <= step && step < to);
      if (now.length === 0) {
        quiet += 1;
        continue;
      }
      let scene = this.#scenes.at(-1);
      if (!scene || (quiet > 0 && this.#canWalk(quiet)) || (quiet === 0 && this.#isCut(step))) {
        scene = { from: step, to: step, cast: new Set(), standing: new Set() };
        this.#scenes.push(scene);
      }
      for (const { who } of now) scene.cast.add(who);
      scene.to = step + 1;
      quiet = 0;
    }
    let before = new Set<string>();
    for (const scene of this.#scenes) {
      const voices = this.#voicesIn(scene);
      const nobodyMoves = voices.size === 0 && [...scene.cast].every((who) => before.has(who));
      scene.standing = nobodyMoves ? before : scene.cast;
      before = scene.standing;
    }
  }

  /** Where ways take no time, one sound ends as another begins: that is a change too. */
  #isCut(step: number): boolean {
    return this.#canWalk(0) && this.#sounds.every(({ from, to }) => from >= step || to <= step);
  }

  #canWalk(steps: number): boolean {
    let [coming, going] = [this.#ways.in, this.#ways.out];
    for (let step = 0; step < steps && (coming > 0 || going > 0); step++) {
      coming -= 1;
      going -= 1;
    }
    return coming <= 0 && going <= 0;
  }

  #voicesIn({ from, to }: { readonly from: number; readonly to: number }): Set<string> {
    return new Set(
      this.#sounds.filter((each) => each.sings && each.from >= from && each.to <= to).map(({ who }) => who),
    );
  }

  /** Whether somebody could be playing at the microphone at a step. */
  canPlay(who: string, step: number): boolean {
    const at = this.#scenes.findLastIndex(({ from }) => from <= step);
    const scene = this.#scenes[at];
    const before = this.#scenes[at - 1];
    const isThere = scene?.standing.has(who) ?? false;
    if (scene && step < scene.to) {
      const since = this.#sounds.some(
        (each) => each.who === who && each.from <= step && each.to > scene.from,
      );
      if (!isThere || !(before?.standing.has(who) || since)) return false;
    } else if (scene && !isThere && !this.#canWalk(step - scene.to)) return false;
    const next = this.#scenes[at + 1];
    if (!next) return true;
    const comers = [...next.cast].filter((each) => (isThere ? !scene?.standing.has(each) : each !== who));
    const singing = this.#sounds.filter((each) => each.from >= next.from && each.to <= next.to);
    const onlyVoices = singing.every((each) => each.sings || !comers.includes(each.who));
    if (comers.length === 0 || (onlyVoices && next.cast.has(who))) return true;
    return this.#canWalk(next.from - (step + 1));
  }
}

/** Sounds of notes as `tinySong` writes them, those without a rest between made one. */
function soundsOf(who: string, tokens: readonly Token[]): readonly Sound[] {
  const sounds: Sound[] = [];
  let at = 0;
  for (const { steps, rest } of tokens) {
    const last = sounds.at(-1);
    if (!rest && last?.to === at) sounds[sounds.length - 1] = { ...last, to: at + steps };
    else if (!rest) sounds.push({ who, sings: true, from: at, to: at + steps });
    at += steps;
  }
  return sounds;
}

interface Token {
  readonly steps: number;
  readonly rest: boolean;
}
const written = (tokens: readonly Token[]): string =>
  tokens.map(({ steps, rest }) => `${rest ? 'z' : ''}${steps / 2}`).join(' ');

const melody = fc
  .array(
    fc.tuple(fc.integer({ min: 1, max: 8 }), fc.integer({ min: 1, max: 16 })).map(([sung, rest]): Token[] => [
      { steps: sung, rest: false },
      { steps: rest, rest: true },
    ]),
    { minLength: 2, maxLength: 6 },
  )
  .map((pairs): Token[] => [...pairs.flat(), { steps: 4, rest: false }]);

describe('against a simulation in time', () => {
  it('finds what each player has of each space, step by step', () => {
    let checked = 0;
    let taken = 0;
    fc.assert(
      fc.property(
        melody,
        fc.option(melody),
        fc.integer({ min: 0, max: 6 }),
        fc.integer({ min: 0, max: 6 }),
        fc.array(fc.constantFrom(null, 'ann', 'cy', 'di'), { minLength: 8, maxLength: 8 }),
        (lead, tenor, comes, goes, holders) => {
          const song = tinySong([verse(written(lead), tenor ? written(tenor) : undefined)], { tempo: 120 });
          const timeline = writtenTimeline(song);
          const spaces = findSpaces(timeline);
          // Two spaces may hang on one place; the last answer for a place stands, so only the first of them is held.
          const isFirst = (space: Space, i: number) =>
            spaces.findIndex(({ place }) => place.noteId === space.place.noteId) === i;
          const held = spaces.map((space, i) =>
            isFirst(space, i) ? (holders[i % holders.length] ?? null) : null,
          );
          const settled = spaces.flatMap((space, i) => {
            const holder = held[i];
            return holder ? [adLib(space, holder, timeline)] : [];
          });
          const context = contextOf(timeline, around(comes / 4, goes / 4), BAND, settled);
          const steps = timeline.endTick / STEP;
          const sung = [
            ...soundsOf('ann', lead),
            // Without a written part the tenor of the band goes with the lead.
            ...soundsOf('bo', tenor ?? lead),
          ];
          spaces.forEach((space, s) => {
            const played = spaces.flatMap((each, i): Sound[] => {
              const who = held[i];
              const [from, to] = [each.startTick / STEP, each.endTick / STEP];
              const isHere = spaceAt(spaces, each.place, timeline)?.id === space.id;
              return who && i !== s && !isHere ? [{ who, sings: false, from, to }] : [];
            });
            const stage = new Stage([...sung, ...played], { in: comes, out: goes }, steps);
            const [from, to] = [space.startTick / STEP, space.endTick / STEP];
            expect([from, to].every(Number.isInteger)).toBe(true);
            for (const { playerId, stretch } of whoIsFree(space, context)) {
              // A beat, which is half a second here, before one's own singing and around one's other fills.
              const own = [...sung, ...played].filter(({ who }) => who === playerId);
              const may = Array.from({ length: to - from }, (_, i) => from + i).filter(
                (step) =>
                  stage.canPlay(playerId, step) &&
                  own.every((each) => step < each.from - 2 || step >= each.to + (each.sings ? 0 : 2)),
              );
              const runs = longestRun(may);
              const found = stretch ? [stretch.startTick / STEP, stretch.endTick / STEP] : [0, 0];
              expect(
                found.map((each) => each * 1),
                `${playerId} in ${space.id}`,
              ).toEqual(runs);
              checked += 1;
              if (runs[1] - runs[0] < to - from) taken += 1;
            }
          });
        },
      ),
      { numRuns: 100, seed: 11 },
    );
    expect(checked).toBeGreaterThan(400);
    expect(taken).toBeGreaterThan(100);
  });
});

/** The first of the longest runs of steps in a row, its end outside; from 0 to 0 where there is none. */
function longestRun(steps: readonly number[]): readonly [number, number] {
  let best: readonly [number, number] = [0, 0];
  let start = -2;
  let last = -2;
  for (const step of steps) {
    if (step !== last + 1) start = step;
    last = step;
    if (step + 1 - start > best[1] - best[0]) best = [start, step + 1];
  }
  return best;
}

import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must } from '../../../lib/base';
import { fillOf, offerFills } from '../../../lib/fills';
import { type Clash, findClashes, settlingOf } from '../../../lib/plan';
import type { FreedomContext } from '../../../lib/players';
import {
  type Answer,
  type FillNote,
  type Player,
  roadmapTimeline,
  type Song,
  settingOf,
} from '../../../lib/song';
import { findSpaces, type Space } from '../../../lib/spaces';
import { demoBand } from '../../../server/demo';

let context: FreedomContext;
let song: Song;

beforeAll(async () => {
  const { band, songs } = await demoBand();
  song = itemAt(songs, 1);
  context = contextOf(song, band.players);
});

function contextOf(of: Song, players: readonly Player[], settled: readonly Answer[] = []): FreedomContext {
  const timeline = roadmapTimeline(of);
  return { timeline, players, spaces: findSpaces(timeline), settled };
}

const by = (name: string): Player =>
  must(
    context.players.find((player) => player.instruments[0] === name),
    name,
  );
/** The first space that is long enough, has a guard, and hangs on a sung note. */
const roomy = (): Space =>
  must(
    context.spaces.find(({ kind, beats, guardTicks }) => kind === 'between' && beats >= 4 && guardTicks > 0),
    'a space',
  );

/** The player's best fill for a space, its notes changed. */
function filled(
  space: Space,
  player: Player,
  change: (notes: readonly FillNote[]) => readonly FillNote[] = (notes) => notes,
): Answer {
  const setup = settingOf(song, player);
  const offers = offerFills({
    timeline: context.timeline,
    space,
    setup,
    rule: 'alternate',
    spanMillimetres: null,
    comfortEighthsPerMinute: null,
    count: 4,
  });
  const offer = must(
    offers.ok ? offers.value.find(({ family }) => !['walk', 'bass run'].includes(family)) : null,
    'an offer',
  );
  const { fill, extent } = fillOf(offer, space);
  return {
    id: `${player.id} ${space.id}`,
    place: space.place,
    extent,
    holding: { kind: 'fill', playerId: player.id, fill: { ...fill, notes: change(fill.notes) } },
    by: null,
    at: 0,
  };
}

const adLib = (space: Space, playerId: string): Answer => ({
  id: `ad lib ${space.id}`,
  place: space.place,
  extent: { from: 0, to: space.endTick - space.startTick },
  holding: { kind: 'ad lib', playerId },
  by: null,
  at: 0,
});

const withSettled = (...settled: readonly Answer[]): FreedomContext => ({ ...context, settled });
const ofRule = (clashes: readonly Clash[], rule: Clash['rule']) =>
  clashes.filter((clash) => clash.rule === rule);

/** What is settled after a mend: the mended answer in place of those at its place. */
function mended(before: FreedomContext, clash: Clash): FreedomContext {
  const { edit } = clash.mend;
  const settling = settlingOf(edit, before);
  const rest = before.settled.filter(
    ({ place }) => place.passId !== edit.place.passId || place.noteId !== edit.place.noteId,
  );
  return { ...before, settled: settling ? [...rest, { ...settling, id: 'mended', by: null, at: 1 }] : rest };
}

function expectMended(before: FreedomContext, rule: Clash['rule']): Clash {
  const clash = itemAt(ofRule(findClashes(before), rule), 0);
  expect(ofRule(findClashes(mended(before, clash)), rule)).toEqual([]);
  return clash;
}

describe('findClashes', () => {
  it('finds nothing in what fits', () => {
    expect(findClashes(withSettled(filled(roomy(), by('fiddle'))))).toEqual([]);
  });

  it('tells a fill that goes on past its guard, and ends it before', () => {
    const space = roomy();
    const long = filled(space, by('fiddle'), (notes) =>
      notes.map((note, i) => {
        const end = space.endTick - must(space.after, 'its note').startTick;
        return i === notes.length - 1 ? { ...note, ticks: end - note.tick } : note;
      }),
    );
    const clash = expectMended(withSettled(long), 'past its guard');
    expect(clash.spaceId).toBe(space.id);
    expect(clash.bar).toBe(space.bar);
    expect(clash.players).toEqual([by('fiddle').id]);
  });

  it('tells a hand that cannot get there in time', () => {
    const fiddle = by('mandolin');
    const leap = filled(roomy(), fiddle, (notes) =>
      notes.slice(0, 4).map((note, i) => ({
        ...note,
        tick: itemAt(notes, 0).tick + i * 60,
        ticks: 60,
        string: 1,
        fret: i % 2 === 0 ? 1 : 17,
        finger: 1,
        midi: 76 + (i % 2 === 0 ? 1 : 17),
      })),
    );
    expectMended(withSettled(leap), 'unplayable shift');
  });

  it('tells what is faster than a player says is easy', () => {
    const fiddle = by('banjo');
    const slow = {
      ...context,
      players: context.players.map((each) =>
        each.id === fiddle.id ? { ...each, comfortEighthsPerMinute: 40 } : each,
      ),
    };
    expectMended({ ...slow, settled: [filled(roomy(), fiddle)] }, 'over comfort');
  });

  it('tells a holder who sings there or has the break, and finds another', () => {
    const lone = must(
      context.spaces.find(({ kind }) => kind === 'half-open'),
      'a space under harmony',
    );
    const singer = must(
      context.players.find(({ sings }) => sings === 'tenor' || sings === 'baritone'),
      'a singer of harmony',
    );
    expectMended(withSettled(adLib(lone, singer.id)), 'two places');
  });

  it('tells a fill over chords that have changed, and one in a space that shrank', () => {
    const space = roomy();
    const answer = filled(space, by('fiddle'));
    const changed = {
      ...song,
      chords: song.chords.map((chord) => ({ ...chord, symbol: chord.symbol === 'Bm' ? 'B' : 'Bm' })),
    };
    const clash = expectMended(contextOf(changed, context.players, [answer]), 'chord changed');
    expect(clash.detail).toContain('made over other chords');

    const longer = {
      ...song,
      notes: song.notes.map((note) =>
        note.id === space.place.noteId ? { ...note, ticks: note.ticks + 1440 } : note,
      ),
    };
    expect(ofRule(findClashes(contextOf(longer, context.players, [answer])), 'space shrank')).toHaveLength(1);
  });

  it('tells two fills at once, and ends the earlier one', () => {
    const at = context.spaces.findIndex(
      (space, i) => space.kind === 'between' && context.spaces[i + 1]?.kind === 'between',
    );
    const [one, two] = [itemAt(context.spaces, at), itemAt(context.spaces, at + 1)];
    const origin = must(one.after, 'its note').startTick;
    const long = filled(one, by('fiddle'), (notes) =>
      notes.map((note, i) =>
        i === notes.length - 1 ? { ...note, ticks: two.endTick - origin - note.tick } : note,
      ),
    );
    const before = withSettled(long, filled(two, by('banjo')));
    const clash = expectMended(before, 'two fills at once');
    expect(clash.players).toEqual([by('banjo').id, by('fiddle').id]);
  });

  it('tells where nobody is left for the chop, and hands the fill on', () => {
    const players = [by('mandolin'), { ...by('bass') }];
    const few = { ...context, players, settled: [filled(roomy(), by('mandolin'))] };
    expectMended(few, 'nobody on the chop');
  });

  it('tells of one register only where asked', () => {
    const at = context.spaces.findIndex(
      (space, i) => space.kind === 'between' && context.spaces[i + 1]?.kind === 'between',
    );
    const before = withSettled(
      filled(itemAt(context.spaces, at), by('mandolin')),
      filled(itemAt(context.spaces, at + 1), by('fiddle'), (notes) => notes),
    );
    expect(ofRule(findClashes(before), 'same register')).toEqual([]);
    const asked = ofRule(findClashes(before, { sameRegister: true }), 'same register');
    const middle = ({ holding }: Answer) => {
      const pitches = holding.kind === 'fill' ? holding.fill.notes.map(({ midi }) => midi) : [];
      return pitches.reduce((sum, midi) => sum + midi, 0) / pitches.length;
    };
    const [a, b] = before.settled.map(middle);
    expect(asked.length).toBe(Math.abs(must(a, 'a') - must(b, 'b')) < 5 ? 1 : 0);
  });
});

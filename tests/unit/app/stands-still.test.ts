import { beforeAll, describe, expect, it } from 'vitest';
import { type PassNow, standsStill } from '@/app/board/stands-still';
import { itemAt, lastOf, must } from '@/lib/base';
import { type Arrangement, arrange, type PassLines, talkOf } from '@/lib/parts';
import type { Band } from '@/lib/song';
import { demoBand } from '@/server/demo';

// Which passes have to be drawn anew is a rule of the page's own: in whichever something opens, is open, or was.

let band: Band;
let arrangement: Arrangement;
let pass: PassLines;
let other: PassLines;
let base: PassNow;

beforeAll(async () => {
  const demo = await demoBand();
  band = demo.band;
  const song = itemAt(demo.songs, 0);
  arrangement = arrange(song);
  [pass, other] = [itemAt(arrangement.passes, 1), itemAt(arrangement.passes, 2)];
  const facts = {
    playerOf: () => null,
    breakOf: () => null,
    instrumentOf: () => 'guitar' as const,
    troubleOf: () => null,
    closed: {
      openId: null,
      press: () => {},
      peersAt: () => [],
      labelOf: () => '',
      isPut: () => false,
    },
  };
  base = {
    arrangement,
    band,
    edits: null,
    you: null,
    pass,
    played: must(
      song.passes.find(({ id }) => id === pass.passId),
      'a pass of the song',
    ),
    name: 'Verse 1',
    time: 1,
    hang: 40,
    onWords: undefined,
    open: null,
    facts,
    way: { place: null },
    talk: { talk: talkOf(arrangement), at: null },
    backup: { isOpen: false },
  };
});

const now = (changes: Partial<PassNow> = {}): PassNow => ({ ...base, ...changes });
const spaceIn = (one: PassLines) =>
  must(
    arrangement.spaces.find(({ place }) => place.passId === one.passId),
    'a space in the pass',
  );
const placeIn = (one: PassLines): PassNow['way']['place'] => ({
  kind: 'chord',
  passId: one.passId,
  lineKey: itemAt(one.lines, 0).key,
  barId: 'bar',
  offset: 0,
  tick: 0,
  chord: null,
});

describe('a pass stands as it is', () => {
  it('while nothing happens in it, whatever opens elsewhere', () => {
    expect(standsStill(now(), now())).toBe(true);
    expect(standsStill(now(), now({ open: spaceIn(other) }))).toBe(true);
    const talk = { ...base.talk, at: { kind: 'line', id: lastOf(other.lines).key } as const };
    expect(standsStill(now(), now({ talk }))).toBe(true);
    expect(standsStill(now({ open: spaceIn(other) }), now())).toBe(true);
  });

  it('not where a space, words, a talk or the backup opens, or closes', () => {
    const opened: Partial<PassNow>[] = [
      { open: spaceIn(pass) },
      { way: { place: placeIn(pass) } },
      { talk: { ...base.talk, at: { kind: 'line', id: lastOf(pass.lines).key } } },
      { talk: { ...base.talk, at: { kind: 'pass', id: must(pass.passId, 'a pass that is played') } } },
      { backup: { isOpen: true } },
    ];
    for (const change of opened) {
      expect(standsStill(now(), now(change))).toBe(false);
      expect(standsStill(now(change), now(change))).toBe(false);
      expect(standsStill(now(change), now())).toBe(false);
    }
  });

  it('not where what it is drawn from has changed', () => {
    const changed: Partial<PassNow>[] = [
      { arrangement: { ...arrangement } },
      { band: { ...band } },
      { you: itemAt(band.players, 0).id },
      { pass: { ...pass } },
      { played: null },
      { name: 'Verse 2' },
      { time: 2 },
      { hang: 41 },
      { onWords: () => {} },
      { facts: { ...base.facts, troubleOf: () => null } },
      { facts: { ...base.facts, closed: { ...base.facts.closed } } },
      { talk: { talk: talkOf(arrangement), at: null } },
    ];
    for (const change of changed) expect(standsStill(now(), now(change))).toBe(false);
  });
});

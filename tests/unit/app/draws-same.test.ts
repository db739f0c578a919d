import { beforeAll, describe, expect, it } from 'vitest';
import { drawsSame } from '@/app/board/draws-same';
import { BOARD_LINE, BREAK_LINE } from '@/app/board/geometry';
import type { LineProps, SpaceActions } from '@/app/board/look';
import { itemAt, must } from '@/lib/base';
import { type Arrangement, arrange, type Line } from '@/lib/parts';
import type { Answer } from '@/lib/song';
import { demoBand } from '@/server/demo';

let arrangement: Arrangement;
/** A line of which one space is settled, and another line. */
let line: Line;
let other: Line;

const spaceIds = (one: Line) => one.segments.flatMap(({ spaces }) => spaces.map(({ space }) => space.id));

beforeAll(async () => {
  const { songs } = await demoBand();
  const found = songs.map((song) => arrange(song)).find(({ standings }) => standings.length > 1);
  arrangement = must(found, 'a song with something settled');
  const lines = arrangement.passes.flatMap((pass) => pass.lines);
  line = must(
    lines.find((one) => spaceIds(one).some((id) => arrangement.bySpace.has(id))),
    'a line with something settled',
  );
  other = must(
    lines.find((one) => spaceIds(one).length > 0 && !spaceIds(one).some((id) => spaceIds(line).includes(id))),
    'another line with a space',
  );
});

const press = () => {};
const chordName = (symbol: string) => symbol;
const isReadable = () => true;
const onWords = () => {};
const holder = { name: 'Ada', initials: 'A', ink: 1 } as const;

const actions = (changes: Partial<SpaceActions> = {}): SpaceActions => ({
  openId: null,
  press,
  peersAt: () => [],
  labelOf: (id) => `space ${id}`,
  isPut: () => false,
  ...changes,
});

/** What a board gives to a line; each of its ways to ask is another function each time, as after an edit. */
const look = (changes: Partial<LineProps> = {}): LineProps => ({
  line,
  hang: 40,
  barNumbers: true,
  pixelsPerTick: arrangement.pixelsPerTick,
  geometry: BOARD_LINE,
  bySpace: new Map(arrangement.bySpace),
  playerOf: () => ({ ...holder }),
  instrumentOf: () => 'guitar',
  songKey: arrangement.song.key,
  chordName,
  isReadable,
  breakOf: () => null,
  troubleOf: () => null,
  spaces: actions(),
  onlyPlayer: null,
  words: null,
  onWords,
  ...changes,
});

const own = () =>
  must(
    spaceIds(line).find((id) => arrangement.bySpace.has(id)),
    'its settled space',
  );
const elsewhere = () => itemAt(spaceIds(other), 0);
const only =
  <T>(id: string, told: T, else_: T) =>
  (asked: string) =>
    asked === id ? told : else_;
const leftOpen = (answer: Answer): Answer => ({ ...answer, holding: { kind: 'left open' } });

/** The answers, with the one of a space another (or none there any more). */
function answered(id: string, change: (answer: Answer) => Answer): LineProps['bySpace'] {
  return new Map(
    [...arrangement.bySpace].map(([each, standing]) => [
      each,
      each === id ? { ...standing, answer: change(standing.answer) } : standing,
    ]),
  );
}

describe('drawsSame', () => {
  it('says so of a line that is given the same by other functions and in other objects', () => {
    expect(drawsSame(look(), look())).toBe(true);
    expect(drawsSame(look(), look({ line: structuredClone(line) }))).toBe(true);
  });

  const differences: Readonly<Record<string, () => Partial<LineProps>>> = {
    'a word': () => ({ line: { ...line, words: `${line.words} more` } }),
    'room to the left': () => ({ hang: 41 }),
    'the scale': () => ({ pixelsPerTick: arrangement.pixelsPerTick * 1.01 }),
    'the height': () => ({ geometry: BREAK_LINE }),
    'what its space holds': () => ({ bySpace: answered(own(), leftOpen) }),
    'what its space held, taken back': () => ({
      bySpace: new Map([...arrangement.bySpace].filter(([id]) => id !== own())),
    }),
    'its holder’s initials': () => ({ playerOf: () => ({ ...holder, initials: 'AB' }) }),
    'its holder’s instrument': () => ({ instrumentOf: () => 'banjo' }),
    'who has the break': () => ({ breakOf: () => holder }),
    'why its answer no longer fits': () => ({ troubleOf: only(own(), 'lays out', null) }),
    'its space opened': () => ({ spaces: actions({ openId: own() }) }),
    'who touches its space': () => ({ spaces: actions({ peersAt: only(own(), [holder], []) }) }),
    'what is read aloud of its space': () => ({
      spaces: actions({ labelOf: (id) => (id === own() ? 'another' : `space ${id}`) }),
    }),
    'what is put to the band there': () => ({ spaces: actions({ isPut: only(own(), true, false) }) }),
    'another way to press': () => ({ spaces: actions({ press: () => {} }) }),
    'nothing to press any more': () => ({ spaces: null }),
    'nobody may change its words any more': () => ({ onWords: undefined }),
    'another way to name chords': () => ({ chordName: () => 'C' }),
    'its words opened': () => ({
      words: {
        words: [],
        chords: [],
        chosen: null,
        choose: () => {},
        write: () => {},
        labelOf: () => '',
      },
    }),
  };

  it.each(Object.keys(differences))('is drawn anew, and back: %s', (name) => {
    const change = must(differences[name], name)();
    expect(drawsSame(look(), look(change))).toBe(false);
    expect(drawsSame(look(change), look())).toBe(false);
  });

  const others: Readonly<Record<string, () => Partial<LineProps>>> = {
    'what another line’s space holds': () => ({ bySpace: answered(elsewhere(), leftOpen) }),
    'another line’s space opened': () => ({ spaces: actions({ openId: elsewhere() }) }),
    'who touches another line’s space': () => ({
      spaces: actions({ peersAt: only(elsewhere(), [holder], []) }),
    }),
    'what no longer fits in another line': () => ({ troubleOf: only(elsewhere(), 'lays out', null) }),
  };

  it.each(Object.keys(others))('is not drawn anew for %s', (name) => {
    expect(drawsSame(look(), look(must(others[name], name)()))).toBe(true);
  });
});

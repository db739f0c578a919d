import { describe, expect, it } from 'vitest';
import {
  leadersOf,
  lineOfSpace,
  newlyShown,
  nextLeader,
  sightOf,
  targetOf,
  whereaboutsOf,
  whereInWords,
} from '../../../app/board/along';
import type { Whereabouts } from '../../../app/sync';
import { arrange } from '../../../lib/parts';
import { tinySong } from '../spaces/tiny-song';

/** Two sung lines with three beats of rest after each, sung twice. */
const arrangement = arrange(
  tinySong(
    [
      {
        name: 'Verse',
        voices: [
          {
            part: 'lead',
            notes: '1 1 1 1, 1 z3, 1 1 1 1, 1 z3',
            words: ['one two three four five six se-ven eight nine ten'],
          },
        ],
      },
    ],
    { passes: [{}, {}] },
  ),
);
const [first, second] = arrangement.passes;
if (!first?.lines[1] || !second?.lines[1]) throw new Error('two passes of two lines were wanted');
const names = ['Verse 1', 'Verse 2'];

const somebody: Whereabouts = {
  windowId: 1,
  playerId: 'b',
  name: 'Ben',
  place: null,
  sight: null,
  shown: null,
};
const at = (windowId: number, more: Partial<Whereabouts>): Whereabouts => ({
  ...somebody,
  windowId,
  ...more,
});

describe('whom one can go along with', () => {
  it('is each other player once, by name; neither oneself nor who only reads', () => {
    const others = [
      at(4, { playerId: 'r', name: 'Ruth' }),
      at(1, {}),
      at(2, {}),
      at(3, { playerId: 'a', name: 'Ann' }),
      at(5, { playerId: null, name: '' }),
      // Their page has come in, and has not said yet who they are.
      at(6, { playerId: 'z', name: '' }),
    ];
    expect(leadersOf(others, 'a').map(({ name }) => name)).toEqual(['Ben', 'Ruth']);
    expect(leadersOf(others, null).map(({ name }) => name)).toEqual(['Ann', 'Ben', 'Ruth']);
  });

  it('goes round by the key', () => {
    const leaders = leadersOf([at(1, {}), at(2, { playerId: 'r', name: 'Ruth' })], null);
    expect(nextLeader(leaders, null)?.name).toBe('Ben');
    expect(nextLeader(leaders, 'b')?.name).toBe('Ruth');
    expect(nextLeader(leaders, 'r')?.name).toBe('Ben');
    expect(nextLeader(leaders, 'gone')?.name).toBe('Ben');
    expect(nextLeader([], 'b')).toBeNull();
  });

  it('is where the window is that has a space open, else the one that says where it looks', () => {
    const sight = { pass: 'p1', line: 'x' };
    const place = { passId: 'p1', voiceId: 'v', noteId: 'n' };
    expect(whereaboutsOf([at(1, {}), at(2, { sight })], 'b')?.windowId).toBe(2);
    expect(whereaboutsOf([at(1, { sight }), at(2, { place })], 'b')?.windowId).toBe(2);
    expect(whereaboutsOf([at(1, { sight })], 'a')).toBeNull();
    expect(whereaboutsOf([at(1, { playerId: null })], null)).toBeNull();
  });
});

describe('where somebody is', () => {
  it('is the line at the top and the space that is open', () => {
    const space = arrangement.spaces.find((one) => one.startTick >= second.startTick);
    if (!space) throw new Error('a space was wanted in the second verse');
    const [top] = second.lines;
    const sight = sightOf(arrangement.passes, top?.key ?? '');
    expect(sight).toEqual({ pass: second.passId, line: top?.key });
    expect(targetOf(arrangement, { place: space.place, sight })).toEqual({
      spaceId: space.id,
      line: top?.key,
    });
    expect(targetOf(arrangement, { place: null, sight })).toEqual({ spaceId: null, line: top?.key });
  });

  it('is the same pass where the line has gone, and nowhere where the pass has', () => {
    expect(
      targetOf(arrangement, { place: null, sight: { pass: second.passId ?? '', line: 'gone' } }),
    ).toEqual({ spaceId: null, line: second.lines[0]?.key });
    expect(targetOf(arrangement, { place: null, sight: { pass: 'gone', line: 'gone' } })).toEqual({
      spaceId: null,
      line: null,
    });
    expect(
      targetOf(arrangement, { place: { passId: 'gone', voiceId: 'v', noteId: 'x' }, sight: null }),
    ).toEqual({
      spaceId: null,
      line: null,
    });
    expect(sightOf(arrangement.passes, 'gone')).toBeNull();
  });

  it('is the line in which a space begins', () => {
    // Counted by hand: each line is sung for five beats, and rests for three; the space after its words is its own.
    const inSecondLine = arrangement.spaces.filter(
      ({ startTick }) => startTick >= 13 * 960 && startTick < 16 * 960,
    );
    expect(inSecondLine).toHaveLength(1);
    expect(lineOfSpace(arrangement, inSecondLine[0]?.id ?? '')).toBe(first.lines[1]?.key);
    expect(lineOfSpace(arrangement, 'gone')).toBeNull();
  });

  it('is told in the words of the song', () => {
    const space = arrangement.spaces.find(
      ({ startTick }) => startTick >= second.startTick && startTick < second.startTick + 8 * 960,
    );
    expect(whereInWords(arrangement, names, { spaceId: space?.id ?? '', line: null })).toBe(
      'Verse 2, after “three four five”, bar 6',
    );
    expect(whereInWords(arrangement, names, { spaceId: null, line: first.lines[1]?.key ?? '' })).toBe(
      'Verse 1, “six seven eight nine”, bar 3',
    );
    expect(whereInWords(arrangement, names, { spaceId: null, line: null })).toBe(
      'a place that is not in the song any more',
    );
  });
});

describe('a place that is shown', () => {
  const shown = (nth: number) => ({ nth, place: null, sight: { pass: 'p1', line: 'x' } });

  it('is news once, and again when it is shown again', () => {
    const before = newlyShown(new Map(), [at(1, {})]);
    expect(before.news).toEqual([]);
    const once = newlyShown(before.seen, [at(1, { shown: shown(1) })]);
    expect(once.news.map(({ name }) => name)).toEqual(['Ben']);
    expect(newlyShown(once.seen, [at(1, { shown: shown(1) })]).news).toEqual([]);
    expect(newlyShown(once.seen, [at(1, { shown: shown(2) })]).news).toHaveLength(1);
  });

  it('is no news to who comes later, nor when a window is heard of again', () => {
    const come = newlyShown(new Map(), [at(1, { shown: shown(3) })]);
    expect(come.news).toEqual([]);
    const away = newlyShown(come.seen, []);
    expect(newlyShown(away.seen, [at(1, { shown: shown(3) })]).news).toEqual([]);
    expect(newlyShown(away.seen, [at(1, { shown: shown(4) })]).news).toHaveLength(1);
  });
});

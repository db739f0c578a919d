import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { BAND_ROOM, mergesAsStated, SONG_ROOM } from './merge-commands';
import { fillSurvives, HARMLESS } from './merge-fill';
import type { Happened } from './merge-line';
import { MergeModel } from './merge-model';

describe('the model of merging', () => {
  it('lets a write stand that nobody who saw it has changed', () => {
    const model = new MergeModel(3, new Map([['tempo', '96']]));
    const mine = model.write(0, 'tempo', '100');
    expect([...model.possible(0, 'tempo')]).toEqual(['100']);
    expect([...model.possible(1, 'tempo')]).toEqual(['96']);
    const theirs = model.write(1, 'tempo', null);
    model.hear(2, [mine, theirs]);
    expect([...model.possible(2, 'tempo')]).toEqual(['100', null]);
    model.write(2, 'tempo', '80');
    expect([...model.possible(2, 'tempo')]).toEqual(['80']);
    expect([...model.possible(2, 'title')]).toEqual([null]);
  });
});

describe('up to six people, cut off and joined at random', () => {
  const total: Happened = { edits: 0, cuts: 0, merges: 0, reloads: 0 };
  const tell = (happened: Happened) => {
    total.edits += happened.edits;
    total.cuts += happened.cuts;
    total.merges += happened.merges;
    total.reloads += happened.reloads;
  };

  it('have one song that is as the model has it', () => {
    fc.assert(mergesAsStated(SONG_ROOM, 60, tell), { numRuns: 40 });
  });

  it('have one band that is as the model has it', () => {
    fc.assert(mergesAsStated(BAND_ROOM, 60, tell), { numRuns: 30 });
    expect(total.edits).toBeGreaterThan(200);
    expect(total.cuts).toBeGreaterThan(20);
    expect(total.reloads).toBeGreaterThan(20);
  });
});

describe('a fill', () => {
  it('is kept as it was settled, whatever up to six people do around it at once', () => {
    const told = new Set<string>();
    fc.assert(
      fillSurvives(undefined, (what) => told.add(what)),
      { numRuns: 80 },
    );
    expect([...told].sort()).toEqual(['kept aside', 'sounds']);
  });

  it('sounds after its note still where a line is put in, a bar in it deleted, the song transposed, its phrase split, all at once', () => {
    fc.assert(
      fillSurvives(HARMLESS, (what) => expect(what).toBe('sounds')),
      { numRuns: 40 },
    );
  });
});

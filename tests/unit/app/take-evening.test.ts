import { describe, expect, it } from 'vitest';
import type { Missing } from '../../../app/set/take/device';
import type { EveningNote } from '../../../app/set/take/note';
import { orderChanges, shellIn, stampOf, unwanted } from '../../../app/set/take/wanted';
import { changesIn, hereInWords, isWhole, shareOf, stayInWords } from '../../../app/set/take/words';
import { tooMany } from '../../../app/sw/pages';

const song = (id: string, changes: readonly string[] = []) => ({ id, title: id, stamp: '1', changes });
const note = (more: Partial<EveningNote> = {}): EveningNote => ({
  setId: 's',
  playerIds: ['a'],
  takenAt: 0,
  checkedAt: 1,
  isInBand: true,
  before: [song('Anvil'), song('Dairy')],
  songs: [song('Anvil'), song('Dairy')],
  pages: [],
  documents: [],
  build: '',
  ...more,
});
const NOTHING: Missing = { songs: [], list: false };
const nameOf = () => 'Ann';

describe('pages that are cleared away', () => {
  it('are those that came first, never those of an evening, which do not count', () => {
    expect(tooMany(['a', 'b', 'c', 'd'], 2, new Set())).toEqual(['a', 'b']);
    expect(tooMany(['a', 'b', 'c', 'd'], 2, new Set(['a', 'd']))).toEqual([]);
    expect(tooMany(['a', 'b', 'c', 'd'], 1, new Set(['a', 'd']))).toEqual(['b']);
  });

  it('go with an evening unless another needs them', () => {
    expect(unwanted(['a', 'b', 'c'], ['a'], [['c'], []])).toEqual(['b']);
  });
});

describe('what is told of an evening', () => {
  it('is that it is here, or what of it is not', () => {
    expect(hereInWords(note(), NOTHING, nameOf)[0]).toMatch(
      /^On this device since .+: the set list, 2 songs, and the parts and stand pages of Ann\.$/,
    );
    const missing: Missing = { songs: ['Dairy'], list: true };
    expect(hereInWords(note(), missing, nameOf)[0]).toBe(
      'Not all of it is on this device: one song of 2 is here; the set list and Dairy are missing.',
    );
    expect(isWhole(note(), missing)).toBe(false);
    expect(isWhole(note({ checkedAt: null }), NOTHING)).toBe(false);
  });

  it('is what changed since, the set first', () => {
    expect(changesIn(note())).toEqual([]);
    expect(
      changesIn(note({ songs: [song('Dairy', ['the tempo is 60 now']), song('Anvil'), song('Gate')] })),
    ).toEqual([
      { where: 'The set list', sentences: ['Gate came in.', 'The songs are in another order.'] },
      { where: 'Dairy', sentences: ['the tempo is 60 now'] },
    ]);
    expect(orderChanges([song('Anvil'), song('Dairy')], [song('Dairy')])).toEqual(['Anvil was taken out.']);
  });

  it('is what stays though it was taken off', () => {
    expect(stayInWords([])).toBe('The evening is off this device.');
    expect(stayInWords(['Anvil', 'Gate'])).toContain('but for Anvil and Gate, which have edits');
  });

  it('never goes back while it comes', () => {
    const steps = [
      shareOf({ what: 'songs', done: 0, of: 2 }),
      shareOf({ what: 'songs', done: 2, of: 2 }),
      shareOf({ what: 'pages', done: 1, of: 9 }),
      shareOf({ what: 'pages', done: 9, of: 9 }),
      shareOf({ what: 'letters', done: 9, of: 9 }),
    ];
    expect([...steps].sort((a, b) => a - b)).toEqual(steps);
    expect(steps.at(-1)).toBeLessThan(1);
  });
});

describe('signs', () => {
  // Source, from memory: the published vectors of FNV-1a at 32 bits (Fowler, Noll, Vo): '' and 'a' and 'foobar'.
  it('are those of FNV-1a', () => {
    expect(['', 'a', 'foobar'].map(stampOf)).toEqual(['811c9dc5', 'e40c292c', 'bf9cf968']);
  });

  it('are found where a page names what it needs, each once', () => {
    const html =
      '<link href="/_next/static/chunks/a~1.css"><script src="/_next/static/chunks/b.js"></script>"/_next/static/chunks/b.js"<img src="/x.png">';
    expect(shellIn(html)).toEqual(['/_next/static/chunks/a~1.css', '/_next/static/chunks/b.js']);
  });
});

import { describe, expect, it } from 'vitest';
import { cacheFor, HOME_PAGES, isPagesOf, pagesOf, readKeepMessage } from '../../../app/sw/names';

describe('a page that is kept', () => {
  it('lies with the pages of its band, and nowhere where it is of none', () => {
    expect(cacheFor('/')).toBe(HOME_PAGES);
    expect(cacheFor('/band/abc')).toBe(pagesOf('abc'));
    expect(cacheFor('/band/abc/song/d-1/part/p_2')).toBe(pagesOf('abc'));
    for (const path of ['/enter', '/api/session', '/band', '/band/', '/band/a b', '/bands/abc', '/band/../x'])
      expect(cacheFor(path)).toBe(null);
  });

  it('tells of which band it is', () => {
    expect(isPagesOf(pagesOf('abc'))).toBe('abc');
    expect(isPagesOf(HOME_PAGES)).toBe(null);
    expect(isPagesOf('breathmark shell')).toBe(null);
    expect(isPagesOf(pagesOf('a b'))).toBe(null);
  });

  it('is asked for by a message that is read like any input', () => {
    const message = { kind: 'keep', path: '/', loaded: ['a', 'b'] } as const;
    expect(readKeepMessage(message)).toEqual(message);
    expect(readKeepMessage({ ...message, loaded: ['a', 1, null] })?.loaded).toEqual(['a']);
    for (const bad of [null, 'keep', {}, { ...message, path: 1 }, { ...message, loaded: 'a' }])
      expect(readKeepMessage(bad)).toBe(null);
  });
});

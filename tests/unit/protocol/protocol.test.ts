import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bandDocument,
  byCloseCode,
  closeCode,
  isId,
  type PageData,
  pageData,
  parseDocument,
  providePageData,
  type RefusalCode,
  songDocument,
  statusOf,
  whyNot,
} from '../../../lib/protocol';

const id = fc.stringMatching(/^[0-9A-Za-z_-]{1,80}$/);

describe('names of documents', () => {
  it('are read as they are made', () => {
    fc.assert(
      fc.property(id, id, (bandId, songId) => {
        expect(parseDocument(bandDocument(bandId))).toEqual({ kind: 'band', bandId });
        expect(parseDocument(songDocument(bandId, songId))).toEqual({ kind: 'song', bandId, songId });
      }),
    );
  });

  it('are nothing else', () => {
    for (const name of [
      '',
      'band',
      'band.',
      'band.a.b',
      'song.a',
      'song.a.',
      'song.a.b.c',
      'song.a/b.c',
      'set.a',
    ])
      expect(parseDocument(name)).toBeNull();
    fc.assert(
      fc.property(fc.string(), (name) => {
        const read = parseDocument(name);
        if (read) expect(isId(read.bandId)).toBe(true);
      }),
    );
    expect(isId('a'.repeat(81))).toBe(false);
  });
});

describe('the catalogue', () => {
  const onSockets: readonly RefusalCode[] = [
    'no session',
    'session over',
    'not your band',
    'players only',
    'not found',
    'too large',
    'too often',
    'bad frame',
    'not loaded',
    'not kept',
    'too slow',
    'stopping',
    'our fault',
  ];

  it('gives each refusal on a socket a code of its own, and reads it back', () => {
    expect(new Set(onSockets.map(closeCode)).size).toBe(onSockets.length);
    for (const code of onSockets) expect(byCloseCode(closeCode(code))?.code).toBe(code);
    expect(byCloseCode(1006)).toBeNull();
    expect(byCloseCode(1000)).toBeNull();
  });

  // RFC 6455, section 7.4.2, from memory: 4000 to 4999 are for private use. The provider of y-websocket stops at 44xx.
  it('ends the page’s attempts only where another one cannot help', () => {
    const final = onSockets.filter((code) => closeCode(code) >= 4400 && closeCode(code) < 4500);
    expect(final).toEqual([
      'no session',
      'session over',
      'not your band',
      'players only',
      'not found',
      'too large',
      'bad frame',
    ]);
  });

  it('says what, where and what to do, within what a close frame can carry', () => {
    for (const code of onSockets) {
      const { what, where, mend } = whyNot(code, 'bar 3');
      expect(where).toBe('bar 3');
      expect(mend).toMatch(/\.$/);
      // RFC 6455, section 5.5, from memory: a control frame carries at most 125 bytes, two of them the code.
      expect(Buffer.byteLength(what)).toBeLessThanOrEqual(123);
      expect(statusOf(code)).toBeGreaterThanOrEqual(400);
    }
  });
});

describe('the port of first data', () => {
  it('throws until a server fills it, and is the same for everybody after', () => {
    expect(() => pageData()).toThrow('no server');
    const refuseAll: PageData = {
      session: async () => null,
      band: async () => ({ ok: false, error: whyNot('no session') }),
      song: async () => ({ ok: false, error: whyNot('no session') }),
    };
    providePageData(refuseAll);
    expect(pageData()).toBe(refuseAll);
  });
});

import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import { KEPT_FOR_DAYS, newSongDocument, readSong, tidy } from '@/lib/document';
import { MIX, usualSong, workOn } from './work';

const DAY = 24 * 3600 * 1000;
const EDITS = 10_000;
/**
 * What an edit may leave behind, in bytes, when nothing of it is read any more. Yjs keeps a stub for each value that was overwritten (10
 * bytes: the writer's 32-bit number, its clock, and that it is gone) or taken out from under a key of its own (26 bytes: the key's 14 signs and
 * the map's name besides). In this mix every fifth edit is of the second kind, and some edits write twice: 13 to 14 bytes were measured.
 */
const LEFT_BY_AN_EDIT = 16;
/** The whole document: what is read, and what is left behind. A page fetches this much at most. */
const WHOLE = 240_000;

describe('a song’s document', () => {
  it('stays small over 10,000 edits of ordinary work, and tidying makes it smaller', () => {
    expect(Object.values(MIX).reduce((sum, each) => sum + each, 0)).toBe(100);
    const sizes: number[] = [];
    const doc = workOn(usualSong(), EDITS, 1, (done, at) => {
      if (done % (EDITS / 4) === 0) sizes.push(Y.encodeStateAsUpdate(at).length);
    });
    const { song, broken } = readSong(doc);
    expect(broken).toEqual([]);
    const fresh = Y.encodeStateAsUpdate(newSongDocument(song)).length;
    const whole = Y.encodeStateAsUpdate(doc).length;
    tidy(doc, 0);
    const { cleaned } = tidy(doc, KEPT_FOR_DAYS * DAY);
    const tidied = Y.encodeStateAsUpdate(doc).length;
    console.log(
      `${EDITS} edits: ${whole} bytes (after each quarter: ${sizes.join(', ')}); what is read of it, written anew: ${fresh}; ` +
        `left behind by an edit: ${((whole - fresh) / EDITS).toFixed(1)}; after tidying up ${cleaned} things: ${tidied}`,
    );
    expect(readSong(doc).song).toEqual(song);
    expect(song.settled.length).toBeGreaterThan(30);
    expect(whole).toBeGreaterThan(fresh);
    expect(whole).toBeLessThan(WHOLE);
    expect(whole - fresh).toBeLessThan(LEFT_BY_AN_EDIT * EDITS);
    expect(tidied).toBeLessThan(whole);
  });
});

import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoBand } from '../../server/demo';
import { printPart } from '../../server/print';
import { readBytes } from '../unit/exchange/round-trip';
import { faultsIn, hasPoppler, run } from './poppler';

// Reference library: poppler (pdfinfo, pdffonts, pdftotext).
if (!hasPoppler) console.log('parts as PDF by poppler: not run, poppler is not here');

let folder = '';
const files: { name: string; file: string; paper: 'a4' | 'letter'; pages: number }[] = [];

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-own-'));
  const { band, songs } = await demoBand();
  const madeAt = new Date(Date.UTC(2026, 0, 2));
  for (const song of songs)
    for (const player of band.players)
      for (const paper of ['a4', 'letter'] as const) {
        const pdf = await printPart({ band, song, player, paper, madeAt, asOf: '2 January 2026' });
        const file = join(folder, `${files.length}.pdf`);
        writeFileSync(file, pdf.bytes);
        files.push({ name: `${song.title}, ${player.name}, ${paper}`, file, paper, pages: pdf.pages });
      }
}, 120_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe.skipIf(!hasPoppler)('a printed part', () => {
  it('has the pages and the paper that were asked for', () => {
    // Source: ISO 216 (A4 is 210 × 297 mm); Letter is 8.5 × 11 inches. 72 points to the inch.
    const sizes = { a4: [595.28, 841.89], letter: [612, 792] } as const;
    for (const { name, file, paper, pages } of files) {
      const info = run('pdfinfo', file);
      const [, width, height] = /Page size: +([\d.]+) x ([\d.]+)/.exec(info) ?? [];
      expect(Math.abs(Number(width) - sizes[paper][0]), name).toBeLessThan(0.1);
      expect(Math.abs(Number(height) - sizes[paper][1]), name).toBeLessThan(0.1);
      expect(Number(/Pages: +(\d+)/.exec(info)?.[1]), name).toBe(pages);
    }
  });

  it('carries every font that it uses', () => {
    for (const { name, file } of files) {
      const fonts = run('pdffonts', file)
        .split('\n')
        .slice(2)
        .filter((line) => line !== '');
      expect(fonts.length, name).toBeGreaterThan(2);
      // The columns of `emb sub uni` before the object's number.
      for (const font of fonts) expect(font, name).toMatch(/ yes +yes +yes +\d+ +\d+$/);
    }
  });

  it('reads in order: head, order, words line by line, foot', () => {
    const [first] = files;
    const text = run('pdftotext', '-layout', first?.file ?? '', '-');
    const places = ['North Side Snow', 'Kick-off', 'Verse 1', 'hill', 'Chorus 1', 'page 1 of'].map((word) =>
      text.indexOf(word),
    );
    expect(places.every((place) => place >= 0)).toBe(true);
    expect(places.indexOf(Math.min(...places))).toBe(0);
    expect(text.indexOf('hill')).toBeGreaterThan(text.indexOf('Verse 1'));
  });

  it('has nothing over the edge of the paper, and no two words of it over one another', () => {
    let looked = 0;
    const beyond: string[] = [];
    const over: string[] = [];
    for (const { name, file } of files) {
      const faults = faultsIn(file);
      looked += faults.looked;
      beyond.push(...faults.beyond.map((fault) => `${name}, ${fault}`));
      over.push(...faults.over.map((fault) => `${name}, ${fault}`));
    }
    expect(beyond).toEqual([]);
    expect(over).toEqual([]);
    console.log(`parts as PDF: ${files.length} parts, ${looked} words, none over another`);
  });
});

describe('signs that a page may hold', () => {
  const SONG = 'X:1\nT:%T\nM:4/4\nL:1/4\nK:G\n"G"G A B c|d4|\nw: %W\n';
  const print = async (title: string, words: string) => {
    const song = await readBytes('a.abc', SONG.replace('%T', title).replace('%W', words));
    const { band } = await demoBand();
    const [player] = band.players;
    if (!player) throw new Error('no player');
    return printPart({ band, song, player, paper: 'a4', madeAt: new Date(0), asOf: '1970' });
  };

  it('of Latin, Cyrillic and Greek scripts are drawn', async () => {
    expect((await print('Łódź é ñ', 'Při-jde už ma-ma zas')).missing).toEqual([]);
    expect((await print('Песня', 'Ой ты мой мой брат')).missing).toEqual([]);
    expect((await print('Ωδή', 'Θε-ά καὶ φῶς')).missing).toEqual([]);
  });

  it('of others are named, not dropped in silence', async () => {
    expect((await print('歌', 'la la la la')).missing).toEqual(['歌']);
  });
});

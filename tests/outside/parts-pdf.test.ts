import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoBand } from '../../server/demo';
import { printPart } from '../../server/print';
import { readBytes } from '../unit/exchange/round-trip';

// Reference library: poppler (pdfinfo, pdffonts, pdftotext).
const poppler = spawnSync('pdfinfo', ['-v']).error === undefined;
if (!poppler) console.log('parts as PDF by poppler: not run, poppler is not here');

interface Word {
  readonly text: string;
  readonly page: number;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

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

const run = (command: string, ...args: string[]): string => {
  const { stdout, status, stderr } = spawnSync(command, args, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`${command}: ${stderr}`);
  return stdout;
};

function wordsIn(file: string): { words: Word[]; width: number; height: number } {
  const xml = run('pdftotext', '-bbox', file, '-');
  const words: Word[] = [];
  let page = 0;
  let [width, height] = [0, 0];
  for (const line of xml.split('\n')) {
    const sheet = /<page width="([\d.]+)" height="([\d.]+)"/.exec(line);
    if (sheet) {
      page += 1;
      [width, height] = [Number(sheet[1]), Number(sheet[2])];
    }
    const word =
      /<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)<\/word>/.exec(line);
    if (word) {
      const [left = 0, top = 0, right = 0, bottom = 0] = word.slice(1, 5).map(Number);
      words.push({ text: word[5] ?? '', page, left, top, right, bottom });
    }
  }
  return { words, width, height };
}

describe.skipIf(!poppler)('a printed part', () => {
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
      const { words, width, height } = wordsIn(file);
      for (const { text, left, top, right, bottom } of words) {
        const inside = left >= 0 && top >= 0 && right <= width && bottom <= height;
        if (!inside) beyond.push(`${name}: ${text}`);
      }
      // The music face's boxes are as high as its tallest sign: what is written in letters and figures is compared.
      const written = words.filter(({ text }) => /^[\p{L}\p{N}’'.,;:!?()/-]+$/u.test(text));
      written.sort((a, b) => a.page - b.page || a.left - b.left);
      for (const [i, a] of written.entries())
        for (let k = i + 1; k < written.length; k++) {
          const b = written[k];
          if (!b || b.page !== a.page || b.left > a.right) break;
          // A box is as high as the face's line; letters fill its middle half.
          const overlapX = Math.min(a.right, b.right) - Math.max(a.left, b.left);
          const overlapY = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
          const least = Math.min(a.bottom - a.top, b.bottom - b.top);
          if (overlapX > 0.8 && overlapY > least * 0.5) over.push(`${name}: "${a.text}" and "${b.text}"`);
        }
      looked += written.length;
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

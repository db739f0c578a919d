import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PAPERS, type Paper } from '../../lib/parts';
import type { Song } from '../../lib/song';
import { demoBand } from '../../server/demo';
import { type Pdf, printCrib, printPart, printStudent } from '../../server/print';
import { readBytes } from '../unit/exchange/round-trip';
import { faultsIn, hasPoppler, run, wordsIn } from './poppler';

// Reference library: poppler (pdfinfo, pdffonts, pdftotext).
if (!hasPoppler) console.log('parts as PDF by poppler: not run, poppler is not here');

const TUNES = 'tests/tunes';
let folder = '';
interface Printed {
  readonly name: string;
  readonly file: string;
  readonly paper: Paper;
  readonly pages: number;
}
/** Whole parts, by song; and all else that is printed of a song. */
const parts: (Printed & { readonly song: Song })[] = [];
const others: Printed[] = [];
const all = () => [...parts, ...others];

function kept(name: string, paper: Paper, pdf: Pdf): Printed {
  const file = join(folder, `${all().length}.pdf`);
  writeFileSync(file, pdf.bytes);
  return { name: `${name}, ${paper}`, file, paper, pages: pdf.pages };
}

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-own-'));
  const { band, songs } = await demoBand();
  const dates = { band, madeAt: new Date(Date.UTC(2026, 0, 2)), asOf: '2 January 2026' };
  for (const song of songs) {
    for (const paper of PAPERS) {
      const common = { ...dates, song, paper };
      for (const player of band.players) {
        const name = `${song.title}, ${player.name}`;
        parts.push({ ...kept(name, paper, await printPart({ ...common, player })), song });
        others.push(kept(`${name}, crib`, paper, await printCrib({ ...common, who: player })));
        for (const density of ['cues', 'one page'] as const)
          others.push(
            kept(
              `${name}, ${density}`,
              paper,
              await printPart({ ...common, player, density, chords: 'degrees' }),
            ),
          );
      }
      others.push(
        kept(
          `${song.title}, crib`,
          paper,
          await printCrib({ ...common, who: { newOn: 'resonator guitar' } }),
        ),
      );
    }
    for (const { id } of song.settled) {
      const sheet = await printStudent({ ...dates, song, paper: 'a4', answerId: id });
      if (sheet !== null) others.push(kept(`${song.title}, to practise`, 'a4', sheet));
    }
  }
  const tunes = readdirSync(TUNES).filter((name) => name.endsWith('.abc'));
  for (const [i, name] of tunes.entries()) {
    const song = await readBytes(name, readFileSync(join(TUNES, name)));
    const player = band.players[i % band.players.length];
    const paper = PAPERS[i % 2] ?? 'a4';
    if (player === undefined) continue;
    const common = { ...dates, song, paper };
    others.push(
      kept(`${name}, one page`, paper, await printPart({ ...common, player, density: 'one page' })),
    );
    others.push(kept(`${name}, crib`, paper, await printCrib({ ...common, who: { newOn: 'banjo' } })));
  }
}, 180_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/**
 * A PDF's words as eyes go over them: page by page, row by row, from left to right; without spaces, since syllables of a word stand so
 * near that they may be taken for one.
 */
function readAcross(file: string): string {
  const { words } = wordsIn(file);
  const inRows = words.toSorted(
    (a, b) => a.page - b.page || Math.round((a.bottom - b.bottom) / 4) || a.left - b.left,
  );
  return inRows
    .map(({ text }) =>
      text
        .replace(/&(?:apos|#39);/g, "'")
        .replaceAll('&quot;', '"')
        .replaceAll('&amp;', '&'),
    )
    .join('');
}

describe.skipIf(!hasPoppler)('a printed part', () => {
  it('has the pages and the paper that were asked for', () => {
    // Source: ISO 216 (A4 is 210 × 297 mm); Letter is 8.5 × 11 inches. 72 points to the inch.
    const sizes = { a4: [595.28, 841.89], letter: [612, 792] } as const;
    for (const { name, file, paper, pages } of all()) {
      const info = run('pdfinfo', file);
      const [, width, height] = /Page size: +([\d.]+) x ([\d.]+)/.exec(info) ?? [];
      expect(Math.abs(Number(width) - sizes[paper][0]), name).toBeLessThan(0.1);
      expect(Math.abs(Number(height) - sizes[paper][1]), name).toBeLessThan(0.1);
      expect(Number(/Pages: +(\d+)/.exec(info)?.[1]), name).toBe(pages);
    }
  });

  it('carries every font that it uses', () => {
    for (const { name, file } of all()) {
      const fonts = run('pdffonts', file)
        .split('\n')
        .slice(2)
        .filter((line) => line !== '');
      expect(fonts.length, name).toBeGreaterThan(2);
      // The columns of `emb sub uni` before the object's number.
      for (const font of fonts) expect(font, name).toMatch(/ yes +yes +yes +\d+ +\d+$/);
    }
  });

  it('reads in order: head, order, every word of every pass, foot', () => {
    for (const { name, file, song } of parts) {
      const text = run('pdftotext', file, '-');
      const signs = readAcross(file);
      // What is sung, pass by pass, straight from the song: a syllable is a word on paper, with its hyphen.
      const bars = new Map(song.sections.flatMap(({ id, bars }) => bars.map((bar) => [bar.id, id] as const)));
      const lead = song.voices[0]?.id;
      const sung = song.passes.flatMap(({ sectionId, stanza }) =>
        stanza === null
          ? []
          : song.notes
              .filter(({ voiceId, barId, stanzas }) => {
                const inStanza = stanzas.length === 0 || stanzas.includes(stanza);
                return voiceId === lead && bars.get(barId) === sectionId && inStanza;
              })
              .flatMap(({ syllables }) => syllables[stanza - 1] ?? [])
              .map(({ text, joins }) => (joins ? `${text}-` : text)),
      );
      expect(sung.length, name).toBeGreaterThan(100);
      let at = 0;
      for (const word of sung) {
        const found = signs.indexOf(word, at);
        // Between one word and the next stand at most a line's chords, a break's, a heading, a tablature and the foot of a page; before the first, what backup is made of.
        expect(found, `${name}: “${word}” after “${signs.slice(at - 30, at)}”`).toBeGreaterThanOrEqual(at);
        if (at > 0) expect(found - at, `${name}: before “${word}”`).toBeLessThan(900);
        at = found + word.length;
      }
      expect(text.indexOf(song.title), name).toBe(0);
      expect(text, name).toMatch(/page 1 of \d/);
    }
  });

  it('goes on one page where one page is asked for, and a crib or a fill to practise does too', () => {
    const short = others.filter(({ name }) => /one page|crib|to practise/.test(name));
    expect(short.length).toBeGreaterThan(60);
    for (const { name, pages } of short) expect(pages, name).toBe(1);
  });

  it('says in a sheet to practise nothing of the band, and leads nowhere', async () => {
    const { band } = await demoBand();
    for (const { name, file } of others.filter(({ name }) => name.includes('to practise'))) {
      const text = run('pdftotext', file, '-') + run('pdfinfo', file);
      for (const one of [
        band.name,
        band.id.length > 8 ? band.id : band.name,
        ...band.players.map((player) => player.name),
      ])
        expect(text, name).not.toContain(one);
      expect(run('pdfinfo', '-url', file).split('\n').slice(1).join(''), name).toBe('');
      expect(text, name).not.toMatch(/https?:/);
    }
  });

  it('has nothing over the edge of the paper, and no two words of it over one another', () => {
    let looked = 0;
    const beyond: string[] = [];
    const over: string[] = [];
    for (const { name, file } of all()) {
      const faults = faultsIn(file);
      looked += faults.looked;
      beyond.push(...faults.beyond.map((fault) => `${name}, ${fault}`));
      over.push(...faults.over.map((fault) => `${name}, ${fault}`));
    }
    expect(beyond).toEqual([]);
    expect(over).toEqual([]);
    console.log(`parts as PDF: ${all().length} files, ${looked} words, none over another`);
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

  it('of others are named, not dropped in silence, with where they stand', async () => {
    expect((await print('歌', 'la la la la')).missing).toEqual(['歌']);
    const { bytes } = await print('Song', 'la 歌 שיר la');
    const file = join(folder, 'missing.pdf');
    writeFileSync(file, bytes);
    if (!hasPoppler) return;
    const text = run('pdftotext', file, '-').replace(/\s+/g, ' ');
    // Source, from memory: the Unicode Standard, code charts: 歌 is U+6B4C (CJK), ש is U+05E9 (Hebrew).
    expect(text).toMatch(/Chinese characters \(U\+6B4C\) that stand in [^:]*bar 1: /);
    expect(text).toMatch(/Hebrew letters \(U\+05E9, [^)]*\) that stand in [^:]*bar 1: /);
    expect(text).toContain('Print from the page instead');
  });
});

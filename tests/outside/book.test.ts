import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { DENSITIES } from '../../lib/parts';
import type { Band, Player, SetList, Song } from '../../lib/song';
import { EveningBooks } from '../../server/print';
import { eveningOf } from '../bench/evenings';
import { faultsIn, hasPoppler, run } from './poppler';

// Reference library: poppler (pdfinfo, pdffonts, pdftotext).
if (!hasPoppler) console.log('evening books by poppler: not run, poppler is not here');

const SONGS = 6;
let folder = '';
let band: Band;
let set: SetList;
let songs: readonly Song[];
const files: { name: string; file: string; player: Player; pages: number }[] = [];

function booksOf(
  density: (typeof DENSITIES)[number],
  some: { band?: Band; set?: SetList; songs?: readonly Song[] } = {},
) {
  return new EveningBooks({
    band,
    set,
    songs,
    ...some,
    paper: 'letter',
    density,
    madeAt: new Date(Date.UTC(2026, 0, 2)),
    asOf: '2026-01-02',
  });
}

const kept = (name: string, bytes: Uint8Array): string => {
  const file = join(folder, `${name}.pdf`);
  writeFileSync(file, bytes);
  return file;
};
const textOf = (file: string) => run('pdftotext', '-layout', file, '-').split('\f').slice(0, -1);

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-own-'));
  ({ band, set, songs } = await eveningOf(SONGS));
  for (const density of DENSITIES) {
    const books = booksOf(density);
    for (const player of band.players) {
      const pdf = await books.book(player);
      const name = `${density} ${player.id}`;
      files.push({ name, file: kept(name, pdf.bytes), player, pages: pdf.pages });
    }
  }
}, 120_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe.skipIf(!hasPoppler)('an evening book', () => {
  it('has nothing over the edge, no two words over one another, its fonts with it, and its pages', () => {
    let looked = 0;
    for (const { name, file, pages } of files) {
      const faults = faultsIn(file);
      looked += faults.looked;
      expect(faults.beyond, name).toEqual([]);
      expect(faults.over, name).toEqual([]);
      expect(Number(/Pages: +(\d+)/.exec(run('pdfinfo', file))?.[1]), name).toBe(pages);
      const fonts = run('pdffonts', file)
        .split('\n')
        .slice(2)
        .filter((line) => line !== '');
      expect(fonts.length, name).toBeGreaterThan(2);
      // The columns of `emb sub uni` before the object's number.
      for (const font of fonts) expect(font, name).toMatch(/ yes +yes +yes +\d+ +\d+$/);
    }
    console.log(`evening books: ${files.length} books, ${looked} words, none over another`);
  });

  it('goes through the set list, each song under its number with its own pages, and the list for the floor', () => {
    for (const { name, file } of files.slice(0, band.players.length)) {
      const pages = textOf(file);
      expect(pages[0], name).toContain(set.name);
      expect(pages[0], name).toContain('By title');
      for (const song of songs) expect(pages[0], name).toContain(song.title);
      const labels = pages.map(
        (page) => /song (\d+) · page (\d+) of (\d+)/.exec(page)?.slice(1).map(Number) ?? null,
      );
      // Each song's pages count from 1 to as many as it has, one song after another.
      let [song, page, of] = [0, 0, 0];
      for (const label of labels.slice(1, -2)) {
        if (page === of) [song, page, of] = [song + 1, 0, label?.[2] ?? 0];
        page += 1;
        expect(label, name).toEqual([song, page, of]);
      }
      expect(song, name).toBe(SONGS);
      expect(page, name).toBe(of);
      // Two sets: a page each.
      expect(pages.at(-2), name).toMatch(/floor list, set 1/);
      expect(pages.at(-1), name).toMatch(/floor list, set 2/);
    }
  });

  it('says at the head of a song what the player has to change, by the frets of two capos', () => {
    const guitar = files[0];
    const pages = textOf(guitar?.file ?? '');
    // Fixture known by construction: the guitar's capo rises by one from song to song.
    const capos = songs.map(
      (song) => song.settings.find(({ playerId }) => playerId === guitar?.player.id)?.capo,
    );
    expect(new Set(capos).size).toBeGreaterThan(2);
    for (const number of [2, 6]) {
      const head = pages.find((page) => page.includes(`song ${number} · page 1 of`)) ?? '';
      const capo = capos[number - 1] ?? 0;
      expect(head.replace(/\s+/g, ' ')).toMatch(
        capo === 0 ? /[Cc]apo off/ : new RegExp(`[Cc]apo to ${capo}`),
      );
    }
    expect(pages.find((page) => page.includes('song 4 · page 1 of'))).toContain('After the break.');
  });

  it('can be jumped about in: songs and their passes are bookmarks', async () => {
    const [player] = band.players;
    if (player === undefined) throw new Error('no player');
    const { bytes } = await booksOf('whole').book(player);
    // ISO 32000, 12.3.3: an outline item has a title, here as a hexadecimal or plain string; from memory.
    const titles =
      Buffer.from(bytes)
        .toString('latin1')
        .match(/\/Title /g) ?? [];
    const passes = songs.reduce((sum, song) => sum + song.passes.length, 0);
    // One more is the document's own.
    expect(titles.length).toBe(passes + SONGS + 3);
  });
});

describe.skipIf(!hasPoppler)('a book of what nobody wished for', () => {
  const one = () => {
    const [player] = band.players;
    if (player === undefined) throw new Error('no player');
    return player;
  };

  it('no song, one song, a song that is gone', async () => {
    const empty = await booksOf('whole', { set: { ...set, entries: [] } }).book(one());
    expect(textOf(kept('none', empty.bytes)).join('')).toContain('There is no song in this set yet.');
    const single = await booksOf('whole', { set: { ...set, entries: set.entries.slice(0, 1) } }).book(one());
    expect(textOf(kept('one', single.bytes)).length).toBeGreaterThan(2);
    const gone = await booksOf('whole', { songs: songs.slice(1) }).book(one());
    expect(textOf(kept('gone', gone.bytes)).join('')).not.toContain('song 1 · page 1');
  });

  it('any sign in names, names without an end, words in many scripts', async () => {
    const long = 'Supercalamitous'.repeat(30);
    const names = [long, 'A/B\\C:"D" <E>', 'Ѩжица Ωδή Łódź', '\u202Eoly\u0000x', '歌う 노래 שיר'];
    const named = songs.map((song, i) => ({ ...song, title: names[i % names.length] ?? '' }));
    const players = band.players.map((player, i) => ({
      ...player,
      name: (names[(i + 1) % names.length] ?? '').slice(0, 80),
    }));
    const strange: Band = { ...band, name: long.slice(0, 120), players };
    for (const density of DENSITIES) {
      const books = booksOf(density, {
        band: strange,
        songs: named,
        set: { ...set, name: long.slice(0, 120) },
      });
      for (const player of players.slice(0, 2)) {
        const pdf = await books.book(player);
        const file = kept(`strange ${density} ${player.id}`, pdf.bytes);
        const { beyond, over } = faultsIn(file);
        expect(beyond).toEqual([]);
        expect(over).toEqual([]);
        expect(textOf(file)[0]).toContain('U+6B4C');
      }
    }
  });

  it('a fill of 200 notes', async () => {
    const [song] = songs;
    const player = band.players.find(({ id }) =>
      song?.settled.some(({ holding }) => holding.kind === 'fill' && holding.playerId === id),
    );
    if (song === undefined || player === undefined) throw new Error('no fill');
    const settled = song.settled.map((answer) => {
      const { holding, extent } = answer;
      if (holding.kind !== 'fill' || holding.playerId !== player.id) return answer;
      const [note] = holding.fill.notes;
      if (note === undefined) return answer;
      const notes = Array.from({ length: 200 }, (_, i) => ({
        ...note,
        tick: extent.from + i * 20,
        ticks: 20,
      }));
      return { ...answer, holding: { ...holding, fill: { ...holding.fill, notes } } };
    });
    const pdf = await booksOf('whole', { songs: [{ ...song, settled }, ...songs.slice(1)] }).book(player);
    expect(faultsIn(kept('fill', pdf.bytes)).beyond).toEqual([]);
  });
});

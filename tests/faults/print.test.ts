import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { itemAt } from '../../lib/base';
import { DENSITIES } from '../../lib/parts';
import { EveningModel, eveningOfSet, orderSet, runningClock, setSongOf } from '../../lib/sets';
import {
  type Answer,
  type Band,
  type FillNote,
  type Player,
  type SetEntry,
  type SetList,
  type Song,
  USUAL_ENTRY,
  USUAL_SONG,
} from '../../lib/song';
import { demoBand } from '../../server/demo';
import {
  EveningBooks,
  fileNameOf,
  freeName,
  type Pdf,
  printCrib,
  printPart,
  printStudent,
} from '../../server/print';
import { faultsIn, hasPoppler, run } from '../outside/poppler';
import { plainSong } from './songs';

// Reference library: poppler (pdfinfo, pdftotext): it reads what was printed, and shares nothing with what printed it.
if (!hasPoppler) console.log('print faults by poppler: not run, poppler is not here');

let folder = '';
let band: Band;
let demo: Song;
let count = 0;
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'breathmark-faults-'));
  const given = await demoBand();
  band = given.band;
  demo = itemAt(given.songs, 0);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const dates = { paper: 'a4', madeAt: new Date(0), asOf: '1970-01-01' } as const;
const firstPlayer = (): Player => itemAt(band.players, 0);

/** What stands on the paper, page by page; and nothing of it is beyond the edge or over something else. */
function readFrom(pdf: Pdf): readonly string[] {
  const file = join(folder, `${++count}.pdf`);
  writeFileSync(file, pdf.bytes);
  const { beyond, over } = faultsIn(file);
  expect(beyond).toEqual([]);
  expect(over).toEqual([]);
  const pages = run('pdftotext', '-layout', file, '-').split('\f').slice(0, -1);
  expect(pages.length).toBe(pdf.pages);
  // What no font has is never passed over in silence.
  expect(/No font of this print has/.test(pages.join(' ')), `missing: ${pdf.missing.join(' ')}`).toBe(
    pdf.missing.length > 0,
  );
  return pages;
}
const flat = (pages: readonly string[]) => pages.join(' ').replace(/\s+/g, ' ');

/** A song of one bar for each verse, and so many verses. */
function versesOf(verses: number): Song {
  const plain = plainSong('long');
  const [note] = plain.notes;
  const [pass] = plain.passes;
  if (!note || !pass) throw new Error('no note');
  const syllables = Array.from({ length: verses }, (_, i) => ({
    text: `word${i + 1}`,
    joins: false,
    endsLine: true,
  }));
  const passes = Array.from({ length: verses }, (_, i) => ({ ...pass, id: `p${i + 1}`, stanza: i + 1 }));
  return { ...plain, passes, notes: [{ ...note, syllables }] };
}

/** The demo's song with each fill of a player's made of so many notes. */
function withNotes(many: number): { song: Song; player: Player; answer: Answer } {
  for (const player of band.players) {
    const answer = demo.settled.find(
      ({ holding }) => holding.kind === 'fill' && holding.playerId === player.id,
    );
    if (answer?.holding.kind !== 'fill') continue;
    const { holding, extent } = answer;
    const step = (extent.to - extent.from) / many;
    const [like] = holding.fill.notes;
    if (like === undefined) continue;
    const notes = Array.from(
      { length: many },
      (_, i): FillNote => ({
        ...like,
        tick: Math.round(extent.from + i * step),
        ticks: Math.max(1, Math.floor(step)),
      }),
    );
    const crowded: Answer = { ...answer, holding: { ...holding, fill: { ...holding.fill, notes } } };
    const settled = demo.settled.map((one) => (one.id === answer.id ? crowded : one));
    return { song: { ...demo, settled }, player, answer: crowded };
  }
  throw new Error('nobody has a fill');
}

const entryOf = (songId: string, more: Partial<SetEntry> = {}): SetEntry => ({
  ...USUAL_ENTRY,
  id: `e-${songId}`,
  songId,
  ...more,
});
const setOf = (entries: readonly SetEntry[], more: Partial<SetList> = {}): SetList => ({
  id: 'set',
  name: 'Saturday',
  targetSeconds: null,
  pairs: [],
  entries,
  ...more,
});
const bookOf = (songs: readonly Song[], set: SetList, more: Partial<Band> = {}) =>
  new EveningBooks({
    band: {
      ...band,
      songs: songs.map(({ id, title }) => ({ ...USUAL_SONG, id, title })),
      sets: [set],
      ...more,
    },
    set,
    songs,
    density: 'whole',
    ...dates,
  });

describe.skipIf(!hasPoppler)('a part', () => {
  it('of a song of 200 verses holds each word once, in order, and says how far it goes', async () => {
    const song = versesOf(200);
    const pages = readFrom(await printPart({ ...dates, band, song, player: firstPlayer() }));
    const sung = flat(pages).match(/word\d+/g);
    expect(sung).toEqual(Array.from({ length: 200 }, (_, i) => `word${i + 1}`));
    expect(flat(pages)).toContain('Verse 200');
    expect(pages.length).toBeLessThan(40);
    readFrom(await printPart({ ...dates, band, song, player: firstPlayer(), density: 'one page' }));
  });

  it('with a fill of 200 notes goes on paper at every density, as a crib and to practise', async () => {
    const { song, player, answer } = withNotes(200);
    for (const density of DENSITIES) readFrom(await printPart({ ...dates, band, song, player, density }));
    readFrom(await printCrib({ ...dates, band, song, who: player }));
    const sheet = await printStudent({ ...dates, band, song, answerId: answer.id });
    if (sheet === null) throw new Error('no sheet');
    expect(flat(readFrom(sheet))).toContain('200 notes');
  });

  it('without a fill says so, and one without a tempo says that too', async () => {
    const song: Song = { ...plainSong('bare'), tempo: null };
    const pages = flat(readFrom(await printPart({ ...dates, band, song, player: firstPlayer() })));
    expect(pages).toContain('You have no fills in this song yet.');
    expect(pages).toContain('tempo not set');
    const crib = flat(readFrom(await printCrib({ ...dates, band, song, who: firstPlayer() })));
    expect(crib).toContain('Ask who starts: nobody has said.');
  });

  it('of a singer of whom nobody said how high they sing is as anybody’s', async () => {
    const singer = band.players.find(({ sings }) => sings !== 'none');
    if (singer === undefined) throw new Error('nobody sings');
    const bare = band.players.map((one) => (one.id === singer.id ? { ...one, range: null } : one));
    const player = { ...singer, range: null };
    const pages = readFrom(
      await printPart({ ...dates, band: { ...band, players: bare }, song: demo, player }),
    );
    expect(flat(pages)).toContain(demo.title);
    const { bytes } = await printPart({ ...dates, band, song: demo, player: singer });
    expect(pages.length).toBe(
      Buffer.from(bytes)
        .toString('latin1')
        .match(/\/Type \/Page\b/g)?.length,
    );
  });

  it('of a song without bars, passes, words or chords is a page with its head', async () => {
    const bare: Song = {
      ...plainSong('bare'),
      title: '',
      sections: [],
      passes: [],
      notes: [],
      chords: [],
      voices: [],
    };
    for (const density of DENSITIES)
      expect(
        readFrom(await printPart({ ...dates, band, song: bare, player: firstPlayer(), density })).length,
      ).toBe(1);
  });
});

describe.skipIf(!hasPoppler)('a book', () => {
  const songsOf = (many: number) =>
    Array.from({ length: many }, (_, i): Song => ({ ...plainSong(`s${i + 1}`), title: `Tune ${i + 1}` }));

  it.each([0, 1, 200])('of %i songs has each of them, on its lists and under its number', async (many) => {
    const songs = songsOf(many);
    const books = bookOf(songs, setOf(songs.map(({ id }) => entryOf(id))));
    const pages = readFrom(await books.book(firstPlayer()));
    const text = flat(pages);
    if (many === 0) expect(text).toContain('There is no song in this set yet.');
    for (let number = 1; number <= many; number++) {
      expect(text).toContain(`song ${number} · page 1 of 1`);
    }
    const floor = flat(readFrom(await books.floorList()));
    for (const { title } of songs) expect(floor).toMatch(new RegExp(`${title}\\b`));
  });

  it('is printed with holds that no order can keep, and the order says which they are', async () => {
    const songs = songsOf(3);
    const [a, b, c] = songs.map(({ id }) => id);
    const set = setOf([
      entryOf(a ?? '', { hold: 'first' }),
      entryOf(b ?? '', { hold: 'first' }),
      entryOf(c ?? '', { hold: 9 }),
    ]);
    const setSongs = songs.map((song) => setSongOf(song, band.players));
    const listed = { ...band, songs: songs.map(({ id, title }) => ({ ...USUAL_SONG, id, title })) };
    const twice = await orderSet(eveningOfSet(set, listed, setSongs));
    if (twice.ok) throw new Error('an order was found');
    expect(twice.error.what).toBe("'Tune 1' and 'Tune 2' are both held at place 1");
    expect(twice.error.mend).not.toBe('');
    const beyond = await orderSet(eveningOfSet(setOf([itemAt(set.entries, 2)]), listed, setSongs));
    if (beyond.ok) throw new Error('an order was found');
    expect(beyond.error.what).toBe("'Tune 3' is held at place 9, and there are 1");
    expect(flat(readFrom(await bookOf(songs, set).book(firstPlayer())))).toContain('song 3 · page 1 of 1');
  });

  it('counts a song without a tempo at the usual one', () => {
    // Worked by hand: four beats at 100 a minute are 2.4 seconds.
    const song: Song = { ...plainSong('bare'), tempo: null };
    const set = setOf([entryOf(song.id)]);
    const evening = eveningOfSet(set, band, [setSongOf(song, band.players)]);
    const clock = runningClock(evening, new EveningModel(evening, (id) => id).costsOf([`e-${song.id}`]));
    expect(clock.seconds).toBeCloseTo(2.4, 6);
  });
});

describe.skipIf(!hasPoppler)('words in any script', () => {
  // Source, from memory: the Unicode Standard, code charts: ش U+0634, 唱 U+5531, 🎻 U+1F3BB.
  const song = (): Song => ({ ...plainSong('x'), title: 'Песня Ωδή شمس 唱歌 🎻' });
  const said = ['U+0634', 'U+5531', 'U+1F3BB', 'Arabic letters', 'Chinese characters', 'pictures'];

  it('are drawn where a font has them, and the others named on everything that is printed', async () => {
    const player = firstPlayer();
    const part = readFrom(await printPart({ ...dates, band, song: song(), player }));
    expect(flat(part)).toContain('Песня Ωδή');
    for (const one of said) expect(flat(part)).toContain(one);
    const crib = readFrom(await printCrib({ ...dates, band, song: song(), who: player }));
    for (const one of said) expect(flat(crib)).toContain(one);
    const { song: full, answer } = withNotes(4);
    const sheet = await printStudent({
      ...dates,
      band,
      song: { ...full, title: song().title },
      answerId: answer.id,
    });
    if (sheet === null) throw new Error('no sheet');
    for (const one of said) expect(flat(readFrom(sheet))).toContain(one);
  });

  it('are named on the lists, where a note or what was said after a gig has them', async () => {
    const plain = plainSong('x');
    const set = setOf([entryOf('x', { note: '唱' })], { name: '🎻' });
    const remarks = [{ id: 'r', songId: 'x', text: 'ش', solid: true, by: null, at: 0 }];
    const books = bookOf([plain], set, { remarks });
    const book = readFrom(await books.book(firstPlayer()));
    expect(book[0]).toContain('U+1F3BB');
    const own = book.find((page) => page.includes('song 1 · page 1')) ?? '';
    expect(own).toContain('U+5531');
    expect(own).toContain('U+0634');
    expect(flat(readFrom(await books.floorList()))).toContain('U+1F3BB');
  });

  it('come without what cannot be seen: marks of order and joining, ends of lines', async () => {
    const title = '\u202eMill\u200b \ufeffRace\u00ad\u2066 at\nDawn\u0007\u2069';
    const pdf = await printPart({
      ...dates,
      band,
      song: { ...plainSong('x'), title },
      player: firstPlayer(),
    });
    expect(pdf.missing).toEqual([]);
    expect(flat(readFrom(pdf))).toContain('Mill Race at Dawn');
  });
});

describe('a file’s name', () => {
  const awkward = [
    ['folders', '../../etc/passwd', 'Ann'],
    ['ends of lines', 'a\nb\rc\td', 'B\u0000en'],
    ['marks of direction', '\u202Ecod.exe\u200F', '"quoted" \'name\''],
    ['signs of four bytes', '𝄞'.repeat(300), 'Z\u0301'.repeat(200)],
    ['letters with marks', 'e\u0301\u0327'.repeat(500), '唱'.repeat(90)],
    ['no end', 'x'.repeat(5000), 'y'.repeat(5000)],
    ['nothing', '', ''],
    ['dots', '...', ' . '],
    ['a device', 'CON', ''],
    ['a device’s file', 'nul.txt', ''],
    ['pictures', '👩‍👩‍👧‍👦'.repeat(40), 'family'],
  ] as const;

  it.each(awkward)('of %s can be written on any disk', (_, first, second) => {
    const name = fileNameOf(first, second);
    // Source, from memory: POSIX NAME_MAX 255 bytes; Microsoft, Naming Files, Paths, and Namespaces: reserved signs and names, no dot or space at the end.
    const written = freeName(new Set(), name, 'pdf');
    expect(Buffer.byteLength(`${written}.4194304.part`)).toBeLessThanOrEqual(255);
    expect(name).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}<>:"/\\|?*\n\r]/u);
    expect(name).not.toMatch(/^[. ]|[. ]$|^$/);
    expect(name).not.toMatch(/^(con|nul|prn|aux)(\.|$)/i);
    writeFileSync(join(folder, written), '');
  });

  it('says whose it is, however long the song’s is', () => {
    const long = 'Supercalamitous '.repeat(20);
    expect(fileNameOf(long, 'Ann')).toMatch(/^Supercalamitous .* - Ann$/);
    expect(fileNameOf(long, 'Ben')).not.toBe(fileNameOf(long, 'Ann'));
    expect(fileNameOf('Mill Race', 'crib, Ann')).toBe('Mill Race - crib, Ann');
  });

  it('is another for each of two players of one name, in small letters or capitals', () => {
    const taken = new Set<string>();
    expect(['Ann', 'ANN', 'Ann'].map((name) => freeName(taken, name, 'pdf'))).toEqual([
      'Ann.pdf',
      'ANN (2).pdf',
      'Ann (3).pdf',
    ]);
  });
});

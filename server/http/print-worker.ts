/**
 * Makes what leaves the server as a file, away from its own thread: a part, a song in another format, the evening books of a band. One piece
 * of work, one answer; whoever started it ends it.
 */
import { parentPort, workerData } from 'node:worker_threads';
import { type Zippable, zipSync } from 'fflate';
import type { Player } from '../../lib/song';
import { EveningBooks, fileNameOf, freeName, printCrib, printPart, printStudent } from '../print';
import type { PrintMessage, PrintWork } from './print-work';

type Work<K extends PrintWork['kind']> = Extract<PrintWork, { readonly kind: K }>;

/** What can be given away with the answer: not the buffer that Node keeps small pieces in. */
function ownBuffer({ buffer, byteLength }: Uint8Array): ArrayBuffer[] {
  return buffer instanceof ArrayBuffer && buffer.byteLength === byteLength ? [buffer] : [];
}

function make(asked: PrintWork): Promise<PrintMessage> {
  switch (asked.kind) {
    case 'part':
      return part(asked);
    case 'crib':
      return crib(asked);
    case 'student':
      return student(asked);
    case 'file':
      return file(asked);
    case 'left out':
      return leftOut(asked);
    case 'book':
      return book(asked);
  }
}

const dayOf = (at: number): string => new Date(at).toISOString().slice(0, 10);

async function part(asked: Work<'part'>): Promise<PrintMessage> {
  const { band, song, playerId, paper, density, chords, madeAt } = asked;
  const player = band.players.find(({ id }) => id === playerId);
  if (player === undefined) return { kind: 'refused', code: 'no such player', where: `player ${playerId}` };
  const pdf = await printPart({
    band,
    song,
    player,
    paper,
    density,
    chords,
    madeAt: new Date(madeAt),
    asOf: dayOf(madeAt),
  });
  return { kind: 'made', name: `${fileNameOf(song.title, player.name)}.pdf`, bytes: pdf.bytes };
}

async function crib({ band, song, who, paper, madeAt }: Work<'crib'>): Promise<PrintMessage> {
  const whose = 'newOn' in who ? who : band.players.find(({ id }) => id === who.playerId);
  if (whose === undefined) return { kind: 'refused', code: 'no such player', where: 'the crib' };
  const dates = { madeAt: new Date(madeAt), asOf: dayOf(madeAt) };
  const pdf = await printCrib({ band, song, paper, ...dates, who: whose });
  const name = 'newOn' in whose ? `new on ${whose.newOn}` : whose.name;
  return { kind: 'made', name: `${fileNameOf(song.title, `crib, ${name}`)}.pdf`, bytes: pdf.bytes };
}

async function student({ band, song, answerId, paper, madeAt }: Work<'student'>): Promise<PrintMessage> {
  const dates = { madeAt: new Date(madeAt), asOf: dayOf(madeAt) };
  const printed = printStudent({ band, song, paper, ...dates, answerId });
  if (printed === null) return { kind: 'refused', code: 'not found', where: 'a fill with notes' };
  const { bytes } = await printed;
  return { kind: 'made', name: `${fileNameOf(song.title, 'to practise')}.pdf`, bytes };
}

async function file({ band, song, ending }: Work<'file'>): Promise<PrintMessage> {
  const { writeSongFile } = await import('../../lib/exchange');
  const written = writeSongFile(`song.${ending}`, song, band.players);
  if (!written.ok) return { kind: 'refused', code: 'nothing written', where: `song ${song.id}` };
  return { kind: 'made', name: `${fileNameOf(song.title)}.${ending}`, bytes: written.value.content };
}

async function leftOut({ band, song, endings }: Work<'left out'>): Promise<PrintMessage> {
  const { writeSongFile } = await import('../../lib/exchange');
  const byEnding: Record<string, readonly string[]> = {};
  for (const ending of endings) {
    const written = writeSongFile(`song.${ending}`, song, band.players);
    if (!written.ok) return { kind: 'refused', code: 'nothing written', where: `song ${song.id}` };
    byEnding[ending] = written.value.leftOut;
  }
  return { kind: 'left out', byEnding };
}

async function book(asked: Work<'book'>): Promise<PrintMessage> {
  const { band, set, songs, playerIds, paper, density, madeAt, only, stampsOnly } = asked;
  const books = new EveningBooks({
    band,
    set,
    songs,
    paper,
    density,
    madeAt: new Date(madeAt),
    asOf: dayOf(madeAt),
  });
  const players = band.players.filter(({ id }) => playerIds.includes(id));
  const wanted = (player: Player) => (only === null ? null : new Set(only[player.id] ?? []));
  const of = Math.max(1, sumOf(players.map((player) => books.songCount(wanted(player)))));
  let done = 0;
  const onSong = () => {
    done += 1;
    parentPort?.postMessage({ kind: 'progress', done, of } satisfies PrintMessage);
  };
  const stamps: Record<string, Readonly<Record<string, string>>> = {};
  if (stampsOnly) {
    for (const player of players) stamps[player.id] = books.stamps(player, wanted(player), onSong);
    return { kind: 'stamps', stamps };
  }
  const files: Zippable = {};
  const taken = new Set<string>();
  const nameFor = (whose: string) => freeName(taken, fileNameOf(set.name, whose), 'pdf');
  for (const player of players) {
    const pdf = await books.book(player, wanted(player), onSong);
    stamps[player.id] = pdf.stamps;
    if (pdf.pages > 0) files[nameFor(player.name)] = pdf.bytes;
  }
  const [single, ...others] = Object.entries(files);
  if (single !== undefined && others.length === 0 && (players.length === 1 || only !== null)) {
    const [name, bytes] = single;
    if (bytes instanceof Uint8Array) return { kind: 'made', name, bytes, stamps };
  }
  if (only === null) files[nameFor('floor list')] = (await books.floorList()).bytes;
  // PDF is packed already.
  const bytes = zipSync(files, { level: 0, mtime: new Date(madeAt) });
  return { kind: 'made', name: `${fileNameOf(set.name)}.zip`, bytes, stamps };
}

const sumOf = (counts: readonly number[]): number => counts.reduce((sum, count) => sum + count, 0);

const work: PrintWork = workerData;
const answer = await make(work);
parentPort?.postMessage(answer, answer.kind === 'made' ? ownBuffer(answer.bytes) : []);

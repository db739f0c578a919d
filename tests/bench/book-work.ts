import { EveningBooks } from '../../server/print';
import { eveningOf } from './evenings';

export const PDF_DENSITY = 'whole';

/** Every player's book of an evening and the list for the floor, as the server makes them. */
export async function printBooks(
  songs: number,
): Promise<{ seconds: number; processorSeconds: number; pages: number; bytes: number; players: number }> {
  const evening = await eveningOf(songs);
  const started = performance.now();
  const before = process.cpuUsage();
  const books = new EveningBooks({
    ...evening,
    paper: 'a4',
    density: PDF_DENSITY,
    madeAt: new Date(0),
    asOf: '1970-01-01',
  });
  let pages = 0;
  let bytes = 0;
  for (const player of evening.band.players) {
    const pdf = await books.book(player);
    pages += pdf.pages;
    bytes += pdf.bytes.length;
  }
  const floor = await books.floorList();
  const { user, system } = process.cpuUsage(before);
  return {
    seconds: (performance.now() - started) / 1000,
    processorSeconds: (user + system) / 1e6,
    pages: pages + floor.pages,
    bytes: bytes + floor.bytes.length,
    players: evening.band.players.length,
  };
}

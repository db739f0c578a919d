import { parseDocument } from '../../lib/protocol';
import { eveningsOf, HOME_PAGES, isPagesOf, pagesOf, printedOf, seenOf } from '../sw/names';
import { Ledger } from './ledger';

/** Which documents go: all of them, or those in which everything is kept by the server. */
export type Extent = 'all' | 'kept';

/**
 * Takes a band off this device: its pages, its documents, and what it says of what was printed. With `kept` a document stays as long as it has edits
 * that the server has not got, so that they can still go when the device comes in again.
 */
export async function forgetBand(bandId: string, extent: Extent): Promise<void> {
  await forgetPages(bandId);
  if (typeof caches !== 'undefined') await caches.delete(eveningsOf(bandId));
  forgetPrinted(bandId);
  await withLedger(async (ledger) => {
    for (const name of await ledger.names()) {
      if (parseDocument(name)?.bandId !== bandId) continue;
      if (extent === 'kept' && (await ledger.unkept(name)).size > 0) continue;
      await ledger.remove(name);
    }
  });
}

/** Takes one document off this device, and the pages that may show it. */
export async function forgetDocument(name: string): Promise<void> {
  const bandId = parseDocument(name)?.bandId;
  if (bandId !== undefined) await forgetPages(bandId);
  await withLedger((ledger) => ledger.remove(name));
}

/**
 * Takes documents off this device in which everything is kept by the server.
 *
 * @returns those that stay, since they hold edits that the server has not got
 */
export async function forgetKept(names: readonly string[]): Promise<readonly string[]> {
  const stay: string[] = [];
  await withLedger(async (ledger) => {
    for (const name of names) {
      if ((await ledger.unkept(name)).size > 0) stay.push(name);
      else await ledger.remove(name);
    }
  });
  return stay;
}

/** Which of these documents this device holds whole. */
export async function heldWhole(names: readonly string[]): Promise<ReadonlySet<string>> {
  const whole = new Set<string>();
  await withLedger(async (ledger) => {
    for (const name of names) if ((await ledger.held(name)) !== null) whole.add(name);
  });
  return whole;
}

/** The bands of which this device holds a page or a document. */
export async function bandsHere(): Promise<ReadonlySet<string>> {
  const bands = new Set<string>();
  if (typeof caches !== 'undefined') {
    for (const name of await caches.keys()) {
      const bandId = isPagesOf(name);
      if (bandId !== null) bands.add(bandId);
    }
  }
  await withLedger(async (ledger) => {
    for (const name of await ledger.names()) {
      const bandId = parseDocument(name)?.bandId;
      if (bandId !== undefined) bands.add(bandId);
    }
  });
  return bands;
}

async function forgetPages(bandId: string): Promise<void> {
  if (typeof caches === 'undefined') return;
  // The home page names the bands.
  await Promise.all([pagesOf(bandId), seenOf(bandId), HOME_PAGES].map((name) => caches.delete(name)));
}

function forgetPrinted(bandId: string): void {
  try {
    for (const name of Object.keys(localStorage))
      if (name.startsWith(printedOf(bandId))) localStorage.removeItem(name);
  } catch {
    // Storage that is off holds nothing.
  }
}

async function withLedger(act: (ledger: Ledger) => Promise<void>): Promise<void> {
  const ledger = await Ledger.open();
  if (!ledger) return;
  try {
    await act(ledger);
  } finally {
    ledger.close();
  }
}

import * as Y from 'yjs';
import { migrate, readBand, readSong } from '../../lib/document';
import { parseDocument, songDocument } from '../../lib/protocol';
import { inspectStore } from '../store';

/** What a check of everything found. */
export interface Checked {
  /** In words, one line each: what there is. */
  readonly found: readonly string[];
  /** What is wrong; empty where all is well. */
  readonly wrong: readonly string[];
  /** What is not wrong but should be known. */
  readonly worthKnowing: readonly string[];
}

/** Reads every row and every document of a store's file, as the server would. Nothing is changed. */
export function checkData(file: string): Checked {
  const wrong: string[] = [];
  const worthKnowing: string[] = [];
  const songs = new Set<string>();
  const listed: string[] = [];
  let rows = 0;
  let bytes = 0;
  const inspection = inspectStore(file, (document) => {
    const { name, updates, damaged } = document;
    rows += document.rows;
    bytes += document.bytes;
    for (const { place, seq } of damaged) wrong.push(`${name}: ${place} ${seq} is not as it was written`);
    const kind = parseDocument(name);
    if (kind === null) return void wrong.push(`${name}: not the name of a document`);
    if (kind.kind === 'song') songs.add(name);
    const doc = new Y.Doc();
    try {
      for (const update of updates) Y.applyUpdate(doc, update);
      migrate(doc);
      if (doc.store.pendingStructs !== null || doc.store.pendingDs !== null)
        worthKnowing.push(`${name}: some edits wait for others that are not here`);
      const reading = kind.kind === 'song' ? readSong(doc) : readBand(doc);
      if (reading.broken.length > 0)
        worthKnowing.push(`${name}: ${reading.broken.length} items cannot be read and are passed over`);
      if ('band' in reading)
        for (const song of reading.band.songs) listed.push(songDocument(kind.bandId, song.id));
    } catch (error) {
      wrong.push(`${name}: cannot be read (${error instanceof Error ? error.message : String(error)})`);
    } finally {
      doc.destroy();
    }
  });
  for (const text of inspection.structure) wrong.push(`the file: ${text}`);
  for (const name of listed)
    if (!songs.has(name)) worthKnowing.push(`${name}: in its band's list, but not there`);
  if (inspection.setAside > 0)
    worthKnowing.push(
      `${inspection.setAside} damaged rows were set aside earlier; the rest is served without them`,
    );
  return {
    found: [
      `version ${inspection.version}, ${inspection.bands} bands, ${inspection.links} links`,
      `${inspection.documents} documents (${songs.size} songs), ${rows} rows, ${bytes} bytes`,
    ],
    wrong,
    worthKnowing,
  };
}

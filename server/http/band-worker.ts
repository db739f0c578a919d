/**
 * Reads one band file away from the server's own thread, and makes its documents. One request, one answer; whoever started it ends it.
 */
import { parentPort, workerData } from 'node:worker_threads';
import * as Y from 'yjs';
import { z } from 'zod';
import type { Problem } from '../../lib/base';
import { newBandDocument, newSongDocument } from '../../lib/document';
import { readBandFile, wholeBand } from '../../lib/exchange';
import { isId } from '../../lib/protocol';
import type { BandReading } from './band-files';

const work = z.object({ text: z.instanceof(Uint8Array), bandId: z.string() }).parse(workerData);
parentPort?.postMessage(read(work.text, work.bandId));

function read(bytes: Uint8Array, bandId: string): BandReading {
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return no({
      what: 'this is no text in UTF-8',
      where: 'the whole file',
      mend: 'choose the band file itself, as it was taken along',
    });
  }
  const file = readBandFile(text);
  if (!file.ok) return no(file.error);
  const whole = wholeBand(file.value);
  if (!whole.ok) return no(whole.error);
  const { band, songs } = whole.value;
  const strange = songs.find(({ id }) => !isId(id));
  if (strange !== undefined)
    return no({
      what: `the id of the song "${strange.title}" is none`,
      where: 'its field "songs"',
      mend: 'use letters, digits, - and _ in ids, 80 at most',
    });
  return {
    band: Y.encodeStateAsUpdate(newBandDocument({ ...band, id: bandId })),
    songs: songs.map((song) => ({ id: song.id, update: Y.encodeStateAsUpdate(newSongDocument(song)) })),
  };
}

function no(problem: Problem): BandReading {
  return { problem };
}

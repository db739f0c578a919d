import { BandEdits, type BandReading, readBand, watchBand } from '../../lib/document';
import type { DocumentWays } from './useShared';

/** How a band's document is read and edited. Loaded when a page has one open. */
export const WAYS: DocumentWays<BandReading, BandEdits> = {
  read: readBand,
  watch: watchBand,
  edits: (doc, options) => new BandEdits(doc, options),
};

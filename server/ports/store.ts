import type { Kind } from '../../lib/protocol';

/** One document as it lies in the store. */
export interface StoredDocument {
  /** The snapshot, if there is one, then every update since, in the order in which they were taken. */
  readonly updates: readonly Uint8Array[];
  /** How many updates lie behind the snapshot. */
  readonly sinceSnapshot: number;
}

/** Makes one update of many; the result stands for all of them. */
export type Merge = (updates: readonly Uint8Array[]) => Uint8Array;

/**
 * Documents as append-only lists of updates. What a promise has answered for survives the end of the process and
 * a power cut (as far as the disk tells the truth). Rejections mean that nothing of that call was kept.
 */
export interface DocumentStore {
  /** Null where no document of that name was ever made. */
  load(name: string): Promise<StoredDocument | null>;
  /** Makes a document with its first update. False, and nothing changed, where there is one already. */
  create(name: string, update: Uint8Array): Promise<boolean>;
  /** Adds an update to a document that exists; resolves when it is committed. Order of calls is order of updates. */
  append(name: string, update: Uint8Array): Promise<void>;
  /** Puts one merged snapshot in the place of all that is committed, in one transaction. */
  compact(name: string, merge: Merge): Promise<void>;
}

export interface LinkRecord {
  readonly id: string;
  readonly bandId: string;
  readonly kind: Kind;
  readonly createdAt: number;
  readonly endedAt: number | null;
}

/** Bands and their links. The secret of a link is never stored, only its SHA-256. */
export interface BandStore {
  /** False where the band exists. */
  addBand(bandId: string, at: number): Promise<boolean>;
  hasBand(bandId: string): Promise<boolean>;
  addLink(link: LinkRecord, secretHash: Uint8Array): Promise<void>;
  links(bandId: string): Promise<readonly LinkRecord[]>;
  link(linkId: string): Promise<LinkRecord | null>;
  linkBySecret(secretHash: Uint8Array): Promise<LinkRecord | null>;
  /** Ends a link for good; false where it is not one of that band's that still stands. */
  endLink(bandId: string, linkId: string, at: number): Promise<boolean>;
}

export interface Store extends DocumentStore, BandStore {
  /** Commits what waits and closes. */
  close(): Promise<void>;
}

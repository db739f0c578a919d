import type { Kind } from '../../lib/protocol';

/** One document as it lies in the store. */
export interface StoredDocument {
  /** The snapshot, if there is one, then every update since, in the order in which they were taken. */
  readonly updates: readonly Uint8Array[];
  /** How many updates lie behind the snapshot. */
  readonly sinceSnapshot: number;
}

/** Makes one update of many; the result stands for all of them. A store is given it when it is opened. */
export type Merge = (updates: readonly Uint8Array[]) => Uint8Array;

/** The disk is full, or what the store may take of it: nothing of that call was kept. */
export class NoRoom extends Error {}

/** A row that is not as it was written. It is set aside, and the rest is served. */
export interface Damage {
  readonly document: string;
  /** `before`: of what the last snapshot was made of. */
  readonly place: 'snapshot' | 'before' | 'update';
  readonly seq: number;
}

/** What a store tells of its work, beside its answers. */
export interface StoreEvents {
  /** So many updates were committed together in so many milliseconds. */
  readonly committed?: (updates: number, milliseconds: number) => void;
  /** None of so many updates could be committed. */
  readonly refused?: (updates: number) => void;
  /** So many updates went into a snapshot. */
  readonly compacted?: (updates: number) => void;
  readonly damaged?: (damage: Damage) => void;
}

/**
 * Documents as append-only lists of updates. What a promise has answered for survives the end of the process and
 * a power cut (as far as the disk tells the truth). Rejections mean that nothing of that call was kept; NoRoom says why.
 * Bytes that were handed in stay unchanged until the call is answered.
 */
export interface DocumentStore {
  /** Null where no document of that name was ever made. */
  load(name: string): Promise<StoredDocument | null>;
  /** Makes a document with its first update. False, and nothing changed, where there is one already. */
  create(name: string, update: Uint8Array): Promise<boolean>;
  /** Adds an update to a document that exists; resolves when it is committed. Order of calls is order of updates. */
  append(name: string, update: Uint8Array): Promise<void>;
  /** Puts one merged snapshot in the place of all that is committed, in one transaction; what it was made of stays aside until the next. */
  compact(name: string): Promise<void>;
}

export interface LinkRecord {
  readonly id: string;
  readonly bandId: string;
  readonly kind: Kind;
  readonly createdAt: number;
  readonly endedAt: number | null;
  /**
   * True for one whose secret nobody was given: it stands for one device alone, that made the band or stayed in it when
   * its link was ended, so that this device too can be put out.
   */
  readonly own: boolean;
}

/** Bands and their links. The secret of a link is never stored, only its SHA-256. */
export interface BandStore {
  /** False where the band exists. */
  addBand(bandId: string, at: number): Promise<boolean>;
  hasBand(bandId: string): Promise<boolean>;
  /**
   * Removes a band in one transaction, with its links and all its documents (`band.BAND`, `song.BAND.…`), also what was
   * kept aside of them. When it resolves, no byte of them is left in the store's files. Nobody has them open.
   */
  deleteBand(bandId: string): Promise<void>;
  addLink(link: LinkRecord, secretHash: Uint8Array): Promise<void>;
  links(bandId: string): Promise<readonly LinkRecord[]>;
  link(linkId: string): Promise<LinkRecord | null>;
  linkBySecret(secretHash: Uint8Array): Promise<LinkRecord | null>;
  /** Ends a link for good; false where it is not one of that band's that still stands. */
  endLink(bandId: string, linkId: string, at: number): Promise<boolean>;
}

export interface Store extends DocumentStore, BandStore {
  /** Writes something of no meaning as an edit would be written; rejects where edits could not be kept now. */
  probe(): Promise<void>;
  /** Commits what waits and closes. */
  close(): Promise<void>;
}

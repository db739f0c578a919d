import { parseDocument } from '../../lib/protocol';
import type { LinkRecord, Merge, Store } from '../ports';

interface MemoryDocument {
  snapshot: Uint8Array | null;
  updates: Uint8Array[];
}

/**
 * The store's contract without a disk: for tests, and as the plain statement of what a store does. Without a merge it
 * leaves updates as they are.
 */
export function memoryStore(merge: Merge | null = null): Store {
  const documents = new Map<string, MemoryDocument>();
  const bands = new Set<string>();
  const links = new Map<string, { link: LinkRecord; hash: string }>();
  const key = (hash: Uint8Array) => Buffer.from(hash).toString('hex');
  const copy = (bytes: Uint8Array) => new Uint8Array(bytes);
  const all = ({ snapshot, updates }: MemoryDocument) => [...(snapshot ? [snapshot] : []), ...updates];

  return {
    async load(name) {
      const document = documents.get(name);
      return document ? { updates: all(document), sinceSnapshot: document.updates.length } : null;
    },
    async create(name, update) {
      if (documents.has(name)) return false;
      documents.set(name, { snapshot: null, updates: [copy(update)] });
      return true;
    },
    async append(name, update) {
      const document = documents.get(name);
      if (!document) throw new Error(`no document ${name}`);
      document.updates.push(copy(update));
    },
    async compact(name) {
      const document = documents.get(name);
      if (!document || document.updates.length === 0 || merge === null) return;
      document.snapshot = copy(merge(all(document)));
      document.updates = [];
    },
    async addBand(bandId) {
      if (bands.has(bandId)) return false;
      bands.add(bandId);
      return true;
    },
    async hasBand(bandId) {
      return bands.has(bandId);
    },
    async deleteBand(bandId) {
      for (const name of documents.keys()) if (parseDocument(name)?.bandId === bandId) documents.delete(name);
      for (const [id, { link }] of links) if (link.bandId === bandId) links.delete(id);
      bands.delete(bandId);
    },
    async addLink(link, secretHash) {
      if (!bands.has(link.bandId)) throw new Error(`no band ${link.bandId}`);
      if (links.has(link.id) || [...links.values()].some((known) => known.hash === key(secretHash)))
        throw new Error('a link with that id or secret exists');
      links.set(link.id, { link, hash: key(secretHash) });
    },
    async links(bandId) {
      return [...links.values()]
        .map((known) => known.link)
        .filter((link) => link.bandId === bandId)
        .sort((a, b) => a.createdAt - b.createdAt || (a.id < b.id ? -1 : 1));
    },
    async link(linkId) {
      return links.get(linkId)?.link ?? null;
    },
    async linkBySecret(secretHash) {
      return [...links.values()].find((known) => known.hash === key(secretHash))?.link ?? null;
    },
    async endLink(bandId, linkId, at) {
      const known = links.get(linkId);
      if (known?.link.bandId !== bandId || known.link.endedAt !== null) return false;
      links.set(linkId, { ...known, link: { ...known.link, endedAt: at } });
      return true;
    },
    async probe() {},
    async close() {},
  };
}

import * as Y from 'yjs';
import {
  BAND_VERSION,
  type Fields,
  kindOf,
  type MapName,
  mapOf,
  SONG_VERSION,
  splitKey,
  versionOf,
} from './layout';
import { fieldsOf } from './shelf';

/** How long removed things stay before they are cleaned up, by the server's clock. */
export const KEPT_FOR_DAYS = 90;
const KEPT_FOR = KEPT_FOR_DAYS * 24 * 3600 * 1000;

/** Marks the transactions of `tidy`. */
export const TIDYING = 'tidying';

export interface Tidied {
  /** Things that nobody sees and that are not cleaned up yet. */
  readonly waiting: number;
  readonly cleaned: number;
}

/**
 * What the server wrote down about a document, in `meta.cleaning`: at that time, it held the writes of each client up to a clock, and
 * these notes and proposals had been taken out, though words or votes of theirs were there.
 */
interface Look {
  readonly at: number;
  readonly clocks: ReadonlyMap<number, number>;
  readonly gone: ReadonlySet<string>;
}

/** Something that nobody sees, and all that was written for it to be so. */
interface Hidden {
  readonly writes: readonly Y.Item[];
  /** The note or proposal whose being taken out left it behind (which leaves no write); null where it is hidden by a write. */
  readonly without: string | null;
  readonly clean: () => void;
}

/**
 * Cleans up what was removed, by this rule: what nobody sees, and what had been so, unchanged, when the server looked at least
 * `KEPT_FOR_DAYS` days ago, loses its content. In a song: removed sections, bars, passes and voices, what hangs on them, words and phrase ends of
 * notes that were taken out and votes on answers that were taken back; in a band: removed players, sets and entries. Removed songs stay, since
 * a band can bring one back at any time. Answers and comments are never cleaned up. Of a removed thing on which others hang a mark stays,
 * so that what somebody hangs on it later is hidden as before.
 *
 * What is read is the same before and after. Somebody who was away for less than that time, and takes back nothing older, does not
 * notice; whoever was away for longer, or takes back such an old removal, finds that it stays removed (and a note that they move
 * away from a removed bar without its words); what they wrote themselves stays, documents stay equal, and nothing is broken.
 *
 * For the server only, before or between edits, on the document with all that is stored. The first call looks, a later one cleans up; on
 * any other version's document it does nothing. O(document).
 *
 * @param now milliseconds since 1970, by the server's clock
 */
export function tidy(doc: Y.Doc, now: number): Tidied {
  const kind = kindOf(doc);
  if (kind === null || versionOf(doc) !== (kind === 'song' ? SONG_VERSION : BAND_VERSION)) {
    return { waiting: 0, cleaned: 0 };
  }
  const hidden = kind === 'song' ? hiddenInSong(doc) : hiddenInBand(doc);
  const meta = mapOf(doc, 'meta');
  const look = readLook(meta.get('cleaning'));
  if (look && look.at <= now && now - look.at < KEPT_FOR) return { waiting: hidden.length, cleaned: 0 };
  const isDue = ({ writes, without }: Hidden) =>
    look !== null &&
    look.at <= now &&
    writes.every(({ id, length }) => id.clock + length <= (look.clocks.get(id.client) ?? 0)) &&
    (without === null || look.gone.has(without));
  const due = hidden.filter(isDue);
  const waiting = hidden.filter((each) => !due.includes(each));
  doc.transact(() => {
    for (const { clean } of due) clean();
    if (waiting.length > 0) meta.set('cleaning', storedLook(doc, waiting, now));
    else meta.delete('cleaning');
  }, TIDYING);
  return { waiting: waiting.length, cleaned: due.length };
}

function storedLook(doc: Y.Doc, waiting: readonly Hidden[], at: number): Fields {
  const clients = new Set(waiting.flatMap(({ writes }) => writes.map(({ id }) => id.client)));
  return {
    at,
    clocks: [...clients].sort((a, b) => a - b).map((client) => [client, Y.getState(doc.store, client)]),
    gone: waiting.flatMap(({ without }) => without ?? []),
  };
}

function readLook(raw: unknown): Look | null {
  const { at, clocks, gone } = fieldsOf(raw) ?? {};
  if (typeof at !== 'number' || !Array.isArray(clocks) || !Array.isArray(gone)) return null;
  const read = new Map<number, number>();
  for (const row of clocks) {
    const [client, clock]: unknown[] = Array.isArray(row) ? row : [];
    if (typeof client === 'number' && typeof clock === 'number') read.set(client, clock);
  }
  return { at, clocks: read, gone: new Set(gone.map(String)) };
}

/** The last write of a key, also where it was a value that has been taken out. */
const lastWrite = (map: Y.Map<unknown>, key: string): readonly Y.Item[] => {
  const item = map._map.get(key);
  return item ? [item] : [];
};

/** What a removed thing is once it has been cleaned up: read as removed, and no item that could be changed. */
const MARK = { removed: true } as const;

/** The items of a map of fields, and how to clean one up. */
class Items {
  readonly map: Y.Map<unknown>;
  readonly #leavesMark: boolean;

  constructor(doc: Y.Doc, name: MapName, leavesMark: boolean) {
    this.map = mapOf(doc, name);
    this.#leavesMark = leavesMark;
  }

  isRemoved(id: string): boolean {
    return fieldsOf(this.map.get(id))?.removed === true;
  }

  /** The writes by which a removed thing is removed. */
  removal(id: string): readonly Y.Item[] {
    const value = this.map.get(id);
    return value instanceof Y.Map ? lastWrite(value, 'removed') : lastWrite(this.map, id);
  }

  /** Items that are hidden: removed themselves, or with what they are part of. */
  *hidden(
    part: (fields: Y.Map<unknown>) => readonly Y.Item[] | null = () => null,
  ): Iterable<Hidden & { id: string }> {
    for (const [id, fields] of this.map) {
      if (!(fields instanceof Y.Map)) continue;
      const removal = this.isRemoved(id) ? [] : part(fields);
      if (removal === null) continue;
      yield {
        id,
        writes: [...fields._map.values(), ...removal],
        without: null,
        clean: () => {
          if (this.#leavesMark) this.map.set(id, MARK);
          else this.map.delete(id);
        },
      };
    }
  }
}

function hiddenInSong(doc: Y.Doc): readonly Hidden[] {
  const sections = new Items(doc, 'sections', true);
  const bars = new Items(doc, 'bars', true);
  const voices = new Items(doc, 'voices', true);
  const passes = new Items(doc, 'passes', false);
  const inSection = (fields: Y.Map<unknown>) => {
    const id = String(fields.get('sectionId'));
    return sections.isRemoved(id) ? sections.removal(id) : null;
  };
  const found: Hidden[] = [...sections.hidden(), ...voices.hidden(), ...passes.hidden(inSection)];
  const removals = new Map<string, readonly Y.Item[]>();
  for (const id of bars.map.keys()) if (bars.isRemoved(id)) removals.set(id, bars.removal(id));
  for (const bar of bars.hidden(inSection)) {
    found.push(bar);
    removals.set(bar.id, bar.writes);
  }
  const words = byFirst([mapOf(doc, 'words'), mapOf(doc, 'ends')]);
  const notes = mapOf(doc, 'notes');
  for (const [id, raw] of notes) {
    const fields = fieldsOf(raw);
    const voiceId = String(fields?.voiceId);
    const removal =
      removals.get(String(fields?.barId)) ?? (voices.isRemoved(voiceId) ? voices.removal(voiceId) : null);
    if (!removal) continue;
    const own = words.get(id);
    found.push({
      writes: [...lastWrite(notes, id), ...removal, ...(own?.writes ?? [])],
      without: null,
      clean: () => {
        notes.delete(id);
        own?.clean();
      },
    });
  }
  const chords = mapOf(doc, 'chords');
  for (const [id, raw] of chords) {
    const removal = removals.get(String(fieldsOf(raw)?.barId));
    if (!removal) continue;
    found.push({
      writes: [...lastWrite(chords, id), ...removal],
      without: null,
      clean: () => chords.delete(id),
    });
  }
  return [
    ...found,
    ...leftBehind(words, [notes]),
    ...leftBehind(byFirst([mapOf(doc, 'votes')]), [mapOf(doc, 'proposals'), mapOf(doc, 'settled')]),
    ...leftBehind(byFirst([mapOf(doc, 'singing')]), [passes.map]),
  ];
}

/** A removed song may be brought back at any time, so it stays, with its places in sets. */
function hiddenInBand(doc: Y.Doc): readonly Hidden[] {
  const sets = new Items(doc, 'sets', true);
  const inSet = (fields: Y.Map<unknown>) => {
    const id = String(fields.get('setId'));
    return sets.isRemoved(id) ? sets.removal(id) : null;
  };
  const pairs = [...byFirst([mapOf(doc, 'pairs')])].flatMap(([setId, { writes, clean }]) =>
    sets.isRemoved(setId) ? [{ writes: [...writes, ...sets.removal(setId)], without: null, clean }] : [],
  );
  return [
    ...sets.hidden(),
    ...pairs,
    ...new Items(doc, 'entries', false).hidden(inSet),
    ...new Items(doc, 'players', false).hidden(),
  ];
}

type Group = Pick<Hidden, 'writes' | 'clean'>;

/** The keys of some maps by their first part: words and phrase ends by note, votes by answer. */
function byFirst(maps: readonly Y.Map<unknown>[]): ReadonlyMap<string, Group> {
  const keys = new Map<string, { readonly map: Y.Map<unknown>; readonly key: string }[]>();
  for (const map of maps) {
    for (const key of map.keys()) {
      const first = splitKey(key)?.[0];
      if (first === undefined) continue;
      const there = keys.get(first);
      if (there) there.push({ map, key });
      else keys.set(first, [{ map, key }]);
    }
  }
  const group = (own: readonly { readonly map: Y.Map<unknown>; readonly key: string }[]): Group => ({
    writes: own.flatMap(({ map, key }) => lastWrite(map, key)),
    clean: () => {
      for (const { map, key } of own) map.delete(key);
    },
  });
  return new Map([...keys].map(([first, own]) => [first, group(own)]));
}

/** Groups of keys whose note or answer is in none of the maps in which it could be. */
function leftBehind(groups: ReadonlyMap<string, Group>, maps: readonly Y.Map<unknown>[]): readonly Hidden[] {
  return [...groups]
    .filter(([id]) => maps.every((map) => !map.has(id)))
    .map(([id, { writes, clean }]) => ({
      writes: [...writes, ...maps.flatMap((map) => lastWrite(map, id))],
      without: id,
      clean,
    }));
}

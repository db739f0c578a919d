import type * as Y from 'yjs';
import { itemAt } from '../base';
import { type PhraseEnd, phraseEndSchema, type Singing, type Song, singingSchema } from '../song';
import type { Breaches } from './breaches';
import { mapOf, splitKey, splitThree } from './layout';
import { type Read, Shelf, share, whole } from './shelf';

/** What people said about phrases and about who sings. */
type Words = Pick<Song, 'phraseEnds' | 'singing'>;
/** What they hang on, in order. */
type Hung = Pick<Song, 'passes' | 'voices' | 'notes'>;

export function readEnd(raw: unknown, key: string): Read<PhraseEnd> {
  const parts = splitKey(key);
  const [noteId, stanza] = parts ?? ['', ''];
  return whole(phraseEndSchema, { noteId, stanza: stanza === 'all' ? null : Number(stanza), ends: raw });
}

export function readSinging(raw: unknown, key: string): Read<Singing> {
  const [passId, noteId, voiceId] = splitThree(key) ?? ['', '', ''];
  return whole(singingSchema, { passId, voiceId, noteId: noteId === '' ? null : noteId, playerId: raw });
}

/** Reads what hangs on notes, passes and voices and is hidden with them; part of `SongReader`. */
export class DecidedReader {
  readonly #ends;
  readonly #singing;
  readonly #breaches: Breaches;
  #last: Words | undefined;

  constructor(doc: Y.Doc, breaches: Breaches) {
    this.#ends = new Shelf(mapOf(doc, 'ends'), readEnd);
    this.#singing = new Shelf(mapOf(doc, 'singing'), readSinging);
    this.#breaches = breaches;
  }

  /** @param moved whether what they hang on may have changed since the last call */
  read(hung: Hung, moved: boolean): Words {
    const old = this.#last;
    const ends = [this.#ends.refresh(), moved, !old].includes(true);
    const singing = [this.#singing.refresh(), moved, !old].includes(true);
    this.#last = {
      phraseEnds: ends || !old ? share(old?.phraseEnds, this.#readEnds(hung)) : old.phraseEnds,
      singing: singing || !old ? share(old?.singing, this.#readSinging(hung)) : old.singing,
    };
    return this.#last;
  }

  #readEnds({ notes }: Hung): readonly PhraseEnd[] {
    this.#breaches.say('phrase end', this.#ends.broken);
    if (this.#ends.values.size === 0) return [];
    const places = placesOf(notes);
    const rows = [...this.#ends.values.values()].flatMap((end) => {
      const place = places.get(end.noteId);
      return place === undefined ? [] : [{ end, order: [place, end.stanza ?? 0] }];
    });
    return rows.sort(byOrder).map(({ end }) => end);
  }

  #readSinging({ passes, voices, notes }: Hung): readonly Singing[] {
    this.#breaches.say('singer', this.#singing.broken);
    if (this.#singing.values.size === 0) return [];
    const passPlaces = placesOf(passes);
    const voicePlaces = placesOf(voices);
    const notePlaces = placesOf(notes);
    const rows = [...this.#singing.values.values()].flatMap((singing) => {
      const { passId, voiceId, noteId } = singing;
      const note = noteId === null ? -1 : (notePlaces.get(noteId) ?? null);
      if (note === null || (note >= 0 && itemAt(notes, note).voiceId !== voiceId)) return [];
      const pass = passPlaces.get(passId);
      const voice = voicePlaces.get(voiceId);
      return pass === undefined || voice === undefined ? [] : [{ singing, order: [pass, voice, note] }];
    });
    return rows.sort(byOrder).map(({ singing }) => singing);
  }
}

const placesOf = (items: readonly { readonly id: string }[]): ReadonlyMap<string, number> =>
  new Map(items.map(({ id }, place) => [id, place]));

function byOrder(a: { readonly order: readonly number[] }, b: { readonly order: readonly number[] }): number {
  for (let i = 0; i < a.order.length; i++) {
    const apart = itemAt(a.order, i) - itemAt(b.order, i);
    if (apart !== 0) return apart;
  }
  return 0;
}

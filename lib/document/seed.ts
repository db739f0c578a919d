import * as Y from 'yjs';
import { itemAt } from '../base';
import {
  BAND_SETTINGS,
  type Band,
  type Bar,
  type Figure,
  NEW_BAND,
  type Pass,
  type Player,
  type SetEntry,
  type Song,
  type SongEntry,
  type SungNote,
  type Syllable,
  UNDECIDED,
  USUAL_ENTRY,
  type Voice,
} from '../song';
import type { Key } from '../theory';
import {
  BAND_VERSION,
  type Fields,
  joinKey,
  joinThree,
  type MapName,
  mapOf,
  roleKey,
  SONG_VERSION,
} from './layout';
import { firstPositions } from './order';
import { withShift } from './shift';
import { storedAnswer, storedNotes } from './stored-answer';

/** A value without its id, and without the fields that have their usual value: documents stay small. */
function leaving(value: object, usual: Fields): Fields {
  const kept = Object.entries(value).filter(([key, field]) => key !== 'id' && field !== usual[key]);
  return Object.fromEntries(kept);
}

export const storedKey = (key: Key, shift: number): Fields => withShift(key, shift);

/** @param shift under which its key is written (see shift.ts) */
export const barFields = (bar: Partial<Bar>, shift = 0): Fields => {
  const { endings, key, ...rest } = bar;
  const fields = leaving(rest, { pickup: false, tempo: null });
  return {
    ...fields,
    ...(key ? { key: storedKey(key, shift) } : {}),
    ...(endings && endings.length > 0 ? { endings: [...endings] } : {}),
  };
};

export function passFields(pass: Omit<Pass, 'id'>): Fields {
  const { roles, ...rest } = pass;
  const fields: Record<string, unknown> = { ...leaving(rest, { ending: 1, name: '' }) };
  for (const [playerId, role] of Object.entries(roles)) fields[roleKey(playerId)] = role;
  return fields;
}

/** A note as it is stored: without its words, which are kept apart. */
export function storedNote(note: SungNote): Fields {
  const { syllables: _words, stanzas, ...rest } = note;
  const fields = leaving(rest, { breath: false, fermata: false });
  return stanzas.length > 0 ? { ...fields, stanzas: [...stanzas] } : fields;
}

export const storedSyllable = (syllable: Syllable): Fields =>
  leaving(syllable, { joins: false, endsLine: false });

export const playerFields = (player: Partial<Player>): Fields =>
  leaving(player, { comfortEighthsPerMinute: null, spanMillimetres: null, range: null });

/** @param shift under which its range is written (see shift.ts) */
export const voiceFields = (voice: Partial<Voice>, shift = 0): Fields => {
  const { range, ...rest } = voice;
  return { ...leaving(rest, {}), ...(range ? { range: withShift(range, shift) } : {}) };
};

export const songEntryFields = (entry: Partial<SongEntry>): Fields =>
  leaving(entry, { energy: null, archived: false });

export const setEntryFields = (entry: Partial<SetEntry>): Fields => leaving(entry, { ...USUAL_ENTRY });

export const storedFigure = ({ id: _id, notes, ...figure }: Figure): Fields => ({
  ...figure,
  ...storedNotes(notes),
});

/** What is said of a song's start or ending, by its key in `meta`; what has its usual value is left out. */
export const agreedFields = (name: 'start' | 'ending', fields: object): Fields =>
  Object.fromEntries(
    Object.entries(leaving(fields, { ...UNDECIDED[name] })).map(([field, value]) => [
      joinKey(name, field),
      value,
    ]),
  );

/** The key of a word on a phrase's end. */
export const endKey = (noteId: string, stanza: number | null): string =>
  joinKey(noteId, stanza === null ? 'all' : String(stanza));

/** A value by its id, as one JSON value. */
export const storedWhole = (value: { readonly id: string }): Fields => leaving(value, {});

/**
 * Writes a document in one transaction under a client id of its own, and gives a document that holds it and goes on
 * under another. With a given client id the same value gives the same bytes.
 */
function seeded(clientId: number | undefined, write: (put: Put) => void): Y.Doc {
  const seed = new Y.Doc();
  if (clientId !== undefined) seed.clientID = clientId;
  seed.transact(() =>
    write({
      value: (name, key, value) => mapOf(seed, name).set(key, value),
      item: (name, id, fields) => mapOf(seed, name).set(id, new Y.Map(Object.entries(fields))),
    }),
  );
  const doc = new Y.Doc();
  Y.applyUpdate(doc, Y.encodeStateAsUpdate(seed));
  seed.destroy();
  return doc;
}

interface Put {
  readonly value: (name: MapName, key: string, value: unknown) => void;
  readonly item: (name: MapName, id: string, fields: Fields) => void;
}

/** Every item with its place in a new order. */
function inOrder<T>(items: readonly T[], put: (item: T, position: string) => void): void {
  const positions = firstPositions(items.length);
  items.forEach((item, i) => {
    put(item, itemAt(positions, i));
  });
}

/**
 * A new document that holds a song. Only the server makes one, once for each song.
 *
 * @param clientId for the same bytes every time (stored samples); left out, Yjs picks one
 */
export function newSongDocument(song: Song, clientId?: number): Y.Doc {
  return seeded(clientId, (put) => {
    const { id, title, key, tempo, feel } = song;
    for (const [field, value] of Object.entries({
      kind: 'song',
      version: SONG_VERSION,
      id,
      title,
      key,
      shift: 0,
      tempo,
      feel,
      ...(song.tempoRange ? { tempoRange: { ...song.tempoRange, tempo } } : {}),
      ...agreedFields('start', song.start),
      ...agreedFields('ending', song.ending),
    })) {
      put.value('meta', field, value);
    }
    inOrder(song.sections, (section, position) => {
      const { name, chordsGuessed } = section;
      put.item('sections', section.id, {
        name,
        position,
        ...leaving({ chordsGuessed }, { chordsGuessed: undefined }),
      });
      inOrder(section.bars, (bar, place) => {
        put.item('bars', bar.id, { sectionId: section.id, position: place, ...barFields(bar) });
      });
    });
    inOrder(song.voices, (voice, position) => {
      put.item('voices', voice.id, { position, ...voiceFields(voice) });
    });
    inOrder(song.passes, (pass, position) => {
      put.item('passes', pass.id, { position, ...passFields(pass) });
    });
    for (const note of song.notes) {
      put.value('notes', note.id, storedNote(note));
      note.syllables.forEach((syllable, i) => {
        if (syllable) put.value('words', joinKey(note.id, String(i + 1)), storedSyllable(syllable));
      });
    }
    for (const chord of song.chords) put.value('chords', chord.id, storedWhole(chord));
    for (const { playerId, ...fields } of song.settings) {
      for (const [field, value] of Object.entries(fields))
        put.value('settings', joinKey(playerId, field), value);
    }
    for (const answer of song.settled) put.value('settled', answer.id, storedAnswer(answer));
    for (const answer of song.proposals) put.value('proposals', answer.id, storedAnswer(answer));
    for (const vote of song.votes) put.value('votes', joinKey(vote.proposalId, vote.playerId), vote.yes);
    for (const comment of song.comments) put.value('comments', comment.id, storedWhole(comment));
    for (const { noteId, stanza, ends } of song.phraseEnds) put.value('ends', endKey(noteId, stanza), ends);
    for (const { passId, noteId, voiceId, playerId } of song.singing)
      put.value('singing', joinThree(passId, noteId ?? '', voiceId), playerId);
  });
}

/** A new document that holds a band; as `newSongDocument`. */
export function newBandDocument(band: Band, clientId?: number): Y.Doc {
  return seeded(clientId, (put) => {
    for (const [field, value] of Object.entries({
      kind: 'band',
      version: BAND_VERSION,
      id: band.id,
      name: band.name,
      ...leaving(Object.fromEntries(BAND_SETTINGS.map((field) => [field, band[field]])), { ...NEW_BAND }),
    })) {
      put.value('meta', field, value);
    }
    inOrder(band.players, (player, position) => {
      put.item('players', player.id, { position, ...playerFields(player) });
    });
    inOrder(band.songs, (song, position) => {
      put.item('songs', song.id, { position, ...songEntryFields(song) });
    });
    inOrder(band.sets, (set, position) => {
      put.item('sets', set.id, {
        position,
        name: set.name,
        ...leaving({ targetSeconds: set.targetSeconds }, { targetSeconds: null }),
      });
      inOrder(set.entries, (entry, place) => {
        put.item('entries', entry.id, {
          setId: set.id,
          position: place,
          ...setEntryFields(entry),
        });
      });
      for (const { songs, wanted } of set.pairs) put.value('pairs', joinThree(set.id, ...songs), wanted);
    });
    for (const figure of band.figures) put.value('figures', figure.id, storedFigure(figure));
    for (const remark of band.remarks) put.value('remarks', remark.id, storedWhole(remark));
  });
}

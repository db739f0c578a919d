import fc from 'fast-check';
import * as Y from 'yjs';
import { itemAt } from '@/lib/base';
import {
  type BandEdits,
  newBandDocument,
  newSongDocument,
  readBand,
  readSong,
  type SongEdits,
} from '@/lib/document';
import type { Fill } from '@/lib/song';
import { BAND, bandEdits, bar, SONG, songEdits } from './sample';

/** One thing that somebody does: which edit, and numbers from which it takes its arguments. */
export interface Move {
  readonly who: number;
  readonly edit: number;
  readonly a: number;
  readonly b: number;
  readonly c: number;
}

export const moves = (people: number, most: number): fc.Arbitrary<Move[]> =>
  fc.array(
    fc.record({ who: fc.nat(people - 1), edit: fc.nat(999), a: fc.nat(30), b: fc.nat(30), c: fc.nat(30) }),
    { minLength: 1, maxLength: most },
  );

export interface Replica<E> {
  readonly doc: Y.Doc;
  readonly edits: E;
}

/** Replicas of one document, each with one person, whose client ids are given (their order decides merges). */
function replicas<E>(
  first: Y.Doc,
  people: number,
  edits: (doc: Y.Doc, who: number) => E,
): readonly Replica<E>[] {
  return Array.from({ length: people }, (_, who) => {
    const doc = new Y.Doc();
    doc.clientID = 100 - who;
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(first));
    return { doc, edits: edits(doc, who) };
  });
}

export const songCrowd = (people: number) =>
  replicas(newSongDocument(SONG, 1), people, (doc, who) => songEdits(doc, who));
export const bandCrowd = (people: number) =>
  replicas(newBandDocument(BAND, 1), people, (doc, who) => bandEdits(doc, who));

/** One replica hears what another has. */
export const hear = (to: Replica<unknown>, from: Replica<unknown>): void =>
  Y.applyUpdate(to.doc, Y.encodeStateAsUpdate(from.doc, Y.encodeStateVector(to.doc)));

export function meet(all: readonly Replica<unknown>[]): void {
  const first = itemAt(all, 0);
  for (const each of all) hear(first, each);
  for (const each of all) hear(each, first);
}

const PLAYERS = ['ann', 'bo', 'cy'];

export type Doing<E> = (edits: E, doc: Y.Doc, move: Move) => unknown;

/** Takes one of a list by a number; a text that names nothing where the list is empty. */
const pick = (items: readonly { readonly id: string }[], n: number): string =>
  items.length === 0 ? 'nothing' : itemAt(items, n % items.length).id;

const songOf = (doc: Y.Doc) => readSong(doc).song;
const barsOf = (doc: Y.Doc) => songOf(doc).sections.flatMap((section) => section.bars);

export const MOVING_PASSES: readonly Doing<SongEdits>[] = [
  (edits, doc, { a, b }) => edits.movePass(pick(songOf(doc).passes, a), b % 8),
];

/** Edits of a song that say nothing about spaces. */
export const SHAPING: readonly Doing<SongEdits>[] = [
  (edits, _doc, { a }) => edits.setTitle(`Title ${a}`),
  (edits, _doc, { a }) => edits.setTempo(a < 3 ? null : 60 + a),
  (edits, _doc, { a }) => edits.transpose((a % 9) - 4),
  (edits, _doc, { a, b }) =>
    edits.setKey({ tonic: itemAt(['G', 'Bb', 'F#'], a % 3), mode: b % 2 === 0 ? 'major' : 'dorian' }),
  (edits, _doc, { a }) => edits.setFeel({ ratio: 1 + (a % 4) / 4 }),
  (edits, doc, { a, b, c }) =>
    edits.setSyllable(
      pick(songOf(doc).notes, a),
      1 + (b % 3),
      c < 6 ? null : { text: `la${c}`, joins: c > 20, endsLine: false },
    ),
  (edits, doc, { a, b }) => edits.setNote(pick(songOf(doc).notes, a), { midi: 50 + b }),
  (edits, doc, { a, b, c }) =>
    edits.setNote(pick(songOf(doc).notes, a), { barId: pick(barsOf(doc), b), offset: c * 100 }),
  (edits, doc, { a, b, c }) =>
    edits.addNote({
      voiceId: pick(songOf(doc).voices, c),
      barId: pick(barsOf(doc), a),
      offset: b * 100,
      ticks: 480,
      midi: 60,
      breath: false,
      fermata: false,
    }),
  (edits, doc, { a }) => edits.removeNote(pick(songOf(doc).notes, a)),
  (edits, doc, { a, b, c }) => edits.setChord(pick(barsOf(doc), a), (b % 3) * 960, `C${c}`),
  (edits, doc, { a }) => edits.removeChord(pick(songOf(doc).chords, a)),
  (edits, doc, { a, b }) => edits.setBar(pick(barsOf(doc), a), { ticks: 480 * (1 + b) }),
  (edits, doc, { a, b }) => edits.setBar(pick(barsOf(doc), a), { endings: b % 2 === 0 ? [] : [b] }),
  (edits, doc, { a, b, c }) => {
    const section = songOf(doc).sections[a % 2];
    const { id: _id, ...fields } = bar('', { ticks: 480 * (1 + c) });
    return edits.insertBar(
      section?.id ?? 'nothing',
      b % 4 === 0 ? null : pick(section?.bars ?? [], b),
      fields,
    );
  },
  (edits, doc, { a, b }) =>
    edits.setBar(pick(barsOf(doc), a), { key: b % 3 === 0 ? null : { tonic: 'Eb', mode: 'major' } }),
  (edits, doc, { a }) => edits.removeBar(pick(barsOf(doc), a)),
  (edits, doc, { a, b }) => edits.renameSection(pick(songOf(doc).sections, a), `Section ${b}`),
  (edits, _doc, { a }) => edits.addSection(`New ${a}`),
  (edits, doc, { a, b }) => (b < 4 ? edits.removeSection(pick(songOf(doc).sections, a)) : null),
  (edits, doc, { a, b, c }) =>
    edits.addPass({ sectionId: pick(songOf(doc).sections, a), stanza: 1 + (b % 3) }, c % 6),
  ...MOVING_PASSES,
  (edits, doc, { a, b }) => edits.setPass(pick(songOf(doc).passes, a), { stanza: b % 4 === 0 ? null : b }),
  (edits, doc, { a }) => edits.removePass(pick(songOf(doc).passes, a)),
  (edits, doc, { a, b, c }) =>
    edits.setRole(
      pick(songOf(doc).passes, a),
      itemAt(PLAYERS, b % 3),
      c % 4 === 0 ? null : c % 2 === 0 ? 'lead' : 'break',
    ),
  (edits, _doc, { a, b }) => edits.setSetting(itemAt(PLAYERS, a % 3), { instrument: 'guitar', capo: b % 12 }),
  (edits, doc, { a, b }) => edits.setVoice(pick(songOf(doc).voices, a), { playerId: itemAt(PLAYERS, b % 3) }),
  (edits, _doc, { a }) => edits.addVoice({ name: `Voice ${a}`, part: 'baritone', playerId: null }),
  (edits, doc, { a, b, c }) => edits.endPhrase(pick(songOf(doc).notes, a), c % 2 === 0 ? null : 1 + (b % 3)),
  (edits, doc, { a, b, c }) => edits.joinPhrase(pick(songOf(doc).notes, a), c % 2 === 0 ? null : 1 + (b % 3)),
  (edits, doc, { a, b, c }) =>
    edits.movePhraseEnd(
      pick(songOf(doc).notes, a),
      pick(songOf(doc).notes, b),
      c % 3 === 0 ? null : 1 + (c % 3),
    ),
  (edits, doc, { a, b }) =>
    edits.letModelDecide(pick(songOf(doc).notes, a), b % 2 === 0 ? null : 1 + (b % 3)),
  (edits, doc, { a, b, c }) => {
    const notes = songOf(doc).notes.filter((_, i) => i % 3 === b % 3);
    const put = notes.map((note) => ({ ...note, offset: c, stanzas: c % 2 === 0 ? [] : [1, 3] }));
    const chords = songOf(doc)
      .chords.filter((_, i) => i % 2 === b % 2)
      .map(({ id, barId }, i) => ({ id, barId, offset: ((b + i) % 4) * 480 }));
    const remove = a % 4 === 0 ? [pick(songOf(doc).notes, a)] : [];
    return edits.putSung('moving words', { put, remove, chords });
  },
  (edits, doc, { a, b, c }) =>
    edits.moveChord(pick(songOf(doc).chords, a), pick(barsOf(doc), b), (c % 3) * 960),
  (edits, doc, { a, b, c }) => {
    const note = songOf(doc).notes[b % 5];
    const singing = {
      passId: pick(songOf(doc).passes, a),
      voiceId: note?.voiceId ?? 'lead',
      noteId: c % 3 === 0 ? null : (note?.id ?? null),
    };
    return c % 5 === 0
      ? edits.clearSinging(singing)
      : edits.setSinging({ ...singing, playerId: c % 4 === 0 ? null : itemAt(PLAYERS, c % 3) });
  },
  (edits, doc, { a, b }) =>
    edits.setVoice(pick(songOf(doc).voices, a), {
      range: b % 4 === 0 ? null : { low: 40 + b, high: 60 + b },
    }),
  (edits, _doc, { a, b }) => edits.setTappedTempo(60 + a, { low: 58 + a, high: 61 + a + b }),
  (edits, _doc, { a, b }) =>
    edits.setStart({ playerId: b % 3 === 0 ? null : itemAt(PLAYERS, a % 3), with: `lick ${b % 2}` }),
  (edits, _doc, { a, b }) =>
    edits.setEnding({ kind: a % 3 === 0 ? null : 'hold', note: b % 2 === 0 ? '' : `end ${b}` }),
  (edits, doc, { a, b }) => edits.vote(pick(songOf(doc).proposals, a), b % 3 === 0 ? null : b % 2 === 0),
  (edits, _doc, { a }) => edits.comment(null, `Word ${a}`),
  (edits, doc, { a }) => edits.removeComment(pick(songOf(doc).comments, a)),
];

const placeOf = ({ a }: Move) => ({ passId: `pass-${a % 3}`, noteId: null, voiceId: null });

const FILL: Fill = {
  family: 'bass run',
  notes: [0, 480, 960].map((tick) => ({
    tick: 960 + tick,
    ticks: 480,
    midi: 50,
    string: 4,
    fret: 0,
    finger: 0,
    articulation: 'struck',
    stroke: 'down',
    strokeRule: 'the beat',
    exception: false,
  })),
  chords: [{ tick: 960, symbol: 'D' }],
};

export const ANSWERING: readonly Doing<SongEdits>[] = [
  (edits, doc, { a, b, c }) => {
    const note = songOf(doc).notes[a % 5];
    const place = { passId: `pass-${b % 3}`, noteId: note?.id ?? null, voiceId: note?.voiceId ?? null };
    const holding = { kind: 'fill', playerId: itemAt(PLAYERS, c % 3), fill: FILL } as const;
    return edits.settle(place, { from: 960, to: 3840 }, holding);
  },
  (edits, _doc, move) =>
    edits.settle(
      placeOf(move),
      { from: 0, to: 1 + move.b },
      { kind: 'ad lib', playerId: itemAt(PLAYERS, move.c % 3) },
    ),
  (edits, _doc, move) => edits.settle(placeOf(move), { from: 0, to: 1 + move.b }, { kind: 'left open' }),
  (edits, _doc, move) => edits.unsettle(placeOf(move)),
  (edits, _doc, move) => edits.propose(placeOf(move), { from: 0, to: 1 + move.b }, { kind: 'left open' }),
  (edits, doc, { a }) => edits.settleProposal(pick(songOf(doc).proposals, a)),
  (edits, doc, { a }) => edits.withdrawProposal(pick(songOf(doc).proposals, a)),
];

export const UNDOING: readonly Doing<SongEdits | BandEdits>[] = [
  (edits) => edits.undo(),
  (edits) => edits.redo(),
];

const bandOf = (doc: Y.Doc) => readBand(doc).band;
const setOf = (doc: Y.Doc, n: number) => bandOf(doc).sets[n % Math.max(1, bandOf(doc).sets.length)];

export const MOVING_IN_BAND: readonly Doing<BandEdits>[] = [
  (edits, doc, { a, b }) => edits.moveSong(pick(bandOf(doc).songs, a), b % 8),
  (edits, doc, { a, b, c }) => edits.moveInSet(pick(setOf(doc, a)?.entries ?? [], b), c % 6),
];

export const BANDING: readonly Doing<BandEdits>[] = [
  (edits, _doc, { a }) => edits.rename(`Band ${a}`),
  (edits, doc, { a }) => {
    const { id: _id, ...fields } = itemAt(BAND.players, a % 2);
    return bandOf(doc).players.length < 6 ? edits.addPlayer(fields) : null;
  },
  (edits, doc, { a, b }) => edits.setPlayer(pick(bandOf(doc).players, a), { ink: b % 8 }),
  (edits, doc, { a }) => edits.removePlayer(pick(bandOf(doc).players, a)),
  (edits, doc, { a, b }) => edits.movePlayer(pick(bandOf(doc).players, a), b % 5),
  (edits, _doc, { a, who }) => edits.addSong({ id: `song-${who}-${a}`, title: `Song ${a}` }),
  (edits, doc, { a, b }) => edits.renameSong(pick(bandOf(doc).songs, a), `Song ${b}`),
  ...MOVING_IN_BAND,
  (edits, doc, { a }) => edits.removeSong(pick(bandOf(doc).songs, a)),
  (edits, _doc, { a }) => edits.addSet(`Set ${a}`),
  (edits, doc, { a, b }) => edits.renameSet(pick(bandOf(doc).sets, a), `Set ${b}`),
  (edits, doc, { a, b, c }) => edits.addToSet(pick(bandOf(doc).sets, a), pick(bandOf(doc).songs, b), c % 5),
  (edits, doc, { a, b, c }) =>
    edits.setEntryNote(pick(setOf(doc, a)?.entries ?? [], b), c % 3 === 0 ? '' : `Note ${c}`),
  (edits, doc, { a, b }) =>
    edits.setSong(
      pick(bandOf(doc).songs, a),
      b % 2 === 0 ? { archived: b % 4 === 0 } : { energy: 1 + (b % 5) },
    ),
  (edits, doc, { a, b, c }) =>
    edits.setEntry(pick(setOf(doc, a)?.entries ?? [], b), {
      talkSeconds: c,
      hold: c % 3 === 0 ? null : 1 + c,
      linkBars: c % 4 === 0 ? null : 2,
    }),
  (edits, doc, { a, b, c }) =>
    edits.setPair(
      pick(bandOf(doc).sets, a),
      [pick(bandOf(doc).songs, b), pick(bandOf(doc).songs, c)],
      a % 3 === 0 ? null : 'near',
    ),
  (edits, _doc, { a, b }) => edits.setSettings(b % 2 === 0 ? { votes: a % 2 === 0 } : { openShare: a / 30 }),
  (edits, doc, { a, b }) => {
    const { id: _id, ...fields } = itemAt(BAND.figures, 0);
    const figures = bandOf(doc).figures;
    if (b % 3 === 0) return edits.removeFigure(pick(figures, a));
    if (b % 3 === 1) return edits.renameFigure(pick(figures, a), `Figure ${b}`);
    return figures.length < 6 ? edits.addFigure(fields) : null;
  },
  (edits, doc, { a, b }) =>
    b % 3 === 0
      ? edits.removeRemark(pick(bandOf(doc).remarks, a))
      : edits.addRemark({ songId: pick(bandOf(doc).songs, a), text: `Remark ${b}`, solid: b % 2 === 0 }),
  (edits, doc, { a, b }) => edits.setTarget(pick(bandOf(doc).sets, a), b % 3 === 0 ? null : 60 * b),
  (edits, doc, { a, b }) => edits.moveSet(pick(bandOf(doc).sets, a), b % 4),
  (edits, doc, { a, b }) => edits.removeFromSet(pick(setOf(doc, a)?.entries ?? [], b)),
  (edits, doc, { a, b }) => (b < 5 ? edits.removeSet(pick(bandOf(doc).sets, a)) : null),
];

export function act<E>(replica: Replica<E>, doings: readonly Doing<E>[], move: Move): unknown {
  return itemAt(doings, move.edit % doings.length)(replica.edits, replica.doc, move);
}

/** Every key of every map of a document with its value, as text. */
export function keysOf(doc: Y.Doc): Map<string, string> {
  const keys = new Map<string, string>();
  for (const name of doc.share.keys()) {
    for (const [key, value] of doc.getMap(name)) {
      if (value instanceof Y.Map) {
        for (const [field, each] of value) keys.set(`${name} ${key} ${field}`, JSON.stringify(each));
      } else keys.set(`${name} ${key}`, JSON.stringify(value));
    }
  }
  return keys;
}

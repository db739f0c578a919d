import * as Y from 'yjs';
import { itemAt, type Random, randomFrom } from '@/lib/base';
import { newSongDocument, readSong, SongEdits } from '@/lib/document';
import { type Fill, type Place, type Song, UNDECIDED } from '@/lib/song';
import { bar, clock, idsOf, SONG } from './sample';

const PLAYERS = ['ann', 'bo', 'cy', 'dee', 'eli'];
const WORDS = [
  'wil',
  'low',
  'turns',
  'the',
  'wheel',
  'a',
  'gain',
  'and',
  'grain',
  'runs',
  'down',
  'to',
  'meal',
];
const CHORDS = ['G', 'C', 'D', 'D7', 'Em', 'Am', 'G/B', 'F#m7b5'];
const id = (kind: string, n: number) => `${kind}${String(n).padStart(14 - kind.length, '0')}`;

/** A song of usual length: two sections of 16 bars, three notes a bar with words for three stanzas, 48 chords, seven passes. */
export function usualSong(): Song {
  const bars = Array.from({ length: 32 }, (_, i) => bar(id('b', i)));
  const sections = [0, 1].map((s) => ({
    id: id('s', s),
    name: s === 0 ? 'Verse' : 'Chorus',
    bars: bars.slice(16 * s, 16 * s + 16),
  }));
  const notes = bars.flatMap((each, i) =>
    [0, 1, 2].map((beat) => ({
      id: id('n', 3 * i + beat),
      voiceId: 'lead',
      barId: each.id,
      offset: 960 * beat,
      ticks: 960,
      midi: 60 + ((5 * i + beat) % 12),
      syllables: [0, 1, 2].map((stanza) => ({
        text: itemAt(WORDS, (3 * i + beat + stanza) % WORDS.length),
        joins: beat === 0,
        endsLine: i % 4 === 3 && beat === 2,
      })),
      stanzas: [],
      breath: false,
      fermata: false,
    })),
  );
  const chords = bars.flatMap((each, i) =>
    (i % 2 === 0 ? [0] : [0, 1920]).map((offset) => ({
      id: `${each.id}:${offset}`,
      barId: each.id,
      offset,
      symbol: itemAt(CHORDS, (i + offset) % CHORDS.length),
    })),
  );
  return {
    ...SONG,
    sections,
    passes: Array.from({ length: 7 }, (_, i) => ({
      id: id('p', i),
      sectionId: id('s', i % 2),
      stanza: 1 + (i % 3),
      ending: 1,
      name: '',
      roles: {},
    })),
    voices: SONG.voices.slice(0, 1),
    notes,
    chords,
    settings: [],
    settled: [],
    proposals: [],
    votes: [],
    comments: [],
    ...UNDECIDED,
  };
}

function fill(random: Random): Fill {
  const length = 6 + Math.floor(random() * 6);
  return {
    family: 'forward roll',
    notes: Array.from({ length }, (_, i) => ({
      tick: 960 + 480 * i,
      ticks: 480,
      midi: 55 + Math.floor(random() * 20),
      string: 1 + Math.floor(random() * 4),
      fret: Math.floor(random() * 6),
      finger: Math.floor(random() * 4),
      articulation: i % 4 === 3 ? ('hammer' as const) : ('struck' as const),
      stroke: i % 4 === 3 ? null : ('down' as const),
      strokeRule: i % 4 === 3 ? null : 'toward the next string',
      exception: false,
    })),
    chords: [
      { tick: 960, symbol: 'G' },
      { tick: 2880, symbol: 'D7' },
    ],
  };
}

/** Ordinary work: of a hundred edits, how many are of which kind. */
export const MIX = {
  words: 28,
  chords: 14,
  notes: 8,
  settling: 16,
  unsettling: 2,
  proposals: 3,
  votes: 4,
  comments: 3,
  roles: 8,
  settings: 2,
  tempo: 2,
  transposing: 1,
  moves: 3,
  bars: 2,
  undo: 4,
} as const;
type Kind = keyof typeof MIX;

const KINDS = Object.keys(MIX).flatMap((kind) =>
  Array.from({ length: MIX[kind as Kind] }, () => kind as Kind),
);

/** One edit of a kind; false where it came to nothing. */
function doOne(kind: Kind, edits: SongEdits, song: Song, random: Random): boolean {
  const upTo = (n: number) => Math.floor(random() * n);
  const one = <T>(items: readonly T[]): T => itemAt(items, upTo(items.length));
  const place = (): Place => {
    const note = itemAt(song.notes, Math.min(song.notes.length - 1, 11 + 12 * upTo(8)));
    return { passId: one(song.passes).id, noteId: note.id, voiceId: 'lead' };
  };
  const extent = { from: 960, to: 6720 };
  const holding = () => ({ kind: 'fill', playerId: one(PLAYERS), fill: fill(random) }) as const;
  const bars = song.sections.flatMap((section) => section.bars);
  switch (kind) {
    case 'words':
      return edits.setSyllable(one(song.notes).id, 1 + upTo(3), {
        text: one(WORDS),
        joins: upTo(3) === 0,
        endsLine: false,
      }).ok;
    case 'chords':
      return random() < 0.8
        ? edits.setChord(one(bars).id, upTo(2) * 1920, one(CHORDS)).ok
        : song.chords.length > 30 && edits.removeChord(one(song.chords).id).ok;
    case 'notes':
      return edits.setNote(
        one(song.notes).id,
        random() < 0.5 ? { midi: 60 + upTo(12) } : { ticks: 480 * (1 + upTo(3)) },
      ).ok;
    case 'settling':
      return edits.settle(place(), extent, holding()).ok;
    case 'unsettling':
      return song.settled.length > 0 && edits.unsettle(one(song.settled).place).ok;
    case 'proposals':
      return song.proposals.length < 12
        ? edits.propose(place(), extent, holding()).ok
        : random() < 0.5
          ? edits.settleProposal(one(song.proposals).id).ok
          : edits.withdrawProposal(one(song.proposals).id).ok;
    case 'votes':
      return song.proposals.length > 0 && edits.vote(one(song.proposals).id, random() < 0.7).ok;
    case 'comments':
      return song.comments.length < 30
        ? edits.comment(random() < 0.5 ? null : place(), 'Leave the first beat to the bass, then come in').ok
        : edits.removeComment(one(song.comments).id).ok;
    case 'roles':
      return edits.setRole(
        one(song.passes).id,
        one(PLAYERS),
        one(['lead', 'harmony', 'break', 'backup', null]),
      ).ok;
    case 'settings':
      return edits.setSetting(one(PLAYERS), { instrument: one(['guitar', 'banjo']), capo: upTo(5) }).ok;
    case 'tempo':
      return edits.setTempo(80 + upTo(60)).ok;
    case 'transposing':
      return edits.transpose(song.key.tonic === 'D' ? 2 : -2).ok;
    case 'moves':
      return edits.movePass(one(song.passes).id, upTo(song.passes.length)).ok;
    case 'bars': {
      const section = one(song.sections);
      const sung = new Set(song.notes.map((note) => note.barId));
      const empty = section.bars.find((each) => !sung.has(each.id));
      if (empty && section.bars.length > 18) return edits.removeBar(empty.id).ok;
      const { id: _id, ...fields } = bar('');
      return edits.insertBar(section.id, one(section.bars).id, fields).ok;
    }
    case 'undo':
      return edits.undo() !== null;
  }
}

/**
 * A song after weeks of ordinary work: two people at a time, in sessions of 125 edits each, every session under a client id of its own,
 * each edit heard at once by the other and by a server's copy, which is given back.
 */
export function workOn(
  song: Song,
  edits: number,
  seed: number,
  each?: (done: number, doc: Y.Doc) => void,
): Y.Doc {
  const random = randomFrom(seed);
  const now = clock(1_760_000_000_000);
  const server = newSongDocument(song, 1);
  let session = 0;
  const open = () => {
    session += 1;
    const doc = new Y.Doc();
    // As large as those that Yjs picks.
    doc.clientID = 2_000_000_000 + Math.floor(random() * 2_000_000_000);
    Y.applyUpdate(doc, Y.encodeStateAsUpdate(server));
    const editor = new SongEdits(doc, { by: itemAt(PLAYERS, session % 5), now, makeId: idsOf(session) });
    return { doc, editor };
  };
  let people = [open(), open()];
  for (let done = 0; done < edits; ) {
    if (done > 0 && done % 250 === 0) {
      for (const { editor, doc } of people) {
        editor.destroy();
        doc.destroy();
      }
      people = [open(), open()];
    }
    const { doc, editor } = itemAt(people, Math.floor(random() * 2));
    const updates: Uint8Array[] = [];
    const keep = (update: Uint8Array) => updates.push(update);
    doc.on('update', keep);
    const kind = itemAt(KINDS, Math.floor(random() * KINDS.length));
    const worked = doOne(kind, editor, readSong(doc).song, random);
    doc.off('update', keep);
    for (const update of updates)
      for (const other of [server, ...people.map((person) => person.doc)])
        if (other !== doc) Y.applyUpdate(other, update);
    if (!worked || updates.length === 0) continue;
    done += 1;
    each?.(done, server);
  }
  return server;
}

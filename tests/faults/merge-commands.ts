import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import type * as Y from 'yjs';
import { itemAt } from '../../lib/base';
import {
  BandEdits,
  type Editor,
  newBandDocument,
  newSongDocument,
  readBand,
  readSong,
  SongEdits,
} from '../../lib/document';
import { type Answer, bandSchema, checkSong, songSchema } from '../../lib/song';
import { ANSWERING, BANDING, type Doing, keysOf, type Move, SHAPING, UNDOING } from '../unit/document/crowd';
import { BAND, clock, idsOf, SONG } from '../unit/document/sample';
import { type Happened, MergeLine } from './merge-line';

export const MOST_PEOPLE = 6;

type Step =
  | { readonly kind: 'edit'; readonly move: Move }
  | { readonly kind: 'cut' | 'join whole' | 'reload'; readonly who: number }
  | { readonly kind: 'join' | 'again'; readonly who: number; readonly n: number };

/** What is held at every moment, of one person's document. */
type Check = (doc: Y.Doc) => void;

/** A step as a command: the model is in the line itself, which holds every document against it. */
class StepCommand<E extends Editor> implements fc.Command<object, MergeLine<E>> {
  readonly #step: Step;
  readonly #doings: readonly Doing<E>[];
  readonly #check: Check;

  constructor(step: Step, doings: readonly Doing<E>[], check: Check) {
    this.#step = step;
    this.#doings = doings;
    this.#check = check;
  }

  check(): boolean {
    return true;
  }

  run(_model: object, line: MergeLine<E>): void {
    const step = this.#step;
    const who = (step.kind === 'edit' ? step.move.who : step.who) % line.people.length;
    if (step.kind === 'edit') {
      const doing = itemAt(this.#doings, step.move.edit % this.#doings.length);
      line.edit(who, (edits, doc) => doing(edits, doc, { ...step.move, who }));
    } else if (step.kind === 'cut') line.cut(who);
    else if (step.kind === 'join') line.join(who, step.n);
    else if (step.kind === 'join whole') line.joinWhole(who);
    else if (step.kind === 'again') line.again(who, step.n);
    else line.reload(who);
    hold(line, who, this.#check);
  }

  toString(): string {
    return JSON.stringify(this.#step);
  }
}

function hold<E extends Editor>(line: MergeLine<E>, who: number, check: Check): void {
  const faults = line.wrong(who);
  if (faults.length > 0) throw new Error(faults.join('\n'));
  check(itemAt(line.people, who).doc);
}

function must(isSo: boolean, what: string): void {
  if (!isSo) throw new Error(what);
}

/** What holds in every song, whatever people did at once. */
export function checkSongDocument(doc: Y.Doc): void {
  const { song, broken } = readSong(doc);
  must(checkSong(song).length === 0, checkSong(song).join('\n'));
  must(isDeepStrictEqual(songSchema.parse(song), song), 'the song is not as its schema has it');
  const strange = broken.filter((sentence) => !sentence.endsWith('lies behind the end of its bar'));
  must(strange.length === 0, strange.join('\n'));
  // Of all answers that are there, the latest at each place stands, ties by the greater id; every other one is a proposal.
  const live: Pick<Answer, 'id' | 'at' | 'place'>[] = [];
  const put = new Set<string>();
  for (const [key, value] of keysOf(doc)) {
    const [map, id] = key.split(' ');
    if (map === 'settled') live.push({ ...JSON.parse(value), id });
    if (map === 'proposals' && id !== undefined) put.add(id);
  }
  const stands = live.filter(
    (one) =>
      !live.some(
        (other) =>
          isDeepStrictEqual(other.place, one.place) &&
          (other.at > one.at || (other.at === one.at && other.id > one.id)),
      ),
  );
  const ids = (answers: readonly { readonly id: string }[]) => answers.map(({ id }) => id).sort();
  must(
    isDeepStrictEqual(ids(song.settled), ids(stands)),
    'another answer stands than the latest at its place',
  );
  for (const { id } of live) if (!stands.some((one) => one.id === id)) put.add(id);
  must(
    isDeepStrictEqual(ids(song.proposals), [...put].sort()),
    'an answer that does not stand is no proposal',
  );
}

/** What holds in every band. */
export function checkBandDocument(doc: Y.Doc): void {
  const { band, broken } = readBand(doc);
  must(broken.length === 0, broken.join('\n'));
  must(isDeepStrictEqual(bandSchema.parse(band), band), 'the band is not as its schema has it');
  const songs = new Set(band.songs.map(({ id }) => id));
  const entries = band.sets.flatMap((set) => set.entries);
  for (const list of [band.players, band.songs, band.sets, entries])
    must(new Set(list.map(({ id }) => id)).size === list.length, 'an id stands twice');
  for (const { songId } of entries) must(songs.has(songId), 'a set has a song that is not in the band');
}

function steps<E extends Editor>(
  doings: readonly Doing<E>[],
  check: Check,
): fc.Arbitrary<fc.Command<object, MergeLine<E>>>[] {
  const who = fc.nat(MOST_PEOPLE - 1);
  const n = fc.nat(30);
  const edit = fc.record({ who, edit: fc.nat(999), a: n, b: n, c: n });
  const kinds: readonly (readonly [number, fc.Arbitrary<Step>])[] = [
    [14, edit.map((move) => ({ kind: 'edit', move }))],
    [2, who.map((each) => ({ kind: 'cut', who: each }))],
    [2, fc.record({ kind: fc.constant('join' as const), who, n: fc.nat(6) })],
    [1, who.map((each) => ({ kind: 'join whole', who: each }))],
    [1, fc.record({ kind: fc.constant('again' as const), who, n })],
    [1, who.map((each) => ({ kind: 'reload', who: each }))],
  ];
  return kinds.flatMap(([weight, step]) =>
    Array.from({ length: weight }, () => step.map((each) => new StepCommand(each, doings, check))),
  );
}

/** Everybody meets: all are equal, to themselves under new readers too, and as the model has it. */
function end<E extends Editor>(line: MergeLine<E>, check: Check, read: (doc: Y.Doc) => unknown): void {
  line.people.forEach((_, who) => {
    line.joinWhole(who);
  });
  line.people.forEach((_, who) => {
    line.joinWhole(who);
  });
  const reading = read(line.hub);
  line.people.forEach(({ doc }, who) => {
    hold(line, who, check);
    must(isDeepStrictEqual(read(doc), reading), `person ${who} reads something else than the hub`);
  });
}

interface Room<E extends Editor> {
  readonly first: () => Y.Doc;
  readonly edits: (doc: Y.Doc, who: number, session: number) => E;
  readonly doings: readonly Doing<E>[];
  readonly check: Check;
  readonly read: (doc: Y.Doc) => unknown;
}

/** Clocks an hour apart from one another. */
const options = (who: number, session: number) => ({
  by: `player-${who}`,
  now: clock(1_760_000_000_000 + who * 3_600_000 + session * 1000),
  makeId: idsOf(session),
});

export const SONG_ROOM: Room<SongEdits> = {
  first: () => newSongDocument(SONG, 1),
  edits: (doc, who, session) => new SongEdits(doc, options(who, session)),
  doings: [...SHAPING, ...ANSWERING, ...ANSWERING, ...UNDOING, ...UNDOING],
  check: checkSongDocument,
  read: readSong,
};

export const BAND_ROOM: Room<BandEdits> = {
  first: () => newBandDocument(BAND, 1),
  edits: (doc, who, session) => new BandEdits(doc, options(who, session)),
  doings: [...BANDING, ...UNDOING],
  check: checkBandDocument,
  read: readBand,
};

/** The property: any steps by two to six people end as the model has it. */
export const mergesAsStated = <E extends Editor>(
  room: Room<E>,
  most: number,
  tell: (what: Happened) => void,
) =>
  fc.property(
    fc.integer({ min: 2, max: MOST_PEOPLE }),
    fc.commands(steps(room.doings, room.check), { maxCommands: most, size: 'max' }),
    (people, commands) => {
      const line = new MergeLine(room.first(), people, room.edits);
      fc.modelRun(() => ({ model: {}, real: line }), commands);
      end(line, room.check, room.read);
      tell(line.happened);
    },
  );

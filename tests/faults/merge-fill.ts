import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import * as Y from 'yjs';
import { itemAt, must } from '../../lib/base';
import { newSongDocument, readSong, SongEdits } from '../../lib/document';
import { arrange } from '../../lib/parts';
import { checkSong, type Song } from '../../lib/song';
import { meet } from '../unit/document/crowd';
import { BAND, bar, clock, idsOf, SONG } from '../unit/document/sample';

/**
 * What the others do around a fill, which hangs on the note n3 (bar v1, first time through the verse) and lasts over the bar v2.
 * Each by its name, so that a failure says what was done.
 */
const AROUND = {
  'a line is put in before it': (edits: SongEdits) => {
    let before: string | null = null;
    for (const word of ['down', 'by', 'the', 'weir']) {
      const { id: _id, ...fields } = bar('');
      const made = edits.insertBar('verse', before, fields);
      if (!made.ok) return;
      before = made.value;
      const note = edits.addNote({
        voiceId: 'lead',
        barId: made.value,
        offset: 0,
        ticks: 1920,
        midi: 64,
        breath: word === 'weir',
        fermata: false,
      });
      if (note.ok) edits.setSyllable(note.value, 1, { text: word, joins: false, endsLine: word === 'weir' });
    }
  },
  'the bar in it is deleted': (edits: SongEdits) => edits.removeBar('v2'),
  'the bar behind it is deleted': (edits: SongEdits) => edits.removeBar('v3'),
  'the song is transposed': (edits: SongEdits) => edits.transpose(2),
  'the song is transposed back and further': (edits: SongEdits) => {
    edits.transpose(-1);
    edits.transpose(-3);
  },
  'its phrase is split by a breath': (edits: SongEdits) => edits.setNote('n2', { breath: true, ticks: 480 }),
  'its phrase is split in its last note': (edits: SongEdits) => {
    edits.setNote('n3', { ticks: 240, breath: true });
    edits.addNote({
      voiceId: 'lead',
      barId: 'v1',
      offset: 1920,
      ticks: 240,
      midi: 67,
      breath: false,
      fermata: false,
    });
  },
  'the word on its note is changed': (edits: SongEdits) =>
    edits.setSyllable('n3', 1, { text: 'wheel', joins: false, endsLine: true }),
  'its note is moved in its bar': (edits: SongEdits) => edits.setNote('n3', { offset: 1440 }),
  'the bar with its note is deleted': (edits: SongEdits) => edits.removeBar('v1'),
  'its note is deleted': (edits: SongEdits) => edits.removeNote('n3'),
  'a pass is put before its pass': (edits: SongEdits) => edits.addPass({ sectionId: 'chorus', stanza: 1 }, 0),
  'its pass is moved to the front': (edits: SongEdits) => edits.movePass('pass-1', 0),
  'its pass takes another ending': (edits: SongEdits) => edits.setPass('pass-1', { ending: 2 }),
  'its pass is deleted': (edits: SongEdits) => edits.removePass('pass-1'),
  'a chord under it is changed': (edits: SongEdits) => edits.setChord('v1', 1920, 'Em'),
  'the last thing is taken back': (edits: SongEdits) => edits.undo(),
} as const;
type Name = keyof typeof AROUND;
const NAMES = Object.keys(AROUND).filter((name): name is Name => name in AROUND);

/** Those that leave its note and its pass: the fill must still sound after its note. */
export const HARMLESS: readonly Name[] = [
  'a line is put in before it',
  'the bar in it is deleted',
  'the song is transposed',
  'its phrase is split by a breath',
  'its phrase is split in its last note',
];

const SETTLED = must(SONG.settled[0], 's1');
const FILL = must(SETTLED.holding.kind === 'fill' ? SETTLED.holding.fill : null, 'a fill');

/** Where a note begins on the roadmap, counted by hand from the song's value; null where its pass or bar is not played. */
function onsetOf(song: Song, passId: string, noteId: string): number | null {
  const note = song.notes.find(({ id }) => id === noteId);
  let tick = 0;
  for (const pass of song.passes) {
    const section = song.sections.find(({ id }) => id === pass.sectionId);
    for (const each of section?.bars ?? []) {
      if (each.endings.length > 0 && !each.endings.includes(pass.ending)) continue;
      if (pass.id === passId && note?.barId === each.id)
        return pass.stanza === null ? null : tick + note.offset;
      tick += each.ticks;
    }
  }
  return null;
}

/** What became of the fill, as a page shows it; throws where it is lost, changed, or sounds elsewhere. */
export function checkFill(song: Song): 'sounds' | 'kept aside' {
  const settled = song.settled.find(({ id }) => id === SETTLED.id);
  if (!isDeepStrictEqual(settled, SETTLED)) throw new Error('the fill is not what was settled');
  const { standings, homeless } = arrange(song);
  const standing = standings.find(({ answer }) => answer.id === SETTLED.id);
  const aside = homeless.some(({ id }) => id === SETTLED.id);
  if (Boolean(standing) === aside)
    throw new Error('the fill stands neither in the song nor aside, or in both');
  const onset = onsetOf(song, SETTLED.place.passId, must(SETTLED.place.noteId, 'its note'));
  if (onset === null) {
    if (!aside) throw new Error('the fill sounds, though its place is not played');
    return 'kept aside';
  }
  if (!standing) throw new Error('the fill is aside, though its place is played');
  const sounding = standing.notes.map(({ tick, midi }) => [tick, midi]);
  const expected = FILL.notes.map(({ tick, midi }) => [onset + tick, midi]);
  if (!isDeepStrictEqual(sounding, expected))
    throw new Error('the fill sounds elsewhere than after its note');
  return 'sounds';
}

/** What each of up to six people does, cut off from all others; then they meet one by one, in any order. */
export const fillSurvives = (names: readonly Name[] = NAMES, tell: (what: 'sounds' | 'kept aside') => void) =>
  fc.property(
    fc.array(fc.array(fc.constantFrom(...names), { minLength: 1, maxLength: 4 }), {
      minLength: 1,
      maxLength: 6,
    }),
    fc.array(fc.nat(5), { maxLength: 10 }),
    fc.boolean(),
    (done, order, all) => {
      const first = newSongDocument(SONG, 1);
      const people = done.map((_, who) => {
        const doc = new Y.Doc();
        doc.clientID = 100 + ((who * 37) % 59);
        Y.applyUpdate(doc, Y.encodeStateAsUpdate(first));
        const by = itemAt(BAND.players, who % 2).id;
        return { doc, edits: new SongEdits(doc, { by, now: clock(5000 + who), makeId: idsOf(who) }) };
      });
      people.forEach(({ doc, edits }, who) => {
        // One of them, now and then, does all of it.
        for (const name of all && who === 0 ? names : itemAt(done, who)) AROUND[name](edits);
        checkFill(readSong(doc).song);
      });
      for (const who of order) {
        const [one, other] = [itemAt(people, who % people.length), itemAt(people, (who + 1) % people.length)];
        Y.applyUpdate(one.doc, Y.encodeStateAsUpdate(other.doc, Y.encodeStateVector(one.doc)));
        const { song } = readSong(one.doc);
        if (checkSong(song).length > 0) throw new Error(checkSong(song).join('\n'));
        checkFill(song);
      }
      meet(people);
      const reading = readSong(itemAt(people, 0).doc);
      for (const { doc } of people)
        if (!isDeepStrictEqual(readSong(doc), reading)) throw new Error('two people read different songs');
      if (checkSong(reading.song).length > 0) throw new Error(checkSong(reading.song).join('\n'));
      tell(checkFill(reading.song));
    },
  );

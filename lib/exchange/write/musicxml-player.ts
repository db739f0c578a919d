import type { FillNote } from '../../song';
import type { Key } from '../../theory';
import { barTicks, type Ticks } from '../../time';
import { handSigns, type Joints, jointsOf } from './musicxml-hands';
import { attributesOf, noteValue, pitchOf } from './musicxml-notes';
import { stavesOf } from './musicxml-staves';
import { type Piece, piecesOf } from './pieces';
import type { Playing, Sounded } from './playing';
import { eventsOf, type Score, type ScoreBar } from './score';
import { element, textElement } from './xml';

type Staff = 'notes' | 'tab';

/**
 * The measures of one player's part: what was settled, in notes with the strokes and fingers of both hands and, for who reads it, in
 * tablature beneath. The tablature's notes are written with no loudness, so that what is heard is heard once.
 */
export function playerMeasures(score: Score, { setup, sounded, cues }: Playing): string[] {
  const joints = jointsOf(sounded);
  const staves = stavesOf(setup, score.song.key);
  const staffs: readonly Staff[] = staves.withTab ? ['notes', 'tab'] : ['notes'];
  let key = score.song.key;
  let from = 0;
  return score.bars.map((bar, i) => {
    key = bar.key ?? key;
    const { startTick, endTick, number, bar: written } = bar.placed;
    while (from < sounded.length && (sounded[from]?.endTick ?? 0) <= startTick) from += 1;
    const pieces = piecesOf(eventsOf(sounded, from, bar.placed), bar.ticks);
    const said = cues.filter(({ tick }) => tick >= startTick && tick < endTick);
    return `${element(
      'measure',
      { number: written.pickup ? (i === 0 ? 0 : `X${i}`) : number, implicit: written.pickup ? 'yes' : null },
      attributesOf(bar, i === 0, i === 0 ? staves.attributes : ''),
      ...said.map(({ tick, text }) => wordsAt(text, tick - startTick)),
      ...staffs.map((staff, s) => {
        const back = s > 0 ? element('backup', {}, textElement('duration', bar.ticks)) : '';
        const notes = pieces.map((piece) => pieceOf(piece, staff, staves.withTab, key, joints, setup));
        return back + (isEmpty(pieces, bar) ? wholeRest(bar, staff, staves.withTab) : notes.join(''));
      }),
    )}\n`;
  });
}

function wordsAt(text: string, offset: Ticks): string {
  return element(
    'direction',
    { placement: 'above' },
    element('direction-type', {}, textElement('words', text)),
    offset > 0 ? textElement('offset', offset) : '',
  );
}

const isEmpty = (pieces: readonly Piece<Sounded>[], bar: ScoreBar): boolean =>
  bar.ticks === barTicks(bar.meter) && pieces.every(({ event }) => event.note === null);

const voiceOf = (staff: Staff): string => textElement('voice', staff === 'tab' ? 2 : 1);
const staffOf = (staff: Staff, withTab: boolean): string =>
  withTab ? textElement('staff', staff === 'tab' ? 2 : 1) : '';

function wholeRest(bar: ScoreBar, staff: Staff, withTab: boolean): string {
  return element(
    'note',
    {},
    element('rest', { measure: 'yes' }),
    textElement('duration', bar.ticks),
    voiceOf(staff),
    staffOf(staff, withTab),
  );
}

/** Notes of one moment, one above another, or a rest. */
function pieceOf(
  piece: Piece<Sounded>,
  staff: Staff,
  withTab: boolean,
  key: Key,
  joints: Joints,
  setup: Playing['setup'],
): string {
  const { note: together } = piece.event;
  const { duration, shape } = noteValue(piece.value);
  if (together === null)
    return element(
      'note',
      staff === 'tab' ? { 'print-object': 'no' } : {},
      element('rest', {}),
      duration,
      voiceOf(staff),
      shape,
      staffOf(staff, withTab),
      tupletSigns(piece),
    );
  const ties = [piece.tiedBack ? 'stop' : null, piece.tiedOn ? 'start' : null].filter((tie) => tie !== null);
  return together.notes
    .map((note, i) => {
      const signs = [
        ...ties.map((type) => element('tied', { type })),
        together.ringsOn && piece.last && rings(note, together) ? element('tied', { type: 'let-ring' }) : '',
        i === 0 ? tuplets(piece) : '',
        ...(piece.first ? handSigns(note, joints, setup?.instrument ?? null, staff) : []),
      ].join('');
      return element(
        'note',
        staff === 'tab' ? { dynamics: 0 } : {},
        i > 0 ? element('chord', {}) : '',
        pitchOf(note.midi, key),
        duration,
        ...ties.map((type) => element('tie', { type })),
        voiceOf(staff),
        shape,
        staffOf(staff, withTab),
        signs === '' ? '' : element('notations', {}, signs),
        piece.first && staff === 'notes' && note.word !== undefined ? wordOf(note.word) : '',
      );
    })
    .join('');
}

const rings = (note: FillNote, { startTick, endTick }: Sounded): boolean => startTick + note.ticks > endTick;

const wordOf = (word: string): string =>
  element('lyric', { number: 1 }, textElement('syllabic', 'single'), textElement('text', word));

const tuplets = ({ opens, closes }: Piece<Sounded>): string =>
  (opens ? element('tuplet', { type: 'start' }) : '') + (closes ? element('tuplet', { type: 'stop' }) : '');

function tupletSigns(piece: Piece<Sounded>): string {
  const signs = tuplets(piece);
  return signs === '' ? '' : element('notations', {}, signs);
}

import { itemAt } from '../../base';
import type { SungNote, Timeline } from '../../song';
import type { Key } from '../../theory';
import { barTicks } from '../../time';
import { harmonyOf } from './musicxml-chord';
import { attributesOf, noteValue, pitchOf } from './musicxml-notes';
import { playerMeasures } from './musicxml-player';
import { type Piece, piecesOf } from './pieces';
import type { Playing } from './playing';
import { type Score, type ScoreBar, scoreOf } from './score';
import { element, textElement } from './xml';

export interface Written<Content = string> {
  readonly content: Content;
  /** What the format cannot hold, in a sentence each. */
  readonly leftOut: readonly string[];
}

const HEAD =
  '<?xml version="1.0" encoding="UTF-8"?>\n<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">\n';

/**
 * A timeline as a MusicXML 4.0 partwise score: a part for each voice, with words of all stanzas (of the stanza that is sung,
 * where the roadmap is played out), chords, repeats and endings, tempo, swing, breath marks and fermatas; then a part for each player, along
 * a roadmap that is played out. Source: MusicXML 4.0.
 */
export function writeMusicXml(timeline: Timeline, players: readonly Playing[] = []): Written {
  const score = scoreOf(timeline);
  const { song } = score;
  const leftOut = [...score.leftOut];
  const parts = song.voices.map((voice, v) => ({ id: `P${v + 1}`, name: voice.name, v }));
  if (parts.length === 0) parts.push({ id: 'P1', name: 'Chords', v: -1 });
  const playing = players.map((player, p) => ({
    id: `P${parts.length + p + 1}`,
    name: player.setup === null ? player.name : `${player.name}, ${player.setup.instrument}`,
    player,
  }));
  const unread = new Set(
    score.bars.flatMap(({ chords }) =>
      chords.filter(({ symbol }) => harmonyOf(symbol) === null).map(({ symbol }) => symbol),
    ),
  );
  if (unread.size > 0)
    leftOut.push(`chord symbols that nobody can read are words above the staff: ${[...unread].join(', ')}`);
  const content = element(
    'score-partwise',
    { version: '4.0' },
    '\n',
    element('work', {}, textElement('work-title', song.title)),
    '\n',
    element(
      'identification',
      {},
      element(
        'encoding',
        {},
        textElement('software', 'Breathmark'),
        element('supports', { element: 'print', type: 'no' }),
      ),
    ),
    '\n',
    element(
      'part-list',
      {},
      ...[...parts, ...playing].map(({ id, name }) =>
        element('score-part', { id }, textElement('part-name', name)),
      ),
    ),
    '\n',
    ...parts.map(({ id, v }) => `${element('part', { id }, '\n', ...measuresOf(score, v))}\n`),
    ...playing.map(
      ({ id, player }) => `${element('part', { id }, '\n', ...playerMeasures(score, player))}\n`,
    ),
  );
  return { content: `${HEAD}${content}\n`, leftOut };
}

function measuresOf(score: Score, v: number): string[] {
  let key: Key = score.song.key;
  return score.bars.map((bar, i) => {
    key = bar.key ?? key;
    const head = v <= 0;
    const { placed } = bar;
    const counted = !placed.bar.pickup;
    return `${element(
      'measure',
      { number: counted ? placed.number : i === 0 ? 0 : `X${i}`, implicit: counted ? null : 'yes' },
      barline('left', bar),
      attributesOf(bar, i === 0),
      head ? directionsOf(score, bar, i === 0) : '',
      ...contentOf(score, bar, v, key, head),
      barline('right', bar),
    )}\n`;
  });
}

function barline(location: 'left' | 'right', { repeats }: ScoreBar): string {
  const { start, end, ending, begins, stops } = repeats;
  const number = ending.join(',');
  const signs =
    location === 'left'
      ? [
          begins ? element('ending', { number, type: 'start' }) : '',
          start ? element('repeat', { direction: 'forward' }) : '',
        ]
      : [
          stops ? element('ending', { number, type: end > 1 ? 'stop' : 'discontinue' }) : '',
          end > 1 ? element('repeat', { direction: 'backward', times: end > 2 ? end : null }) : '',
        ];
  return signs.every((sign) => sign === '') ? '' : element('barline', { location }, ...signs);
}

function directionsOf({ song }: Score, { label, tempo }: ScoreBar, first: boolean): string {
  const { ratio } = song.feel;
  const swing =
    first && ratio !== 1
      ? element(
          'swing',
          {},
          textElement('first', Math.round(ratio * 100)),
          textElement('second', 100),
          textElement('swing-type', 'eighth'),
        )
      : '';
  return [
    label === null
      ? ''
      : element(
          'direction',
          { placement: 'above' },
          element('direction-type', {}, textElement('rehearsal', label)),
        ),
    tempo === null
      ? ''
      : element(
          'direction',
          { placement: 'above' },
          element(
            'direction-type',
            {},
            element('metronome', {}, textElement('beat-unit', 'quarter'), textElement('per-minute', tempo)),
          ),
          element('sound', { tempo }, swing),
        ),
    tempo === null && swing !== '' ? element('sound', {}, swing) : '',
  ].join('');
}

/** Chords and notes of one voice in one bar; chords stand before what begins with them, or within it by an offset. */
function contentOf(score: Score, bar: ScoreBar, v: number, key: Key, withChords: boolean): string[] {
  const chords = withChords ? [...bar.chords] : [];
  const events = bar.voices[v] ?? [{ offset: 0, ticks: bar.ticks, note: null, goesOn: false, heldOn: false }];
  const content: string[] = [];
  const isFull = bar.ticks === barTicks(bar.meter);
  if (isFull && events.length === 1 && itemAt(events, 0).note === null) {
    for (const chord of chords) content.push(chordAt(chord.symbol, chord.offset));
    content.push(
      element(
        'note',
        {},
        element('rest', { measure: 'yes' }),
        textElement('duration', bar.ticks),
        textElement('voice', 1),
      ),
    );
    return content;
  }
  for (const piece of piecesOf(events, bar.ticks)) {
    const end = piece.offset + piece.value.ticks;
    while (chords[0] !== undefined && chords[0].offset < end) {
      const [chord] = chords.splice(0, 1);
      if (chord) content.push(chordAt(chord.symbol, chord.offset - piece.offset));
    }
    content.push(noteOf(score, piece, key));
  }
  return content;
}

function chordAt(symbol: string, offset: number): string {
  const harmony = harmonyOf(symbol);
  const place = offset > 0 ? textElement('offset', offset) : '';
  if (harmony !== null) return harmony.replace('</harmony>', `${place}</harmony>`);
  return element(
    'direction',
    { placement: 'above' },
    element('direction-type', {}, textElement('words', symbol)),
    place,
  );
}

/** One note or rest. Its parts stand in the order that the schema asks for. */
function noteOf(score: Score, piece: Piece, key: Key): string {
  const { value, event, tiedBack, tiedOn } = piece;
  const note = event.note?.note ?? null;
  const { duration, shape } = noteValue(value);
  const ties =
    note === null ? [] : [tiedBack ? 'stop' : null, tiedOn ? 'start' : null].filter((tie) => tie !== null);
  return element(
    'note',
    {},
    note === null ? element('rest', {}) : pitchOf(note.midi, key),
    duration,
    ...ties.map((type) => element('tie', { type })),
    textElement('voice', 1),
    shape,
    notationsOf(piece, note, ties),
    ...(note !== null && piece.first ? lyricsOf(score, piece) : []),
  );
}

function notationsOf(piece: Piece, note: SungNote | null, ties: readonly string[]): string {
  const signs = [
    ...ties.map((type) => element('tied', { type })),
    piece.opens ? element('tuplet', { type: 'start' }) : '',
    piece.closes ? element('tuplet', { type: 'stop' }) : '',
    note?.breath && piece.last ? element('articulations', {}, element('breath-mark', {})) : '',
    note?.fermata && piece.last ? element('fermata', {}) : '',
  ];
  return signs.every((sign) => sign === '') ? '' : element('notations', {}, ...signs);
}

/** Stanzas that hold what they sang before, where others begin a syllable, say so. */
function lyricsOf({ words }: Score, { event }: Piece): string[] {
  if (event.note === null) return [];
  const syllables = words.under(event.note).map(({ stanza, text, joins, goesOn, endsLine }) => ({
    stanza,
    lyric: element(
      'lyric',
      { number: stanza },
      textElement('syllabic', joins ? (goesOn ? 'middle' : 'begin') : goesOn ? 'end' : 'single'),
      textElement('text', text),
      endsLine ? element('end-line', {}) : '',
    ),
  }));
  const held = words.without(event.note).map((stanza) => ({
    stanza,
    lyric: element('lyric', { number: stanza }, element('extend', {})),
  }));
  return [...syllables, ...held].sort((a, b) => a.stanza - b.stanza).map(({ lyric }) => lyric);
}

/** Writes plain MusicXML for tests, of one voice; lengths in twelfths of a quarter note. */
export interface ScoreNote {
  /** Null: a rest. */
  readonly midi: number | null;
  readonly twelfths: number;
  readonly tie?: readonly ('start' | 'stop')[];
  /** The first or last of a tuplet. */
  readonly tuplet?: 'start' | 'stop';
  /** More within the note, after its lengths: `<lyric>…`. */
  readonly more?: string;
  /** Before the note: `<harmony>…`. */
  readonly before?: string;
}

export interface ScoreMeasure {
  readonly notes: readonly ScoreNote[];
  readonly meter?: readonly [number, number];
  /** At the start of the measure, after its attributes. */
  readonly head?: string;
  readonly left?: string;
  readonly right?: string;
  readonly implicit?: boolean;
}

const STEPS = ['C', 'C#', 'D', 'D#', 'E', 'F', 'F#', 'G', 'G#', 'A', 'A#', 'B'];
const TYPES: Readonly<Record<number, string>> = {
  3: '<type>16th</type>',
  4: '<type>eighth</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>',
  6: '<type>eighth</type>',
  8: '<type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>',
  9: '<type>eighth</type><dot/>',
  12: '<type>quarter</type>',
  18: '<type>quarter</type><dot/>',
  24: '<type>half</type>',
  36: '<type>half</type><dot/>',
  48: '<type>whole</type>',
};

export function writeNote({ midi, twelfths, tie = [], tuplet, more = '', before = '' }: ScoreNote): string {
  const name = midi === null ? '' : (STEPS[midi % 12] ?? 'C');
  const alter = name.length > 1 ? '<alter>1</alter>' : '';
  const pitch =
    midi === null
      ? '<rest/>'
      : `<pitch><step>${name.charAt(0)}</step>${alter}<octave>${Math.floor(midi / 12) - 1}</octave></pitch>`;
  const ties = tie.map((type) => `<tie type="${type}"/>`).join('');
  const signs =
    tie.map((type) => `<tied type="${type}"/>`).join('') + (tuplet ? `<tuplet type="${tuplet}"/>` : '');
  const tied = signs === '' ? '' : `<notations>${signs}</notations>`;
  return `${before}<note>${pitch}<duration>${twelfths}</duration>${ties}<voice>1</voice>${TYPES[twelfths] ?? ''}${tied}${more}</note>\n`;
}

export const writeMeasures = (measures: readonly ScoreMeasure[], attributes = ''): string =>
  measures
    .map(({ notes, meter, head = '', left = '', right = '', implicit }, i) => {
      const time = meter ? `<time><beats>${meter[0]}</beats><beat-type>${meter[1]}</beat-type></time>` : '';
      const key = i === 0 ? `<divisions>12</divisions><key><fifths>0</fifths></key>` : '';
      const own = i === 0 ? attributes : '';
      const all = key || time || own ? `<attributes>${key}${time}${own}</attributes>` : '';
      return `<measure number="${i + 1}"${implicit ? ' implicit="yes"' : ''}>${left}${all}${head}\n${notes.map(writeNote).join('')}${right}</measure>\n`;
    })
    .join('');

export const writeScore = (parts: readonly { readonly name: string; readonly measures: string }[]): string =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0"><part-list>${parts
    .map(({ name }, i) => `<score-part id="P${i + 1}"><part-name>${name}</part-name></score-part>`)
    .join(
      '',
    )}</part-list>${parts.map(({ measures }, i) => `<part id="P${i + 1}">\n${measures}</part>`).join('')}</score-partwise>\n`;

export const lyric = (text: string, number = 1, syllabic = 'single', more = ''): string =>
  `<lyric number="${number}"><syllabic>${syllabic}</syllabic><text>${text}</text>${more}</lyric>`;

export const REPEAT_START = '<barline location="left"><repeat direction="forward"/></barline>';
export const REPEAT_END = '<barline location="right"><repeat direction="backward"/></barline>';

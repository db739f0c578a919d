import type { Meter } from '../time';
import { type KeyField, readKey, readLength, readMeter, readScore, readVoice, unitOf } from './abc-fields';
import { blankMusic, type InlineField, isMusic } from './abc-line';
import { tempoOf } from './abc-tempo';
import { type BookText, decodeText, type TextLine, type TuneText, withoutComment } from './abc-text';
import type { Mark, ScannedTune, VoiceText } from './abc-types';
import { UNHELD } from './abc-unheld';
import type { Findings } from './report';

const C_MAJOR: KeyField = { key: { tonic: 'C', mode: 'major' }, alterations: {}, shift: null };

/** Reads a tune line by line. Source: ABC standard 2.1, sections 2, 3 and 7. */
export function scanTune(
  book: BookText,
  tune: TuneText,
  version21: boolean,
  findings: Findings,
): ScannedTune {
  const scanner = new Scanner(tune, findings);
  for (const line of book.header) scanner.line(line);
  for (const line of tune.lines) scanner.line(line);
  return scanner.finish(version21);
}

/** More voices than an orchestra has staves are a slip of the pen. */
const MOST_VOICES = 40;

class Scanner {
  readonly #tune: TuneText;
  readonly #findings: Findings;
  readonly #voices = new Map<string, VoiceText>();
  #current: VoiceText | null = null;
  #order: readonly string[] = [];
  #title: string | null = null;
  #key: KeyField | null = null;
  #meter: Meter | 'free' | null = null;
  #unit: number | null = null;
  #tempoText: { text: string; at: number } | null = null;
  #parts: { text: string; at: number } | null = null;
  #swing = 1;
  #propagate: 'pitch' | 'octave' | 'not' = 'pitch';
  #inHeader = true;
  #anyMusic = false;
  #skipUntil: string | null = null;
  #continued = false;
  /** Fields for all voices that wait for the next music, whichever voice it is. */
  #waiting: Mark[] = [];
  #lastField = '';
  #wordsContinue = false;
  readonly #symbols = new Map<string, string>();

  constructor(tune: TuneText, findings: Findings) {
    this.#tune = tune;
    this.#findings = findings;
  }

  line(line: TextLine): void {
    if (this.#skipUntil !== null) {
      if (line.text.startsWith(this.#skipUntil)) this.#skipUntil = null;
      return;
    }
    if (line.text.startsWith('%%')) {
      this.#directive(line.text.slice(2), line.at);
      return;
    }
    const text = withoutComment(line.text).trimEnd();
    if (text.trim() === '') return;
    const field = /^([A-Za-z+]):/.exec(text);
    const note = /^[A-Ga-gz]:[|:]/.test(text) && !this.#inHeader;
    if (field && !note) {
      this.#field(field[1] ?? '', text.slice(2), line.at + 2);
    } else {
      if (this.#inHeader) this.#endHeader(line.at);
      this.#music(text, line.at);
    }
  }

  finish(version21: boolean): ScannedTune {
    const tempo = this.#tempoText
      ? tempoOf(this.#tempoText.text, this.#tempoText.at, this.#unitNow(), this.#findings)
      : null;
    const order = this.#order;
    const place = (voice: VoiceText) => {
      const index = order.indexOf(voice.id);
      return index < 0 ? order.length : index;
    };
    const voices = [...this.#voices.values()].sort((a, b) => place(a) - place(b));
    if (order.length > 0) {
      for (const voice of voices) {
        if (voice.pieces.length > 0 && !order.includes(voice.id))
          this.#findings.guessed(`voice ${voice.id} is not named in the order of staves; it was put last`);
      }
    }
    return {
      at: this.#tune.at,
      title: this.#title,
      key: this.#key ?? C_MAJOR,
      meter: this.#meter,
      tempo,
      order: this.#parts,
      swing: this.#swing,
      propagate: this.#propagate,
      voices,
      unit: this.#unitNow(),
      strictWords: version21,
    };
  }

  #endHeader(at: number): void {
    this.#inHeader = false;
    if (this.#key === null) this.#findings.guessed(`no key is given (K:); C major was taken`);
    if (this.#meter === null && !this.#unit)
      this.#findings.guessed(
        `no meter is given (M:); bars are as long as they are written (${this.#findings.sayPlace(at)})`,
      );
  }

  #directive(text: string, at: number): void {
    const [name = '', ...rest] = text.trim().split(/\s+/);
    const value = rest.join(' ');
    const low = name.toLowerCase();
    if (low === 'begintext' || low === 'beginps' || low === 'beginsvg' || low === 'beginabc')
      this.#skipUntil = `%%end${low.slice(5)}`;
    else if (low === 'score' || low === 'staves') this.#order = readScore(value);
    else if (low === 'propagate-accidentals') {
      if (value === 'pitch' || value === 'octave' || value === 'not') this.#propagate = value;
    } else if (low === 'breathmark-swing') {
      const ratio = Number(value);
      if (ratio >= 1 && ratio <= 4) this.#swing = ratio;
      else this.#findings.leftOut(`a swing of "${value}": it is a number from 1 (straight) to 4`, at);
    }
  }

  #field(letter: string, text: string, at: number): void {
    const continuing = letter === '+' || (letter === 'w' && this.#wordsContinue);
    if (letter !== '+') this.#lastField = letter;
    if (letter !== 'w' && letter !== '+') this.#wordsContinue = false;
    if (continuing && this.#lastField === 'w') {
      this.#words(text, at, true);
    } else if (letter === 'K' && this.#inHeader) {
      this.#keyField(text, at);
      this.#endHeader(at);
    } else if ('KMLQP'.includes(letter)) {
      this.#musicField(letter, text, at, null);
    } else {
      this.#otherField(letter, text, at);
    }
  }

  #otherField(letter: string, text: string, at: number): void {
    switch (letter) {
      case '+':
        break;
      case 'T':
        this.#title ??= decodeText(text.trim());
        break;
      case 'w':
        this.#words(text, at, false);
        break;
      case 'I':
        this.#directive(text, at);
        break;
      case 'U':
        this.#userSymbol(text);
        break;
      case 'V':
        this.#continued = false;
        this.#voice(text, at);
        break;
      default: {
        const unheld = UNHELD[letter];
        if (unheld === undefined) this.#findings.leftOut(`a field that ABC does not know (${letter}:)`, at);
        else if (unheld !== null) this.#findings.leftOutEach(unheld.one, (n) => `${n} ${unheld.many}`, at);
      }
    }
  }

  /** `K M L Q P`: as a line of their own, or inline in the music of a voice. */
  #musicField(letter: string, text: string, at: number, inline: VoiceText | null): void {
    const whole = !inline && !this.#anyMusic;
    const voice = inline ?? (whole ? null : this.#voiceNow());
    switch (letter) {
      case 'K': {
        const key = whole ? this.#keyField(text, at) : readKey(text);
        if (!key && !whole) this.#findings.leftOut(`a key that cannot be read: "${text.trim()}"`, at);
        if (key && voice) voice.marks.push({ kind: 'key', at, key });
        return;
      }
      case 'M': {
        const meter = readMeter(text);
        if (meter === null) this.#findings.leftOut(`a meter that cannot be read: "${text.trim()}"`, at);
        else if (voice) voice.marks.push({ kind: 'meter', at, meter });
        else this.#meter = meter;
        return;
      }
      case 'L': {
        const unit = readLength(text);
        if (unit === null) this.#findings.leftOut(`a unit length that cannot be read: "${text.trim()}"`, at);
        else if (voice) voice.pieces.push({ at: null, text: `L:${text.trim()}` });
        else this.#unit = unit;
        return;
      }
      case 'Q': {
        if (this.#inHeader) {
          this.#tempoText = { text, at };
          return;
        }
        const quartersPerMinute = tempoOf(text, at, this.#unitNow(), this.#findings);
        if (quartersPerMinute === null) return;
        const mark: Mark = { kind: 'tempo', at, quartersPerMinute };
        if (inline) inline.marks.push(mark);
        else this.#waiting.push(mark);
        return;
      }
      case 'P': {
        const label = decodeText(text.trim().replace(/^"(.*)"$/, '$1'));
        if (this.#inHeader) this.#parts = { text: label, at };
        else if (label !== '') {
          const mark: Mark = { kind: 'part', at, label };
          if (inline) inline.marks.push(mark);
          else this.#waiting.push(mark);
        }
      }
    }
  }

  #keyField(text: string, at: number): KeyField | null {
    const key = readKey(text);
    if (!key) {
      this.#findings.leftOut(`a key that cannot be read: "${text.trim()}"; C major was taken`, at);
      this.#key ??= C_MAJOR;
    } else {
      this.#key = key.key === null ? { ...C_MAJOR, shift: key.shift } : key;
    }
    return key;
  }

  #unitNow(): number {
    return this.#unit ?? unitOf(this.#meter);
  }

  #userSymbol(text: string): void {
    const match = /^\s*([H-Wh-w~])\s*=\s*[!+]([^!+]+)[!+]/.exec(text);
    if (match) this.#symbols.set(match[1] ?? '', match[2] ?? '');
  }

  #voice(text: string, at: number): VoiceText | null {
    const field = readVoice(text);
    if (!field) {
      this.#findings.leftOut('a voice field that names no voice (V:)', at);
      return null;
    }
    if (this.#voices.size >= MOST_VOICES && !this.#voices.has(field.id)) {
      this.#findings.leftOut(`a voice beyond ${MOST_VOICES}; what follows is read into the voice before`, at);
      return null;
    }
    const voice = this.#voiceOf(field.id);
    if (field.name !== null) voice.name = decodeText(field.name);
    if (field.shift !== null) voice.shift = field.shift;
    if (!this.#inHeader) this.#current = voice;
    return voice;
  }

  #voiceOf(id: string): VoiceText {
    let voice = this.#voices.get(id);
    if (!voice) {
      voice = { id, name: null, shift: null, pieces: [], marks: [], words: [], lineStarts: [] };
      this.#voices.set(id, voice);
    }
    return voice;
  }

  #voiceNow(): VoiceText {
    this.#current ??= [...this.#voices.values()][0] ?? this.#voiceOf('1');
    return this.#current;
  }

  #words(text: string, at: number, continued: boolean): void {
    const voice = this.#voiceNow();
    this.#wordsContinue = /\\$/.test(text);
    const part = { at, text: this.#wordsContinue ? text.slice(0, -1) : text };
    const last = continued ? voice.words.pop() : undefined;
    if (!last && voice.lineStarts.length === 0) {
      this.#findings.leftOut('words that stand before any music', at);
      return;
    }
    voice.words.push(last ? { at: last.at, parts: [...last.parts, part] } : { at, parts: [part] });
  }

  #music(text: string, at: number): void {
    this.#lastField = '';
    this.#wordsContinue = false;
    if (!isMusic(text)) {
      this.#findings.leftOut(`a line that is no music: "${text.trim().slice(0, 40)}"`, at);
      return;
    }
    const continues = /\\\s*$/.test(text);
    let newLine = !this.#continued;
    blankMusic(text, at, this.#symbols, this.#findings, {
      piece: (from, code) => {
        if (code.trim() === '') return;
        const voice = this.#voiceNow();
        if (newLine || voice.lineStarts.length === 0) voice.lineStarts.push(from);
        newLine = false;
        for (const mark of this.#waiting) voice.marks.push({ ...mark, at: from });
        this.#anyMusic = true;
        this.#waiting = [];
        voice.pieces.push({ at: from, text: code });
      },
      mark: (mark) => this.#voiceNow().marks.push(mark),
      field: (field) => this.#inline(field, () => (newLine = true)),
    });
    this.#continued = continues;
  }

  #inline(field: InlineField, onVoice: () => void): void {
    if (field.letter === 'V') {
      const voice = this.#voice(field.text, field.at);
      if (voice) onVoice();
    } else if (field.letter === 'I') this.#directive(field.text, field.at);
    else this.#musicField(field.letter, field.text, field.at, this.#voiceNow());
  }
}

import { type Key, keySignature } from '../../theory';
import { TICKS_PER_QUARTER } from '../../time';
import type { NoteValue } from './lengths';
import type { ScoreBar } from './score';
import { spell } from './spelling';
import { element, textElement } from './xml';

/** What holds from a bar on; `staves` is what a part's first bar says of its staves. */
export function attributesOf({ key, meter, newMeter }: ScoreBar, first: boolean, staves = ''): string {
  const parts = [
    first ? textElement('divisions', TICKS_PER_QUARTER) : '',
    key === null
      ? ''
      : element('key', {}, textElement('fifths', keySignature(key)), textElement('mode', key.mode)),
    newMeter
      ? element('time', {}, textElement('beats', meter.count), textElement('beat-type', meter.unit))
      : '',
    staves,
  ];
  return parts.every((part) => part === '') ? '' : element('attributes', {}, ...parts);
}

const TYPES: Readonly<Record<number, string>> = {
  1: 'whole',
  2: 'half',
  4: 'quarter',
  8: 'eighth',
  16: '16th',
  32: '32nd',
  64: '64th',
};

/** A written value as MusicXML has it: its duration, and (after `voice`) its shape. */
export function noteValue(value: NoteValue): { readonly duration: string; readonly shape: string } {
  return {
    duration: textElement('duration', value.ticks),
    shape: [
      value.unit === null ? '' : textElement('type', TYPES[value.unit] ?? 'quarter'),
      ...Array.from({ length: value.dots }, () => element('dot', {})),
      value.triplet
        ? element('time-modification', {}, textElement('actual-notes', 3), textElement('normal-notes', 2))
        : '',
    ].join(''),
  };
}

/** A sounding pitch, spelled for the key; without one, a place on the middle line. */
export function pitchOf(midi: number | null, key: Key): string {
  if (midi === null)
    return element('unpitched', {}, textElement('display-step', 'B'), textElement('display-octave', 4));
  const { letter, alter, octave } = spell(midi, key);
  return element(
    'pitch',
    {},
    textElement('step', letter),
    alter === 0 ? '' : textElement('alter', alter),
    textElement('octave', octave),
  );
}

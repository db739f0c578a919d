import { INSTRUMENT_FACTS, openStrings, type Setup } from '../../instruments';
import type { Key } from '../../theory';
import { spell } from './spelling';
import { element, textElement } from './xml';

/** The staves that a player's part is written on. */
export interface Staves {
  /** `attributes` content after key and time. Source: MusicXML 4.0, attributes (their order is the schema's). */
  readonly attributes: string;
  /** True where tablature stands beneath the notes. */
  readonly withTab: boolean;
}

/**
 * Notes for everybody; tablature beneath them for who reads it (frets, or a bar over frets). Guitar, banjo and bass are written an octave
 * above their sound, which their clef says. In tablature the lowest line is the string farthest from the floor, and frets count from
 * the capo, as MusicXML has it: a capo raises the tuning that is given.
 */
export function stavesOf(setup: Setup | null, key: Key): Staves {
  const facts = INSTRUMENT_FACTS[setup?.instrument ?? 'voice'];
  const strings = setup === null ? null : openStrings(setup);
  const withTab = strings?.ok === true && (facts.hand === 'frets' || facts.hand === 'bar');
  const notes = element(
    'clef',
    withTab ? { number: 1 } : {},
    textElement('sign', setup?.instrument === 'bass' ? 'F' : 'G'),
    textElement('line', setup?.instrument === 'bass' ? 4 : 2),
    facts.writtenAbove === 12 ? textElement('clef-octave-change', -1) : '',
  );
  if (!withTab || setup === null || !strings.ok) return { attributes: notes, withTab: false };
  const lines = strings.value.length;
  const tunings = [...strings.value].reverse().map(({ midi }, i) => {
    // The capo of the whole neck is told apart; a fifth string of its own keeps what it has beyond that.
    const { letter, alter, octave } = spell(midi - setup.capo, key);
    return element(
      'staff-tuning',
      { line: i + 1 },
      textElement('tuning-step', letter),
      alter === 0 ? '' : textElement('tuning-alter', alter),
      textElement('tuning-octave', octave),
    );
  });
  const attributes = [
    textElement('staves', 2),
    notes,
    element('clef', { number: 2 }, textElement('sign', 'TAB'), textElement('line', Math.ceil(lines / 2))),
    element(
      'staff-details',
      { number: 2 },
      textElement('staff-lines', lines),
      ...tunings,
      setup.capo === 0 ? '' : textElement('capo', setup.capo),
    ),
  ].join('');
  return { attributes, withTab };
}

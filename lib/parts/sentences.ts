import type { Pass, PlayerSetting, Song } from '../song';
import type { Space } from '../spaces';
import { type Key, keyName, transposeKey } from '../theory';
import { beatTicks, type Meter, TICKS_PER_QUARTER } from '../time';

const NUMBERS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];

/** `five`, `two and a half`, `17`. */
export function inWords(count: number): string {
  const rounded = Math.round(count * 4) / 4;
  const whole = Math.floor(rounded);
  const part = { 0: '', 0.25: 'a quarter', 0.5: 'a half', 0.75: 'three quarters' }[rounded - whole] ?? '';
  if (part === '') return NUMBERS[whole] ?? String(whole);
  if (whole === 0) return part;
  return `${NUMBERS[whole] ?? whole} and ${part}`;
}

/** `six beats`, `one beat`, `half a beat`. */
export function beatsInWords(beats: number): string {
  if (beats === 0.5) return 'half a beat';
  return `${inWords(beats)} ${beats > 0 && beats <= 1 ? 'beat' : 'beats'}`;
}

/** For a line: `6 beats`, `2½ beats`. */
export function beatsInFigures(beats: number): string {
  const rounded = Math.round(beats * 4) / 4;
  const whole = Math.floor(rounded);
  const part = { 0: '', 0.25: '¼', 0.5: '½', 0.75: '¾' }[rounded - whole] ?? '';
  const figure = whole === 0 && part !== '' ? part : `${whole}${part}`;
  return `${figure} ${rounded > 0 && rounded <= 1 ? 'beat' : 'beats'}`;
}

export function secondsInWords(seconds: number): string {
  return `${seconds.toFixed(1)} seconds`;
}

/** `bar 11`, `bars 11 and 12`, `bars 3 to 8`; bar 0 is the pickup. */
export function barsInWords(first: number, last: number): string {
  if (first === 0) return last === 0 ? 'the pickup' : `${barsInWords(1, last)} with the pickup`;
  if (first === last) return `bar ${first}`;
  return last === first + 1 ? `bars ${first} and ${last}` : `bars ${first} to ${last}`;
}

/** `on G, then C`; as many as four chords. */
export function chordsInWords(symbols: readonly string[]): string {
  const distinct = symbols.filter((symbol, i) => symbol !== symbols[i - 1]);
  if (distinct.length === 0) return 'with no chord written';
  const shown = distinct.slice(0, 4);
  return `on ${shown.join(', then ')}${distinct.length > shown.length ? ' and on' : ''}`;
}

/** `after “keeps the time”`, `before the first words`. */
export function placeInWords(space: Space, wordsBefore: string): string {
  if (space.kind === 'opening') return 'Before the first words';
  if (space.kind === 'instrumental') return 'Nobody sings';
  if (space.kind === 'closing')
    return wordsBefore === '' ? 'At the end' : `At the end, after “${wordsBefore}”`;
  if (space.kind === 'half-open')
    return `While only harmony sings${wordsBefore === '' ? '' : `, after “${wordsBefore}”`}`;
  if (wordsBefore === '') return 'Between two phrases';
  return space.kind === 'under-tail' ? `While “${wordsBefore}” is held` : `After “${wordsBefore}”`;
}

/** `Ann`, `Ann and Ben`, `Ann, Ben and Ruth`. */
export function listOf(names: readonly string[]): string {
  return names.length <= 1
    ? names.join('')
    : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}

/** A pass as the band calls it: its own name, or the section's with the stanza where there is more than one. */
export function passName(song: Song, pass: Pass): string {
  if (pass.name !== '') return pass.name;
  const section = song.sections.find((one) => one.id === pass.sectionId)?.name ?? 'Section';
  if (pass.stanza === null) return `Break on the ${section.toLowerCase()}`;
  const stanzas = new Set(
    song.passes.filter((one) => one.sectionId === pass.sectionId).map((one) => one.stanza),
  );
  stanzas.delete(null);
  return stanzas.size > 1 ? `${section} ${pass.stanza}` : section;
}

/** Counted beats a minute: `♩ = 104`; `♩. = 100` in 6/8, `half note = 88` in 2/2. No line breaks inside it. */
export function tempoInSigns(tempo: number, meter: Meter = { count: 4, unit: 4 }): string {
  const counted = Math.round((tempo * TICKS_PER_QUARTER) / beatTicks(meter));
  const note = { 480: '♪', 960: '♩', 1440: '♩.', 1920: 'half note' }[beatTicks(meter)];
  const text = note === undefined ? `♩ = ${Math.round(tempo)}` : `${note} = ${counted}`;
  return text.replaceAll(' ', '\u00a0');
}

/** A chord as musicians write it, with the signs of flat and sharp. */
export function chordInSigns(symbol: string): string {
  return symbol
    .replace(/#/g, '♯')
    .replace(/(^|\/)([A-G])b/g, '$1$2♭')
    .replace(/b(?=5|9|13)/g, '♭');
}

/** `5 beats`; `1 beat, 5 with the tail` where a held note hides most of it. */
export function lengthInFigures(space: Space, beat: number): string {
  const silent = space.beats - space.tailTicks / beat;
  if (space.tailTicks === 0) return beatsInFigures(space.beats);
  return silent < 0.25
    ? `${beatsInFigures(space.beats)} of tail`
    : `${beatsInFigures(silent)}, ${beatsInFigures(space.beats).replace(/ beats?$/, '')} with the tail`;
}

/** `swing 2 to 1`, `even`. */
export function feelInWords(ratio: number): string {
  return ratio <= 1 ? 'even' : `swing, ${Number.isInteger(ratio) ? ratio : ratio.toFixed(1)} to 1`;
}

/** The key whose shapes a player with a capo plays, as in 'plays G with capo 2'. */
export function shapesKey(key: Key, capo: number): Key {
  return capo === 0 ? key : transposeKey(key, -capo);
}

/** `in G`; `sounds in A; play G shapes, capo 2, fifth string up 2 frets`. */
export function shapesInWords(
  key: Key,
  { instrument, capo, fifthCapo }: Pick<PlayerSetting, 'instrument' | 'capo' | 'fifthCapo'>,
): string {
  const fifth = instrument === 'banjo' ? (fifthCapo ?? capo) : 0;
  const raised = fifth > 0 ? `, fifth string up ${fifth} ${fifth === 1 ? 'fret' : 'frets'}` : '';
  return capo === 0
    ? `in ${keyName(key)}${raised}`
    : `sounds in ${keyName(key)}; play ${keyName(shapesKey(key, capo))} shapes, capo ${capo}${raised}`;
}

import type { Ticks } from '../time';
import type { PartMeasure, PartState } from './musicxml-types';
import type { Findings } from './report';
import { isPartName } from './text-lines';
import { child, childrenOf, numberOf, textOf, type XmlElement } from './xml-tree';

/** A direction: tempo, swing, the name of a part; what else it says is reported. */
export function readDirection(
  element: XmlElement,
  measure: PartMeasure,
  index: number,
  position: Ticks,
  state: PartState,
  findings: Findings,
): void {
  const sound = child(element, 'sound');
  if (sound) readSound(sound, measure, index, position, state, findings);
  for (const type of childrenOf(element, 'direction-type')) {
    for (const each of type.children) {
      const text = each.text.trim().replace(/\s+/g, ' ');
      if (each.name === 'rehearsal' && text !== '') setLabel(text, measure, position, state);
      else if (each.name === 'words' && text !== '') {
        if (isPartName(text)) setLabel(text, measure, position, state);
        else if (!sound)
          findings.leftOutEach(
            `words above the staff: "${text.slice(0, 60)}"`,
            (n) => `words above the staff: "${text.slice(0, 60)}" (${n} times)`,
            each.at,
          );
      } else if (each.name === 'metronome' && sound?.attributes.tempo === undefined) {
        const tempo = metronomeOf(each);
        if (tempo === null) findings.leftOut('a metronome mark that says no number', each.at);
        else setTempo(tempo, measure, index, position, state, each.at, findings);
      } else if (each.name === 'segno' || each.name === 'coda') reportJump(each.at, findings);
    }
  }
}

const reportJump = (at: number, findings: Findings): void =>
  findings.leftOutEach(
    'a jump in the score (segno, coda, da capo); the parts are read in their written order',
    (n) =>
      `${n} signs of jumps in the score (segno, coda, da capo); the parts are read in their written order`,
    at,
  );

function setLabel(text: string, measure: PartMeasure, position: Ticks, state: PartState): void {
  const label = text
    .replace(/[[\]:]/g, '')
    .trim()
    .slice(0, 60);
  if (position > 0 && measure.content > 0) state.next.label = label;
  else measure.label = label;
}

const UNITS: Readonly<Record<string, number>> = {
  whole: 4,
  half: 2,
  quarter: 1,
  eighth: 0.5,
  '16th': 0.25,
  '32nd': 0.125,
};

/** Quarter notes a minute. */
function metronomeOf(element: XmlElement): number | null {
  const unit = UNITS[textOf(element, 'beat-unit') ?? ''];
  const number = /\d+(?:\.\d+)?/.exec(textOf(element, 'per-minute') ?? '');
  if (unit === undefined || !number) return null;
  const first = element.children.findIndex(({ name }) => name === 'beat-unit');
  let dots = 0;
  while (element.children[first + 1 + dots]?.name === 'beat-unit-dot') dots += 1;
  return Number(number[0]) * unit * (2 - 2 ** -dots);
}

function setTempo(
  tempo: number,
  measure: PartMeasure,
  index: number,
  position: Ticks,
  state: PartState,
  at: number,
  findings: Findings,
): void {
  if (!(tempo >= 10 && tempo <= 600)) {
    findings.leftOut(
      `a tempo of ${Math.round(tempo * 10) / 10} quarter notes a minute: from 10 to 600 can be played`,
      at,
    );
    return;
  }
  const rounded = Math.round(tempo * 1000) / 1000;
  if (position > 0 && !(index === 0 && measure.tempo === null)) {
    findings.guessed(
      `a tempo that changes within a bar holds from the next bar on (${findings.sayPlace(at)})`,
    );
    state.next.tempo = rounded;
  } else measure.tempo = rounded;
}

/** A `sound` element: tempo, swing, jumps. */
export function readSound(
  element: XmlElement,
  measure: PartMeasure,
  index: number,
  position: Ticks,
  state: PartState,
  findings: Findings,
): void {
  const tempo = element.attributes.tempo;
  if (tempo !== undefined) setTempo(Number(tempo), measure, index, position, state, element.at, findings);
  const swing = child(element, 'swing');
  if (swing) {
    const first = numberOf(swing, 'first') ?? 1;
    const second = numberOf(swing, 'second') ?? 1;
    const sixteenths = textOf(swing, 'swing-type') === '16th';
    if (sixteenths) findings.leftOut('sixteenths that are swung', swing.at);
    else
      measure.swing = child(swing, 'straight')
        ? 1
        : Math.min(4, Math.max(1, second > 0 ? first / second : 1));
  }
  const { dacapo, dalsegno, tocoda, fine, coda } = element.attributes;
  if (dacapo ?? dalsegno ?? tocoda ?? fine ?? coda) reportJump(element.at, findings);
}

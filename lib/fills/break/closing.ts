import { itemAt, lastOf } from '../../base';
import { type Chord, toneOf } from '../../theory';
import { CLOSE_COSTS, TUNE_REACH } from './costs';
import type { Laid } from './lay';
import { isShort, type Model } from './model';
import type { Way } from './search';

/** How many strings are struck with the last note to close, beside its own. Common practice, no source. */
const CLOSING: Readonly<Record<string, number>> = {
  guitar: 2,
  mandolin: 2,
  fiddle: 1,
  'resonator guitar': 1,
};

/** A banjo closes with a pinch of thumb and middle finger: on the first string and one of the thumb's. Common practice, no source. */
const PINCHED_WITH: Readonly<Record<number, readonly number[]>> = { 1: [3, 4, 5], 3: [1], 4: [1] };

/** A string struck with the last note. */
interface Added {
  readonly string: number;
  readonly fret: number;
  readonly midi: number;
}

/**
 * Notes of the last chord under the last note, in reach of the hand: on the strings next above it in number; on the banjo what is
 * pinched with it. Of all choices the one of least cost (`CLOSE_COSTS`), tried one by one; none where a string has no tone of the chord
 * there, or the last note closes better alone.
 */
export function closingNotes(model: Model, way: Way, notes: readonly Laid[]): readonly Laid[] {
  const last = lastOf(notes);
  const { position } = lastOf(way.steps);
  const own = last.string ?? 0;
  const chord = itemAt(model.moments, last.moment).harmony.chord;
  const { hand } = TUNE_REACH[model.instrument];
  const onString = (string: number): readonly Added[] => {
    const open = model.strings.find((each) => each.string === string);
    if (!open) return [];
    const reach = isShort(model, string) ? [] : Array.from({ length: hand + 1 }, (_, i) => position + i);
    return [...new Set([0, ...reach])]
      .filter((fret) => toneOf(chord, open.midi + fret))
      .map((fret) => ({ string, fret, midi: open.midi + fret }));
  };
  const choices: (readonly Added[])[] = [[]];
  if (model.instrument === 'banjo') {
    for (const string of PINCHED_WITH[own] ?? []) choices.push(...onString(string).map((each) => [each]));
  } else {
    let layer: readonly (readonly Added[])[] = [[]];
    for (let k = 1; k <= (CLOSING[model.instrument] ?? 0); k++) {
      layer = layer.flatMap((below) => onString(own + k).map((each) => [...below, each]));
      choices.push(...layer);
    }
  }
  const most = Math.max(...choices.map((each) => each.length));
  const cost = (added: readonly Added[]) => closeCost(chord, last.midi, added, most);
  const best = choices.reduce((least, each) => (cost(each) < cost(least) ? each : least));
  return best.map((each) => ({ ...last, ...each, kind: 'added', tune: null }));
}

function closeCost(chord: Chord, top: number, added: readonly Added[], most: number): number {
  const pitches = [top, ...added.map(({ midi }) => midi)];
  const tones = pitches.map((midi) => toneOf(chord, midi)?.above);
  const lowest = pitches.indexOf(Math.min(...pitches));
  let cost = CLOSE_COSTS.stringFewer * (most - added.length);
  if (!tones.includes(0)) cost += CLOSE_COSTS.noRoot;
  else if (tones[lowest] !== 0) cost += tones[0] === 0 ? CLOSE_COSTS.rootOnTop : CLOSE_COSTS.rootInside;
  if (chord.third !== 'none' && !tones.some((above) => above === 3 || above === 4))
    cost += CLOSE_COSTS.noThird;
  cost += CLOSE_COSTS.unison * (pitches.length - new Set(pitches).size);
  return cost + CLOSE_COSTS.fret * added.reduce((sum, { fret }) => sum + fret, 0);
}

import { itemAt } from '../base';
import { TICKS_PER_QUARTER, type Ticks } from '../time';
import type { VoiceBar } from './abc-types';
import type { Findings } from './report';

/** Where a bar of a voice lies in the song's bars: from an offset in one of them on, over as many as it takes. */
export interface BarPlace {
  readonly first: number;
  readonly base: Ticks;
  readonly last: number;
}

export interface AlignedVoices {
  /** As the top voice has them, each as long as the longest voice's content in it. */
  readonly bars: readonly VoiceBar[];
  /** For each voice, for each of its bars. */
  readonly places: readonly (readonly BarPlace[])[];
}

/** A voice that lacks barlines may run over this many bars of the top voice. */
const MOST_BARS_IN_ONE = 16;

/**
 * Lays the bars of all voices over one another, bar by bar. Where a voice lacks a barline that the top voice has, or has one more,
 * it is laid by time; where a bar's lengths differ, the bar is as long as the longest, and that is reported.
 */
export function alignVoices(
  voices: readonly { readonly id: string; readonly bars: readonly VoiceBar[] }[],
  findings: Findings,
): AlignedVoices {
  const top = voices[0];
  if (!top) return { bars: [], places: [] };
  const bars: VoiceBar[] = top.bars.map((bar) => ({ ...bar }));
  const written = bars.map((bar) => bar.ticks);
  const places = voices.map((voice, index) =>
    index === 0
      ? voice.bars.map((_, i) => ({ first: i, base: 0, last: i }))
      : placeBars(voice.id, voice.bars, bars, written, findings),
  );
  return { bars, places };
}

function placeBars(
  id: string,
  own: readonly VoiceBar[],
  bars: VoiceBar[],
  written: Ticks[],
  findings: Findings,
): BarPlace[] {
  const places: BarPlace[] = [];
  const ownTicks = own.map((bar) => bar.ticks);
  let at = 0;
  for (let i = 0; i < own.length; ) {
    const bar = itemAt(own, i);
    if (at >= bars.length) {
      bars.push({ ...bar });
      written.push(bar.ticks);
      places.push({ first: at, base: 0, last: at });
      at += 1;
      i += 1;
      continue;
    }
    const length = itemAt(written, at);
    const evenLeft = own.length - i === bars.length - at;
    const overBars = evenLeft || bar.ticks <= length ? 0 : runOf(written, at, bar.ticks);
    const overOwn = evenLeft || bar.ticks >= length ? 0 : runOf(ownTicks, i, length);
    if (overBars > 1) {
      findings.guessed(
        `voice ${id} lacks a barline in its bar at ${findings.sayPlace(bar.at)}; it was laid over ${overBars} bars by time`,
      );
      places.push({ first: at, base: 0, last: at + overBars - 1 });
      at += overBars;
      i += 1;
    } else if (overOwn > 1) {
      findings.guessed(
        `voice ${id} has a barline more than the top voice at ${findings.sayPlace(bar.at)}; it was laid by time`,
      );
      let base = 0;
      for (let k = 0; k < overOwn; k++) {
        places.push({ first: at, base, last: at });
        base += itemAt(own, i + k).ticks;
      }
      at += 1;
      i += overOwn;
    } else {
      if (bar.ticks !== length)
        findings.warn(
          `bar ${at + 1}: voice ${id} holds ${quartersOf(bar.ticks)} quarter notes, the top voice ${quartersOf(length)} (${findings.sayPlace(bar.at)})`,
        );
      const there = itemAt(bars, at);
      bars[at] = {
        ...there,
        ticks: Math.max(there.ticks, bar.ticks),
        part: there.part ?? bar.part,
        tempo: there.tempo ?? bar.tempo,
      };
      places.push({ first: at, base: 0, last: at });
      at += 1;
      i += 1;
    }
  }
  return places;
}

/** How many of the lengths from `from` on make up `total` exactly; 0 where none do. */
function runOf(lengths: readonly Ticks[], from: number, total: Ticks): number {
  let sum = 0;
  for (let k = 0; k < MOST_BARS_IN_ONE && from + k < lengths.length; k++) {
    sum += itemAt(lengths, from + k);
    if (sum === total) return k + 1;
    if (sum > total) return 0;
  }
  return 0;
}

/** The bar and offset of a tick in a placed bar. */
export function placeOfTick(
  place: BarPlace,
  offset: Ticks,
  bars: readonly VoiceBar[],
): { readonly bar: number; readonly offset: Ticks } {
  let bar = place.first;
  let rest = place.base + offset;
  while (bar < place.last && rest >= itemAt(bars, bar).ticks) {
    rest -= itemAt(bars, bar).ticks;
    bar += 1;
  }
  return { bar, offset: rest };
}

const quartersOf = (ticks: Ticks): string => String(Math.round((ticks / TICKS_PER_QUARTER) * 100) / 100);

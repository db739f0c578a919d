import { itemAt } from '../base';
import { type Key, keySignature, scaleOf } from '../theory';
import { barTicks, type Meter, TempoMap, TICKS_PER_QUARTER, type Ticks } from '../time';
import type { VoiceBar } from './abc-types';
import type { GridNote } from './midi-grid';
import type { MidiFile } from './midi-parse';

export interface MidiBar extends VoiceBar {
  readonly from: Ticks;
}

/** A file may last this many bars. */
export const MOST_BARS = 3000;

/**
 * The bars of a file up to a tick: cut by its meters (a meter that begins within a bar cuts it short), with the mean tempo over each bar
 * where it differs from the one before, keys and markers at the bar in which they stand. Ticks of 960 to a quarter.
 */
export function barsOf(file: MidiFile, end: Ticks): { readonly bars: MidiBar[]; readonly cut: number } {
  const scale = TICKS_PER_QUARTER / file.ticksPerQuarter;
  const at = (tick: number): Ticks => Math.round(tick * scale);
  const meters = file.meters.map(({ tick, count, unit }) => ({ from: at(tick), meter: { count, unit } }));
  if (meters[0]?.from !== 0) meters.unshift({ from: 0, meter: { count: 4, unit: 4 } });
  const tempos =
    file.tempos.length > 0
      ? new TempoMap(
          file.tempos.map(({ tick, quartersPerMinute }) => ({ tick: tick * scale, quartersPerMinute })),
        )
      : null;
  const bars: MidiBar[] = [];
  let cut = 0;
  let tempo = 0;
  let index = 0;
  for (let from = 0; from < end && bars.length <= MOST_BARS; ) {
    while (index + 1 < meters.length && itemAt(meters, index + 1).from <= from) index += 1;
    const { meter } = itemAt(meters, index);
    const next = meters[index + 1]?.from ?? Number.POSITIVE_INFINITY;
    const full = barTicks(meter);
    const ticks = Math.min(full, next - from);
    if (ticks < full) cut += 1;
    const mean = tempos ? meanTempo(tempos, from, ticks) : 0;
    const changes = tempos !== null && Math.abs(mean - tempo) > tempo * 0.005;
    if (changes) tempo = mean;
    bars.push(emptyBar(from, ticks, meter, changes ? Math.round(mean * 100) / 100 : null));
    from += ticks;
  }
  const place = (tick: number) => bars.findLast((bar) => bar.from <= at(tick)) ?? null;
  for (const { tick, fifths, minor } of file.keys) {
    const bar = place(tick);
    if (bar) bar.key = keyOf(fifths, minor);
  }
  for (const { tick, text } of file.markers) {
    const near = bars.findLast((bar) => bar.from <= at(tick) + 240);
    if (near) near.part ??= text;
  }
  return { bars: asPickup(bars), cut };
}

function emptyBar(from: Ticks, ticks: Ticks, meter: Meter, tempo: number | null): MidiBar {
  return {
    at: from,
    from,
    ticks,
    meter,
    key: null,
    tempo,
    part: null,
    startRepeat: false,
    endRepeat: 1,
    doubled: false,
    ending: null,
    chords: [],
    notes: [],
  };
}

function meanTempo(tempos: TempoMap, from: Ticks, ticks: Ticks): number {
  const mean = (60 * ticks) / TICKS_PER_QUARTER / tempos.between(from, from + ticks);
  return Math.min(600, Math.max(10, mean));
}

/** A first bar of a shorter meter, before bars of a longer one, is how MIDI files write a pickup. */
function asPickup(bars: MidiBar[]): MidiBar[] {
  const [first, second] = bars;
  if (!first || !second || first.meter === 'free' || second.meter === 'free') return bars;
  const shorter = first.ticks < barTicks(second.meter) && first.meter.unit === second.meter.unit;
  return shorter && first.ticks === barTicks(first.meter)
    ? [{ ...first, meter: second.meter }, ...bars.slice(1)]
    : bars;
}

function keyOf(fifths: number, minor: boolean): Key | null {
  for (const letter of 'FCGDAEB')
    for (const accidental of ['', '#', 'b']) {
      const key: Key = { tonic: letter + accidental, mode: minor ? 'minor' : 'major' };
      if (keySignature(key) === fifths) return key;
    }
  return null;
}

/** The key whose scale holds most of the time that is sung; the last note speaks for its own. Common practice, no source. */
export function guessKey(notes: readonly GridNote[]): Key {
  let best: { key: Key; points: number } = { key: { tonic: 'C', mode: 'major' }, points: 0 };
  const total = notes.reduce((sum, note) => sum + note.ticks, 0);
  const last = notes[notes.length - 1];
  for (const mode of ['major', 'minor'] as const)
    for (const tonic of ['C', 'G', 'D', 'A', 'E', 'B', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'F#']) {
      const key: Key = { tonic, mode };
      const scale = scaleOf(key);
      const inside = notes.reduce((sum, note) => sum + (scale.includes(note.pitch % 12) ? note.ticks : 0), 0);
      const points = inside / total + (last && last.pitch % 12 === scale[0] ? 0.15 : 0);
      if (points > best.points + 1e-9) best = { key, points };
    }
  return best.key;
}

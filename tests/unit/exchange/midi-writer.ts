/** Bytes of standard MIDI files for tests; times in the file's own ticks. */
export interface Event {
  readonly tick: number;
  readonly bytes: readonly number[];
}

const variable = (value: number): number[] => {
  const bytes = [value & 127];
  for (let rest = value >> 7; rest > 0; rest >>= 7) bytes.unshift((rest & 127) | 128);
  return bytes;
};

const meta = (kind: number, data: readonly number[]): number[] => [
  255,
  kind,
  ...variable(data.length),
  ...data,
];

export const text = (tick: number, words: string, kind = 5): Event => ({
  tick,
  bytes: meta(kind, [...new TextEncoder().encode(words)]),
});
export const tempo = (tick: number, quartersPerMinute: number): Event => {
  const microseconds = Math.round(60_000_000 / quartersPerMinute);
  return { tick, bytes: meta(0x51, [microseconds >> 16, (microseconds >> 8) & 255, microseconds & 255]) };
};
export const meter = (tick: number, count: number, unit: number): Event => ({
  tick,
  bytes: meta(0x58, [count, Math.log2(unit), 24, 8]),
});
export const key = (tick: number, fifths: number, minor = false): Event => ({
  tick,
  bytes: meta(0x59, [fifths & 255, minor ? 1 : 0]),
});
export const note = (tick: number, ticks: number, pitch: number, channel = 1): Event[] => [
  { tick, bytes: [0x90 | (channel - 1), pitch, 80] },
  { tick: tick + ticks, bytes: [0x80 | (channel - 1), pitch, 0] },
];

const long = (value: number): number[] => [
  value >>> 24,
  (value >> 16) & 255,
  (value >> 8) & 255,
  value & 255,
];

/** Ends before starts at one tick, so that a note struck again is not ended by its own beginning. */
export function track(events: readonly Event[]): number[] {
  const rank = ({ bytes }: Event) => ((bytes[0] ?? 0) >> 4 === 8 ? 0 : (bytes[0] ?? 0) === 255 ? 1 : 2);
  const sorted = [...events].sort((a, b) => a.tick - b.tick || rank(a) - rank(b));
  const body: number[] = [];
  let last = 0;
  for (const { tick, bytes } of sorted) {
    body.push(...variable(tick - last), ...bytes);
    last = tick;
  }
  body.push(0, 255, 0x2f, 0);
  return [0x4d, 0x54, 0x72, 0x6b, ...long(body.length), ...body];
}

export const midi = (tracks: readonly (readonly number[])[], division = 480, format = 1): Uint8Array =>
  Uint8Array.from([
    0x4d,
    0x54,
    0x68,
    0x64,
    0,
    0,
    0,
    6,
    0,
    format,
    0,
    tracks.length,
    division >> 8,
    division & 255,
    ...tracks.flat(),
  ]);

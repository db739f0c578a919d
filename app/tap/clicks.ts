/** A beat that is to be heard and seen. */
export interface Beat {
  /** On the page's own clock (`performance.now`), in milliseconds. */
  readonly at: number;
  /** From 1 in its bar. */
  readonly number: number;
  /** Bars from the first full one, from 0; below 0 in the count-in. */
  readonly bar: number;
}

export const LOUDNESS = { off: 0, quiet: 0.12, louder: 0.4 } as const;
export type Loudness = keyof typeof LOUDNESS;

/** Seconds that a click lasts. */
const LENGTH = 0.045;

/** A click as plain samples: a sine that dies away; the first of the bar an octave higher. */
function clickOf(rate: number, isFirst: boolean): Float32Array<ArrayBuffer> {
  const samples = new Float32Array(Math.ceil(rate * LENGTH));
  const hertz = isFirst ? 1760 : 880;
  for (let i = 0; i < samples.length; i++) {
    const seconds = i / rate;
    // Two milliseconds to rise, so that it does not crack.
    const rise = Math.min(1, seconds / 0.002);
    samples[i] = rise * Math.exp(-seconds / 0.009) * Math.sin(2 * Math.PI * hertz * seconds);
  }
  return samples;
}

/** Has beats heard when they are due; gives the way to silence. Where nothing can sound, nothing does. */
export function playClicks(beats: readonly Beat[], loudness: Loudness): () => void {
  if (LOUDNESS[loudness] === 0 || !('AudioContext' in window)) return () => {};
  const context = new AudioContext();
  const gain = context.createGain();
  gain.gain.value = LOUDNESS[loudness];
  gain.connect(context.destination);
  const buffers = [true, false].map((isFirst) => {
    const samples = clickOf(context.sampleRate, isFirst);
    const buffer = context.createBuffer(1, samples.length, context.sampleRate);
    buffer.copyToChannel(samples, 0);
    return buffer;
  });
  // What is played is heard a little later; so it is played so much earlier.
  const latency = context.outputLatency || context.baseLatency || 0;
  const ahead = context.currentTime - performance.now() / 1000 - latency;
  for (const beat of beats) {
    const source = context.createBufferSource();
    source.buffer = buffers[beat.number === 1 ? 0 : 1] ?? null;
    source.connect(gain);
    source.start(Math.max(0, beat.at / 1000 + ahead));
  }
  return () => {
    context.close().catch(() => {});
  };
}

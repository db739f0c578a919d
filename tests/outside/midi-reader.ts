/** A note of a standard MIDI file, in the file's own ticks. */
export interface MidiNote {
  readonly onset: number;
  readonly end: number;
  readonly pitch: number;
}

export interface MidiFile {
  readonly ticksPerQuarter: number;
  readonly tracks: readonly (readonly MidiNote[])[];
  /** Microseconds to a quarter note, where the first tempo event says so. */
  readonly firstTempo: number | null;
}

/** Reads the notes and the first tempo of a standard MIDI file (formats 0 and 1), no more than a check needs. */
export function readMidi(bytes: Uint8Array): MidiFile {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const ticksPerQuarter = view.getUint16(12);
  const tracks: MidiNote[][] = [];
  let firstTempo: number | null = null;
  let at = 14;
  while (at + 8 <= bytes.length) {
    const length = view.getUint32(at + 4);
    const track = readTrack(view, at + 8, at + 8 + length);
    tracks.push(track.notes);
    firstTempo ??= track.tempo;
    at += 8 + length;
  }
  return { ticksPerQuarter, tracks, firstTempo };
}

function readTrack(view: DataView, from: number, end: number) {
  const notes: MidiNote[] = [];
  const open = new Map<number, number[]>();
  let tempo: number | null = null;
  let at = from;
  let tick = 0;
  let status = 0;
  const variable = (): number => {
    let value = 0;
    for (;;) {
      const byte = view.getUint8(at++);
      value = value * 128 + (byte & 0x7f);
      if (byte < 0x80) return value;
    }
  };
  while (at < end) {
    tick += variable();
    if (view.getUint8(at) >= 0x80) status = view.getUint8(at++);
    if (status === 0xff) {
      const kind = view.getUint8(at++);
      const length = variable();
      if (kind === 0x51 && tempo === null) tempo = view.getUint32(at - 1) & 0xffffff;
      at += length;
    } else if (status === 0xf0 || status === 0xf7) {
      at += variable();
    } else {
      const command = status >> 4;
      const pitch = view.getUint8(at++);
      const value = command === 0xc || command === 0xd ? 0 : view.getUint8(at++);
      if (command === 9 && value > 0) open.set(pitch, [...(open.get(pitch) ?? []), tick]);
      else if (command === 8 || command === 9) {
        const onset = open.get(pitch)?.shift();
        if (onset !== undefined) notes.push({ onset, end: tick, pitch });
      }
    }
  }
  return { notes: notes.sort((a, b) => a.onset - b.onset || b.pitch - a.pitch), tempo };
}

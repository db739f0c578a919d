import { fail, itemAt, ok, type Result } from '../base';

/** Times are the file's own ticks. */
export interface MidiNote {
  readonly from: number;
  readonly to: number;
  readonly pitch: number;
}

export interface MidiText {
  readonly tick: number;
  readonly text: string;
  readonly kind: 'lyric' | 'text';
  readonly track: number;
}

/** Notes of one channel of one track. */
export interface MidiVoice {
  /** From 1, as the file has them. */
  readonly track: number;
  /** From 1; 10 is the drums'. */
  readonly channel: number;
  readonly name: string | null;
  readonly notes: readonly MidiNote[];
}

/** A standard MIDI file, as far as a song is in it. */
export interface MidiFile {
  readonly ticksPerQuarter: number;
  readonly voices: readonly MidiVoice[];
  readonly texts: readonly MidiText[];
  /** By track (from 1), its name. */
  readonly names: ReadonlyMap<number, string>;
  readonly tempos: readonly { readonly tick: number; readonly quartersPerMinute: number }[];
  readonly meters: readonly { readonly tick: number; readonly count: number; readonly unit: number }[];
  readonly keys: readonly { readonly tick: number; readonly fifths: number; readonly minor: boolean }[];
  readonly markers: readonly { readonly tick: number; readonly text: string }[];
  readonly endTick: number;
  /** What was wrong with it and was read over, a sentence each. */
  readonly faults: readonly string[];
}

const MOST_BYTES = 8_000_000;
const MOST_NOTES = 200_000;
const MOST_TRACKS = 300;
/** Lengths beyond this many quarters are no song (24 hours at 120). */
const MOST_QUARTERS = 172_800;

/**
 * Reads a standard MIDI file of format 0 or 1. What is broken in it (a track cut short, data where a command should stand, notes that
 * never end) is read over and named in `faults`. Source, from memory: Standard MIDI Files 1.0, MIDI Manufacturers Association.
 *
 * @returns a problem where it is no MIDI file, is of format 2 or timed in film frames, or is beyond its limits
 */
export function parseMidi(bytes: Uint8Array): Result<MidiFile> {
  const start = headerAt(bytes);
  if (start === null || bytes.length < start + 14)
    return fail(
      'this is no MIDI file, or its start is missing',
      'the first bytes',
      'choose the file again; a standard MIDI file begins with "MThd"',
    );
  if (bytes.length > MOST_BYTES)
    return fail(
      `the file has ${bytes.length} bytes; at most ${MOST_BYTES} are read`,
      'the whole file',
      'check that it is one song',
    );
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const format = view.getUint16(start + 8);
  const division = view.getUint16(start + 12);
  if (format > 1)
    return fail(
      `this MIDI file is of format ${format}, whose tracks are no parts of one song`,
      'its header',
      'save it as format 0 or 1',
    );
  if (division >= 0x8000 || division === 0)
    return fail(
      'this MIDI file is timed in film frames, so nothing says where its beats are',
      'its header',
      'save it with ticks to a quarter note',
    );
  const collected = new Collected(division);
  let at = start + 8 + view.getUint32(start + 4);
  let track = 0;
  while (at + 8 <= bytes.length) {
    const length = view.getUint32(at + 4);
    const isTrack = view.getUint32(at) === 0x4d54726b;
    const end = at + 8 + length;
    if (isTrack) {
      track += 1;
      if (track > MOST_TRACKS) {
        collected.fault(`more than ${MOST_TRACKS} tracks; the rest was not read`);
        break;
      }
      if (end > bytes.length) collected.fault(`track ${track} is cut short`);
      const problem = readTrack(bytes, at + 8, Math.min(end, bytes.length), track, collected);
      if (problem) return problem;
    }
    at = end;
  }
  const announced = view.getUint16(start + 10);
  if (track < announced) collected.fault(`${announced - track} of ${announced} tracks are missing`);
  return ok(collected.file());
}

/** A MIDI file may stand within a RIFF file. */
function headerAt(bytes: Uint8Array): number | null {
  for (const at of [0, 20])
    if (bytes[at] === 0x4d && bytes[at + 1] === 0x54 && bytes[at + 2] === 0x68 && bytes[at + 3] === 0x64)
      return at;
  return null;
}

class Collected {
  readonly #division: number;
  readonly #voices = new Map<string, { track: number; channel: number; notes: MidiNote[] }>();
  readonly names = new Map<number, string>();
  readonly texts: MidiText[] = [];
  readonly tempos: { tick: number; quartersPerMinute: number }[] = [];
  readonly meters: { tick: number; count: number; unit: number }[] = [];
  readonly keys: { tick: number; fifths: number; minor: boolean }[] = [];
  readonly markers: { tick: number; text: string }[] = [];
  readonly #faults: string[] = [];
  notes = 0;
  endTick = 0;

  constructor(division: number) {
    this.#division = division;
  }

  get mostTicks(): number {
    return MOST_QUARTERS * this.#division;
  }

  fault(what: string): void {
    if (this.#faults.length < 40 && !this.#faults.includes(what)) this.#faults.push(what);
  }

  note(track: number, channel: number, note: MidiNote): void {
    const key = `${track} ${channel}`;
    const voice = this.#voices.get(key) ?? { track, channel, notes: [] };
    this.#voices.set(key, voice);
    voice.notes.push(note);
    this.notes += 1;
  }

  file(): MidiFile {
    const byTick = <T extends { readonly tick: number }>(items: T[]) => items.sort((a, b) => a.tick - b.tick);
    return {
      ticksPerQuarter: this.#division,
      voices: [...this.#voices.values()]
        .map(({ track, channel, notes }) => ({
          track,
          channel,
          name: this.names.get(track) ?? null,
          notes: notes.sort((a, b) => a.from - b.from || b.pitch - a.pitch),
        }))
        .sort((a, b) => a.track - b.track || a.channel - b.channel),
      texts: byTick(this.texts),
      names: this.names,
      tempos: byTick(this.tempos),
      meters: byTick(this.meters),
      keys: byTick(this.keys),
      markers: byTick(this.markers),
      endTick: this.endTick,
      faults: this.#faults,
    };
  }
}

function readTrack(
  bytes: Uint8Array,
  from: number,
  end: number,
  track: number,
  into: Collected,
): ReturnType<typeof fail> | null {
  const open = new Map<number, number[]>();
  let at = from;
  let tick = 0;
  let status = 0;
  const byte = (): number => (at < end ? itemAt(bytes, at++) : 0);
  const variable = (): number => {
    let value = 0;
    for (let i = 0; i < 4; i++) {
      const next = byte();
      value = value * 128 + (next & 0x7f);
      if (next < 0x80) return value;
    }
    into.fault(`track ${track} holds a length that is no length`);
    return value;
  };
  while (at < end) {
    tick += variable();
    if (tick > into.mostTicks) {
      into.fault(`track ${track} lasts longer than a day; it was read up to there`);
      break;
    }
    if (at >= end) break;
    const next = itemAt(bytes, at);
    if (next >= 0x80) {
      status = next;
      at += 1;
    } else if (status < 0x80 || status >= 0xf0) {
      into.fault(`track ${track} holds data where a command should stand`);
      at += 1;
      continue;
    }
    if (status === 0xff) {
      const kind = byte();
      const length = variable();
      if (kind === 0x2f) break;
      readMeta(kind, bytes.subarray(at, Math.min(at + length, end)), tick, track, into);
      at += length;
      status = 0;
    } else if (status === 0xf0 || status === 0xf7) {
      at += variable();
      status = 0;
    } else if (status > 0xf0) {
      status = 0;
    } else {
      const command = status >> 4;
      const channel = (status & 15) + 1;
      const first = byte();
      const second = command === 0xc || command === 0xd ? 0 : byte();
      if (first > 0x7f || second > 0x7f) {
        into.fault(`track ${track} holds a command with broken data`);
        at -= second > 0x7f ? 1 : 2;
        continue;
      }
      const key = channel * 128 + first;
      if (command === 9 && second > 0) {
        const waiting = open.get(key);
        if (waiting) waiting.push(tick);
        else open.set(key, [tick]);
        if (into.notes > MOST_NOTES)
          return fail(
            `the file has more than ${MOST_NOTES} notes`,
            `track ${track}`,
            'check that it is one song',
          );
      } else if (command === 8 || command === 9) {
        const begun = open.get(key)?.shift();
        if (begun !== undefined) into.note(track, channel, { from: begun, to: tick, pitch: first });
      }
    }
  }
  let unended = 0;
  for (const [key, begun] of open) {
    for (const start of begun) {
      into.note(track, key >> 7, { from: start, to: Math.max(tick, start), pitch: key & 127 });
      unended += 1;
    }
  }
  if (unended > 0) into.fault(`${unended} ${unended === 1 ? 'note' : 'notes'} of track ${track} never end`);
  into.endTick = Math.max(into.endTick, tick);
  return null;
}

function readMeta(kind: number, data: Uint8Array, tick: number, track: number, into: Collected): void {
  const number = (i: number) => data[i] ?? 0;
  if (kind === 0x51 && data.length >= 3) {
    const microseconds = (number(0) << 16) | (number(1) << 8) | number(2);
    if (microseconds > 0) into.tempos.push({ tick, quartersPerMinute: 60_000_000 / microseconds });
  } else if (kind === 0x58 && data.length >= 2) {
    if (number(0) >= 1 && number(0) <= 64 && number(1) <= 5)
      into.meters.push({ tick, count: number(0), unit: 2 ** number(1) });
    else into.fault(`a meter of ${number(0)} beats cannot be read`);
  } else if (kind === 0x59 && data.length >= 2) {
    const fifths = number(0) > 127 ? number(0) - 256 : number(0);
    if (Math.abs(fifths) <= 7) into.keys.push({ tick, fifths, minor: number(1) === 1 });
  } else if (kind === 0x03) {
    const name = textOf(data).trim();
    if (name !== '' && !into.names.has(track)) into.names.set(track, name.slice(0, 60));
  } else if (kind === 0x05 || kind === 0x01) {
    if (into.texts.length < MOST_NOTES)
      into.texts.push({ tick, text: textOf(data).slice(0, 300), kind: kind === 5 ? 'lyric' : 'text', track });
  } else if (kind === 0x06 && textOf(data).trim() !== '') {
    if (into.markers.length < 1000) into.markers.push({ tick, text: textOf(data).trim().slice(0, 60) });
  }
}

/** Words in MIDI files are in no stated encoding: UTF-8 where they are that, else Western European. */
function textOf(data: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(data).replace(/\0/g, '');
  } catch {
    return new TextDecoder('windows-1252').decode(data).replace(/\0/g, '');
  }
}

import { itemAt } from '../../base';
import type { InstrumentName } from '../../instruments';
import { DEFAULT_TEMPO, type FillNote, type Timeline } from '../../song';
import { type Key, keySignature } from '../../theory';
import { barTicks, isCompound, swingTick, TICKS_PER_QUARTER, type Ticks } from '../../time';
import type { Written } from './musicxml';
import type { Playing } from './playing';
import { scoreOf } from './score';

/** An event of a track, at its tick; `order` tells what comes first at one tick: ends, then signs, then starts. */
interface Event {
  readonly tick: Ticks;
  readonly order: 0 | 1 | 2;
  readonly bytes: readonly number[];
}

/** Of what is in front, and of what is behind it. Common practice, no source. */
const VELOCITY = 80;
const BEHIND = 56;

/**
 * A timeline as a standard MIDI file of format 1, 960 ticks to a quarter: a track with title, tempo, meter and key, then one for each
 * voice with its words as lyric events, then one for each player. Swing is rendered: eighths sound where the feel puts them.
 * Source: Standard MIDI Files 1.0.
 */
export function writeMidi(timeline: Timeline, players: readonly Playing[] = []): Written<Uint8Array> {
  const { song } = timeline;
  const score = scoreOf(timeline);
  const leftOut = [...score.leftOut];
  if (timeline.chords.length > 0)
    leftOut.push('chord symbols: they are marker texts, which few programs show');
  if (score.words.stanzas > 1)
    leftOut.push(`stanzas after the first of ${score.words.stanzas}: a MIDI file has one line of words`);
  if (timeline.passes.some(({ pass }) => pass === null) && score.bars.some(({ repeats }) => repeats.start))
    leftOut.push('repeats: each part is written once');
  if (song.notes.some(({ breath, fermata }) => breath || fermata)) leftOut.push('breath marks and fermatas');
  const untuned = song.notes.filter(({ midi }) => midi === null).length;
  if (untuned > 0)
    leftOut.push(`${untuned} notes whose tune is not written; their words stand on their beats`);
  const sounding = soundingTicks(timeline);
  const conductor: Event[] = [text(0, 0x03, song.title), ...signs(timeline)];
  for (const chord of timeline.chords) conductor.push(text(chord.startTick, 0x06, chord.symbol));
  const tracks = song.voices.map((voice, v) => {
    const channel = channelOf(v);
    const events: Event[] = [text(0, 0x03, voice.name)];
    for (const note of timeline.notes.get(voice.id) ?? []) {
      const from = sounding(note.startTick);
      const word = score.words.under(note).find(({ stanza }) => stanza === 1);
      if (word) events.push(text(from, 0x05, word.joins ? `${word.text}-` : `${word.text} `));
      const { midi } = note.note;
      if (midi === null) continue;
      events.push({ tick: from, order: 2, bytes: [0x90 | channel, midi, VELOCITY] });
      events.push({
        tick: Math.max(from + 1, sounding(note.endTick)),
        order: 0,
        bytes: [0x80 | channel, midi, 0],
      });
    }
    return events;
  });
  const played = players.map((playing, p) => playerEvents(playing, channelOf(tracks.length + p), sounding));
  if (players.some(({ sounded }) => sounded.some(({ notes }) => notes.some(({ stroke }) => stroke !== null))))
    leftOut.push('strokes, strings, frets and fingers: a MIDI file holds what sounds');
  const end = timeline.endTick;
  return {
    content: fileOf([conductor, ...tracks, ...played].map((events) => trackOf(events, end))),
    leftOut,
  };
}

/** Sounds by number, from 0. Source, from memory: General MIDI 1 sound set; it has no mandolin and no resonator guitar. */
const SOUNDS: Readonly<Record<InstrumentName, number>> = {
  voice: 52,
  guitar: 25,
  banjo: 105,
  mandolin: 25,
  fiddle: 110,
  'resonator guitar': 25,
  bass: 32,
};

/** One player's track. A note ends where its string, or another of its pitch, sounds again. */
function playerEvents(
  { name, setup, sounded, cues }: Playing,
  channel: number,
  sounding: (tick: Ticks) => Ticks,
): Event[] {
  const events: Event[] = [text(0, 0x03, setup === null ? name : `${name}, ${setup.instrument}`)];
  if (setup) events.push(text(0, 0x04, setup.instrument));
  events.push({ tick: 0, order: 1, bytes: [0xc0 | channel, SOUNDS[setup?.instrument ?? 'guitar']] });
  for (const cue of cues) events.push(text(sounding(cue.tick), 0x07, cue.text));
  const all = sounded.flatMap(({ notes, isBackup }) =>
    notes.map((note) => ({ note, velocity: isBackup ? BEHIND : VELOCITY })),
  );
  all.forEach(({ note, velocity }, i) => {
    const to = Math.min(note.tick + note.ticks, soundsAgain(all, i));
    const from = sounding(note.tick);
    if (note.word !== undefined) events.push(text(from, 0x05, `${note.word} `));
    events.push({ tick: from, order: 2, bytes: [0x90 | channel, note.midi, velocity] });
    events.push({ tick: Math.max(from + 1, sounding(to)), order: 0, bytes: [0x80 | channel, note.midi, 0] });
  });
  return events;
}

/** When a note's string, or its pitch on another, is struck again. */
function soundsAgain(all: readonly { readonly note: FillNote }[], at: number): Ticks {
  const { note } = itemAt(all, at);
  for (let i = at + 1; i < all.length; i++) {
    const next = itemAt(all, i).note;
    if (next.tick >= note.tick + note.ticks) break;
    if (next.midi === note.midi || next.string === note.string) return next.tick;
  }
  return Number.POSITIVE_INFINITY;
}

/** Sixteen channels; the tenth is for drums. */
const channelOf = (voice: number): number =>
  [0, 1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12, 13, 14, 15][voice % 15] ?? 0;

/** Where a written tick sounds; a pickup's beats are counted back from the barline that it leads to. */
function soundingTicks(timeline: Timeline): (tick: Ticks) => Ticks {
  const { feel } = timeline.song;
  if (feel.ratio === 1 || timeline.bars.length === 0) return (tick) => tick;
  return (tick) => {
    const { bar, startTick } = timeline.barAt(tick);
    if (isCompound(bar.meter)) return tick;
    const beatsFrom = startTick - (bar.pickup ? barTicks(bar.meter) - bar.ticks : 0);
    return Math.round(beatsFrom + swingTick(feel, tick - beatsFrom));
  };
}

function signs({ song, bars }: Timeline): Event[] {
  const events: Event[] = [tempo(0, bars[0]?.bar.tempo ?? song.tempo ?? DEFAULT_TEMPO)];
  let meter = '';
  bars.forEach(({ bar, startTick }, i) => {
    const now = `${bar.meter.count}/${bar.meter.unit}`;
    if (now !== meter)
      events.push(
        meta(startTick, 0x58, [
          bar.meter.count,
          Math.log2(bar.meter.unit),
          isCompound(bar.meter) ? 36 : 24,
          8,
        ]),
      );
    meter = now;
    const key = i === 0 ? (bar.key ?? song.key) : bar.key;
    if (key) events.push(keySign(startTick, key));
    if (bar.tempo !== null && i > 0) events.push(tempo(startTick, bar.tempo));
  });
  return events;
}

const keySign = (tick: Ticks, key: Key): Event =>
  meta(tick, 0x59, [Math.max(-7, Math.min(7, keySignature(key))) & 255, key.mode === 'minor' ? 1 : 0]);

function tempo(tick: Ticks, quartersPerMinute: number): Event {
  const microseconds = Math.min(0xff_ffff, Math.round(60_000_000 / quartersPerMinute));
  return meta(tick, 0x51, [microseconds >> 16, (microseconds >> 8) & 255, microseconds & 255]);
}

const text = (tick: Ticks, kind: number, words: string): Event =>
  meta(tick, kind, [...new TextEncoder().encode(words)]);

const meta = (tick: Ticks, kind: number, data: readonly number[]): Event => ({
  tick,
  order: 1,
  bytes: [0xff, kind, ...variable(data.length), ...data],
});

/** A number in sevens of bits, the highest first. */
function variable(value: number): number[] {
  const bytes = [value & 0x7f];
  for (let rest = Math.floor(value / 128); rest > 0; rest = Math.floor(rest / 128))
    bytes.unshift((rest & 0x7f) | 0x80);
  return bytes;
}

const long = (value: number): number[] => [
  value >>> 24,
  (value >> 16) & 255,
  (value >> 8) & 255,
  value & 255,
];

function trackOf(events: readonly Event[], end: Ticks): number[] {
  const sorted = [...events].sort((a, b) => a.tick - b.tick || a.order - b.order);
  const body: number[] = [];
  let last = 0;
  const add = (tick: Ticks, bytes: readonly number[]) => {
    body.push(...variable(Math.round(tick) - last));
    for (const byte of bytes) body.push(byte);
    last = Math.round(tick);
  };
  for (const { tick, bytes } of sorted) add(tick, bytes);
  add(Math.max(last, end), [0xff, 0x2f, 0]);
  return [0x4d, 0x54, 0x72, 0x6b, ...long(body.length), ...body];
}

function fileOf(tracks: readonly (readonly number[])[]): Uint8Array {
  const head = [
    0x4d,
    0x54,
    0x68,
    0x64,
    ...long(6),
    0,
    1,
    0,
    tracks.length,
    TICKS_PER_QUARTER >> 8,
    TICKS_PER_QUARTER & 255,
  ];
  return Uint8Array.from([head, ...tracks].flat());
}

import { openStrings, plainSetup, type Setup } from '../instruments';
import {
  DEFAULT_TEMPO,
  type Player,
  roadmapTimeline,
  type Song,
  soundingVoices,
  writtenTimeline,
} from '../song';
import { beatsPerBar } from '../time';
import type { Evening, Need, OrderCosts, SetSong } from './types';

/** When each song of an order begins, on the clock of its set. */
export interface ClockEntry {
  readonly songId: string;
  /** Which set, from 0. */
  readonly set: number;
  /** From the set's start: the first note, after what is said before it. */
  readonly startSeconds: number;
  readonly endSeconds: number;
}

/** The running clock of an order. */
export interface RunningClock {
  readonly entries: readonly ClockEntry[];
  readonly setSeconds: readonly number[];
  readonly seconds: number;
  /** Above 0: so much longer than the time promised; below 0: so much shorter; null: no time was promised. */
  readonly overSeconds: number | null;
}

const ORDINALS = ['First', 'Second', 'Third', 'Fourth', 'Fifth', 'Sixth'];
/** `First set`, where there are several. */
export const setInWords = (index: number): string => `${ORDINALS[index] ?? `${index + 1}th`} set`;

/** Minutes and seconds, without a sign: `3:07`, `1:02:30`. */
export function clockInFigures(seconds: number): string {
  const whole = Math.round(Math.abs(seconds));
  const pair = (value: number) => String(value).padStart(2, '0');
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return hours > 0 ? `${hours}:${pair(minutes)}:${pair(whole % 60)}` : `${minutes}:${pair(whole % 60)}`;
}

/** Breaks are not counted: how long they are is for the house to say. */
export function runningClock(
  evening: Evening,
  { order, between, seconds, setSeconds }: OrderCosts,
): RunningClock {
  const lengths = new Map(evening.songs.map((song) => [song.id, song]));
  const entries: ClockEntry[] = [];
  let set = 0;
  let clock = 0;
  order.forEach((songId, place) => {
    const before = between[place - 1];
    const song = lengths.get(songId);
    if (before && !before.atBreak) clock += before.seconds;
    else {
      if (before) set += 1;
      clock = song?.talkSeconds ?? 0;
    }
    const startSeconds = clock;
    clock += song?.seconds ?? 0;
    entries.push({ songId, set, startSeconds, endSeconds: clock });
  });
  const { targetSeconds } = evening;
  return {
    entries,
    setSeconds,
    seconds,
    overSeconds: targetSeconds === null ? null : seconds - targetSeconds,
  };
}

/**
 * How long a song is as the band plays it: its passes one after another, each with its own ending, at the tempos that hold. Swing moves
 * notes within their beats and makes no song longer. Without passes: as written.
 */
export function songSeconds(song: Song): number {
  const timeline = song.passes.length > 0 ? roadmapTimeline(song) : writtenTimeline(song);
  return timeline.tempo.between(0, timeline.endTick);
}

/**
 * A song of the band as an evening sees it. Players play what the song's settings say, or their first instrument as it comes; one who
 * lays out in every pass is not needed. How strong a song is, and whether it is safe, the band says elsewhere.
 */
export function setSongOf(
  song: Song,
  players: readonly Player[],
  said: Partial<Pick<SetSong, 'energy' | 'shaky' | 'talkSeconds' | 'place'>> = {},
): SetSong {
  const lead = song.voices.find((voice) => voice.part === 'lead');
  const sung = lead !== undefined && song.passes.some((pass) => soundingVoices(song, pass).includes(lead.id));
  return {
    id: song.id,
    title: song.title,
    key: song.key,
    tempo: song.tempo ?? DEFAULT_TEMPO,
    meter: usualMeter(song),
    seconds: songSeconds(song),
    leadSinger: sung ? (lead.playerId ?? null) : null,
    needs: players.flatMap((player) => needOf(song, player)),
    energy: said.energy ?? null,
    shaky: said.shaky ?? false,
    talkSeconds: said.talkSeconds ?? 0,
    place: said.place ?? null,
  };
}

/** The meter of most of the song's bars; 4/4 where there are none. */
function usualMeter({ sections }: Song): SetSong['meter'] {
  const counts = new Map<string, { meter: SetSong['meter']; beats: number }>();
  for (const { meter } of sections.flatMap((section) => section.bars)) {
    const name = `${meter.count}/${meter.unit}`;
    const beats = (counts.get(name)?.beats ?? 0) + beatsPerBar(meter);
    counts.set(name, { meter, beats });
  }
  const most = [...counts.values()].sort((a, b) => b.beats - a.beats);
  return most[0]?.meter ?? { count: 4, unit: 4 };
}

function needOf(song: Song, player: Player): Need[] {
  const out = song.passes.length > 0 && song.passes.every((pass) => pass.roles[player.id] === 'lay out');
  if (out) return [];
  const setting = song.settings.find(({ playerId }) => playerId === player.id);
  const main = player.instruments.find((instrument) => instrument !== 'voice');
  if (!setting) return main ? [{ playerId: player.id, setup: plainSetup(main) }] : [];
  const { instrument, tuning, capo, fifthCapo } = setting;
  const setup: Setup = { instrument, tuning, capo, fifthCapo };
  return [{ playerId: player.id, setup: openStrings(setup).ok ? setup : plainSetup(instrument) }];
}

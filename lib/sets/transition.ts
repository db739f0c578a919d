import type { Setup } from '../instruments';
import { keyName, keySignature, pitchClassOf, scaleOf } from '../theory';
import { beatsPerBar, beatTicks, isCompound, type Meter, TICKS_PER_QUARTER } from '../time';
import { changeOf } from './change';
import { LEAST_PAUSE_SECONDS, OTHER_TEMPO_RATIO } from './costs';
import type { Need, PlayerChange, SetSong, Transition } from './types';

/** Who is who, where two players have the same instrument. */
export type NameOf = (playerId: string) => string;

/**
 * Between songs: what each player does, how long it takes and what the crowd hears change.
 *
 * Model: players change at once, each by `changeOf`; a player who lays out in either song has that whole song for it, and is not
 * counted. The pause is as long as the slowest player, the talk or the applause, whichever is longest; the crowd
 * waits for what goes beyond applause and talk.
 *
 * @param joined a medley: no stop at all, so nobody can change anything and what would have to change is waited for
 */
export function betweenSongs(
  from: SetSong,
  to: SetSong,
  nameOf: NameOf = (id) => id,
  joined = false,
): Transition {
  const before = heldAt(from.needs, 'end');
  const prefer = to.key !== null && keySignature(to.key) < 0 ? 'flats' : 'sharps';
  const changes: PlayerChange[] = [];
  for (const [playerId, after] of heldAt(to.needs, 'start')) {
    const setup = before.get(playerId);
    const change = setup ? changeOf(playerId, setup, after, prefer) : null;
    if (change) changes.push(change);
  }
  const slowest = Math.max(0, ...changes.map((change) => change.seconds));
  const covered = joined ? 0 : Math.max(LEAST_PAUSE_SECONDS, to.talkSeconds);
  return {
    from: from.id,
    to: to.id,
    changes,
    seconds: Math.max(covered, slowest),
    waitingSeconds: Math.max(0, slowest - covered),
    effortSeconds: changes.reduce((sum, change) => sum + change.seconds, 0),
    heard: { key: keyHeard(from, to), tempo: tempoHeard(from, to) },
    steps: changes.map((change) => said(change, changes, nameOf)),
  };
}

/** What each player has in hand where a song begins, or ends; who only sings has nothing. */
function heldAt(needs: readonly Need[], at: 'start' | 'end'): Map<string, Setup> {
  const held = new Map<string, Setup>();
  for (const { playerId, setup } of needs) {
    if (setup.instrument === 'voice') continue;
    if (at === 'end' || !held.has(playerId)) held.set(playerId, setup);
  }
  return held;
}

/** `guitar: capo to 4`; with the player's name where two players change the same instrument. */
function said(change: PlayerChange, all: readonly PlayerChange[], nameOf: NameOf): string {
  const shared = all.filter(({ instrument }) => instrument === change.instrument).length > 1;
  const taken = change.steps.some((step) => step.startsWith('take up'));
  const who = taken
    ? nameOf(change.playerId)
    : shared
      ? `${change.instrument} (${nameOf(change.playerId)})`
      : change.instrument;
  return `${who}: ${change.steps.join(', ')}`;
}

/** True where the crowd hears one key: the same tonic and the same notes. */
export function sameKey(a: SetSong, b: SetSong): boolean {
  if (a.key === null || b.key === null) return false;
  const [from, to] = [scaleOf(a.key), scaleOf(b.key)];
  return from.every((pitchClass, i) => pitchClass === to[i]);
}

/** How much two songs sound like one tempo: 1 at the same one, down to 0 where it is another. */
export function sameTempo(a: SetSong, b: SetSong): number {
  const [from, to] = [beatsAMinute(a), beatsAMinute(b)];
  if (from === null || to === null || lilt(a.meter) !== lilt(b.meter)) return 0;
  return Math.max(0, 1 - Math.abs(Math.log(to / from)) / Math.log(OTHER_TEMPO_RATIO));
}

/** Waltzes, jigs and the rest: one tempo sounds like another under another lilt. */
function lilt(meter: Meter): 'three' | 'jig' | 'plain' {
  if (isCompound(meter)) return 'jig';
  return beatsPerBar(meter) % 3 === 0 ? 'three' : 'plain';
}

/** Counted beats, not quarters: a jig in 6/8 is counted in dotted quarters. */
function beatsAMinute({ tempo, meter }: SetSong): number | null {
  return tempo === null ? null : (tempo * TICKS_PER_QUARTER) / beatTicks(meter);
}

function keyHeard(from: SetSong, to: SetSong): string {
  if (from.key === null || to.key === null) return to.key === null ? 'no key said' : keyName(to.key);
  if (sameKey(from, to)) return `stays in ${keyName(to.key)}`;
  const up = pitchClassOf((scaleOf(to.key)[0] ?? 0) - (scaleOf(from.key)[0] ?? 0));
  const semitones = (count: number) => (count === 1 ? '1 semitone' : `${count} semitones`);
  const way = up === 0 ? 'same tonic' : up <= 6 ? `up ${semitones(up)}` : `down ${semitones(12 - up)}`;
  return `${keyName(from.key)} to ${keyName(to.key)} (${way})`;
}

function tempoHeard(from: SetSong, to: SetSong): string {
  const [a, b] = [beatsAMinute(from), beatsAMinute(to)];
  if (a === null || b === null) return 'no tempo said';
  const ratio = b / a;
  if (sameTempo(from, to) > 0.75) return 'the same tempo';
  if (Math.abs(ratio - 1) < 0.06) return 'another meter';
  const much = ratio > 1.5 || ratio < 1 / 1.5 ? 'much ' : '';
  return ratio > 1 ? `${much}faster` : `${much}slower`;
}

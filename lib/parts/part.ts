import type { Standing } from '../plan';
import { singingOf } from '../players';
import { type Band, type Pass, type Player, type Role, settingOf, soundingVoices } from '../song';
import type { Space } from '../spaces';
import { keyName, transposeChord } from '../theory';
import { meterName } from '../time';
import { type Arrangement, cuesOf } from './arrangement';
import {
  barsInWords,
  beatsInWords,
  chordsInWords,
  feelInWords,
  passName,
  shapesKey,
  tempoInSigns,
} from './sentences';
import { courseInWords } from './sheet/course';

/** What the head of a part says. */
export interface PartHead {
  readonly title: string;
  readonly player: string;
  readonly instrument: string;
  /** `sounds in A; play G shapes, capo 2`. */
  readonly key: string;
  readonly tuning: string;
  readonly meter: string;
  readonly tempo: string;
  readonly feel: string;
  /** Who starts and counts, and how it ends: a sentence each, of what the band said. */
  readonly course: readonly string[];
}

/** One line of the order of the song. */
export interface OrderRow {
  readonly passId: string;
  readonly name: string;
  readonly bars: number;
  /** What this player does in it. */
  readonly role: string;
  /** What stands out about the others: who sings, who has the break. */
  readonly others: string;
}

/** One of this player's own spaces, with its cue. */
export interface PartSpace {
  readonly space: Space;
  readonly standing: Standing;
  readonly cueBefore: string;
  readonly cueAfter: string;
}

export interface Part {
  readonly head: PartHead;
  readonly order: readonly OrderRow[];
  readonly own: readonly PartSpace[];
  /** Semitones from chords as sounded to the shapes that this player plays. */
  readonly transpose: number;
  readonly chordName: (symbol: string) => string;
}

/** All that stands on one player's page beside the lines themselves. */
export function partOf(arrangement: Arrangement, band: Band, player: Player): Part {
  const { song } = arrangement;
  const setting = settingOf(song, player);
  const shapes = shapesKey(song.key, setting.capo);
  const fifth = setting.instrument === 'banjo' ? (setting.fifthCapo ?? setting.capo) : 0;
  const meter = song.sections[0]?.bars.find((bar) => !bar.pickup)?.meter ?? { count: 4, unit: 4 };
  const own: PartSpace[] = [];
  for (const standing of arrangement.standings) {
    const { holding } = standing.answer;
    if (holding.kind === 'left open' || holding.playerId !== player.id || !standing.space) continue;
    const cues = cuesOf(arrangement, standing.space);
    own.push({ space: standing.space, standing, cueBefore: cues.before, cueAfter: cues.after });
  }
  own.sort((a, b) => a.space.startTick - b.space.startTick);
  return {
    head: {
      title: song.title,
      player: player.name,
      instrument: setting.instrument,
      key:
        setting.capo === 0
          ? `in ${keyName(song.key)}`
          : `sounds in ${keyName(song.key)}; play ${keyName(shapes)} shapes, capo ${setting.capo}${fifth > 0 ? `, fifth string up ${fifth}` : ''}`,
      tuning: setting.tuning === 'standard' ? '' : setting.tuning,
      meter: meterName(meter),
      tempo: song.tempo === null ? 'tempo not set' : tempoInSigns(song.tempo, meter),
      feel: feelInWords(song.feel.ratio),
      course: courseInWords(song, band),
    },
    order: song.passes.map((pass) => orderRow(arrangement, band, player, pass)),
    own,
    transpose: -setting.capo,
    chordName: (symbol) => (setting.capo === 0 ? symbol : transposeChord(symbol, -setting.capo, shapes)),
  };
}

/** `After “keeps the time”, before “the old”: bars 11 and 12, six beats on G, then C: as written`. */
export function cueInWords(
  { space, standing, cueBefore, cueAfter }: PartSpace,
  arrangement: Arrangement,
  part: Pick<Part, 'chordName'>,
): string {
  const last = arrangement.timeline.barAt(Math.max(space.startTick, space.endTick - 1)).number;
  const before = cueBefore === '' ? 'From the start' : `After “${cueBefore}”`;
  const after = cueAfter === '' ? '' : `, before “${cueAfter}”`;
  const what = standing.answer.holding.kind === 'ad lib' ? ': ad lib' : ': as written';
  const fits = standing.misfit === null ? '' : ` (no longer fits, ${standing.misfit}: agree again)`;
  return `${before}${after}: ${barsInWords(space.bar, last)}, ${beatsInWords(space.beats)} ${chordsInWords(
    space.chords.map((chord) => part.chordName(chord.symbol)),
  )}${what}${fits}`;
}

function orderRow(arrangement: Arrangement, band: Band, player: Player, pass: Pass): OrderRow {
  const bars = arrangement.timeline.bars.filter((bar) => bar.passId === pass.id && !bar.bar.pickup).length;
  return {
    passId: pass.id,
    name: passName(arrangement.song, pass),
    bars,
    role: roleInWords(roleIn(arrangement, pass, player)),
    others: othersInWords(arrangement, band, pass, player.id),
  };
}

/** What a player does in a pass: what is said, else what they sing in the band, else backup. */
export function roleIn(arrangement: Arrangement, pass: Pass, player: Player): Role {
  const said = pass.roles[player.id];
  if (said !== undefined) return said;
  const singing = singingOf(player, pass, arrangement.timeline);
  if (singing === null) return 'backup';
  return singing.called === 'lead' ? 'lead' : 'harmony';
}

/** `Ann sings, with Ben and Ruth`, `Ben takes the break`; of the others only, where one is left out. */
export function othersInWords(
  arrangement: Arrangement,
  band: Band,
  pass: Pass,
  leftOut: string | null = null,
): string {
  const names = (role: Role) =>
    band.players
      .filter((one) => one.id !== leftOut && roleIn(arrangement, pass, one) === role)
      .map((one) => one.name);
  const lead = names('lead');
  const harmony = names('harmony');
  const breaks = names('break');
  const sings = pass.stanza !== null && soundingVoices(arrangement.song, pass).length > 0;
  const said: string[] = [];
  if (breaks.length > 0) said.push(`${listOf(breaks)} ${breaks.length === 1 ? 'takes' : 'take'} the break`);
  if (sings && lead.length > 0) {
    said.push(
      `${listOf(lead)} ${lead.length === 1 ? 'sings' : 'sing'}${harmony.length > 0 ? ` with ${listOf(harmony)}` : ''}`,
    );
  } else if (sings && harmony.length > 0) said.push(`${listOf(harmony)} in harmony`);
  return said.join('; ');
}

function listOf(names: readonly string[]): string {
  return names.length <= 1
    ? names.join('')
    : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}

const ROLE_WORDS: Readonly<Record<Role, string>> = {
  lead: 'sing lead',
  harmony: 'sing harmony',
  backup: 'backup',
  break: 'your break',
  'lay out': 'lay out',
};

function roleInWords(role: Role): string {
  return ROLE_WORDS[role];
}

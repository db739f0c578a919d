import type { Standing } from '../plan';
import { singingOf } from '../players';
import { type Band, type Pass, type Player, type Role, settingOf, soundingVoices } from '../song';
import type { Space } from '../spaces';
import { meterName, type Ticks } from '../time';
import { type Arrangement, cuesOf } from './arrangement';
import { type ChordNaming, type ChordWay, chordNaming, chordsCompared, keyChangesInWords } from './chords';
import { breathsOf, othersInSpace, roleIn, voicesInWords } from './company';
import {
  barsInWords,
  beatsInWords,
  chordsInWords,
  feelInWords,
  listOf,
  passName,
  shapesInWords,
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
  /** What chords are called otherwise than they stand on the part, a sentence each. */
  readonly chords: readonly string[];
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
  /** Who else sings which part in it, where this player sings too; else empty. */
  readonly voices: string;
}

/** One of this player's own spaces, with its cue. */
export interface PartSpace {
  readonly space: Space;
  readonly standing: Standing;
  readonly cueBefore: string;
  readonly cueAfter: string;
  /** What the others do meanwhile, a clause each. */
  readonly others: string;
}

export interface Part {
  readonly head: PartHead;
  readonly order: readonly OrderRow[];
  readonly own: readonly PartSpace[];
  /** How this player reads a chord that is written as it sounds. */
  readonly chordName: ChordNaming;
  /** Where this player breathes as a singer, by tick: the ends of the phrases that they sing. */
  readonly breaths: ReadonlySet<Ticks>;
}

/** All that stands on one player's page beside the lines themselves. */
export function partOf(
  arrangement: Arrangement,
  band: Band,
  player: Player,
  chords: ChordWay = 'shapes',
): Part {
  const { song, timeline } = arrangement;
  const setting = settingOf(song, player);
  const meter = song.sections[0]?.bars.find((bar) => !bar.pickup)?.meter ?? { count: 4, unit: 4 };
  const own: PartSpace[] = [];
  for (const standing of arrangement.standings) {
    const { holding } = standing.answer;
    if (holding.kind === 'left open' || holding.playerId !== player.id || !standing.space) continue;
    const cues = cuesOf(arrangement, standing.space);
    const others = othersInSpace(arrangement, band, player, standing.space);
    own.push({ space: standing.space, standing, cueBefore: cues.before, cueAfter: cues.after, others });
  }
  own.sort((a, b) => a.space.startTick - b.space.startTick);
  return {
    head: {
      title: song.title,
      player: player.name,
      instrument: setting.instrument,
      key: [shapesInWords(song.key, setting), ...keyChangesInWords(timeline, setting.capo)].join('; '),
      tuning: setting.tuning === 'standard' ? '' : setting.tuning,
      meter: meterName(meter),
      tempo: song.tempo === null ? 'tempo not set' : tempoInSigns(song.tempo, meter),
      feel: feelInWords(song.feel.ratio),
      course: courseInWords(song, band),
      chords: chordsCompared(timeline, setting.capo, chords),
    },
    order: song.passes.map((pass) => orderRow(arrangement, band, player, pass)),
    own,
    chordName: chordNaming(timeline, setting.capo, chords),
    breaths: breathsOf(arrangement, player),
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
    space.chords.map((chord) => part.chordName(chord.symbol, chord.startTick)),
  )}${what}${fits}`;
}

function orderRow(arrangement: Arrangement, band: Band, player: Player, pass: Pass): OrderRow {
  const role = roleIn(arrangement, pass, player);
  const singing = singingOf(player, pass, arrangement.timeline);
  const isSinging = role === 'lead' || role === 'harmony';
  const bars = arrangement.timeline.bars.filter((bar) => bar.passId === pass.id && !bar.bar.pickup).length;
  return {
    passId: pass.id,
    name: passName(arrangement.song, pass),
    bars,
    role: roleInWords(role, singing?.called),
    others: othersInWords(arrangement, band, pass, player.id),
    voices: isSinging ? voicesInWords(arrangement, band, pass, player.id) : '',
  };
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

const ROLE_WORDS: Readonly<Record<Role, string>> = {
  lead: 'sing lead',
  harmony: 'sing harmony',
  backup: 'backup',
  break: 'your break',
  'lay out': 'lay out',
};

/** `sing tenor` rather than `sing harmony`, where it is known what the player's part is called. */
function roleInWords(role: Role, called: string | undefined): string {
  return role === 'harmony' && called !== undefined && called !== 'lead'
    ? `sing ${called}`
    : ROLE_WORDS[role];
}

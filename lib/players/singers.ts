import type { Pass, Player, Role, Timeline, Voice } from '../song';
import { leadVoice } from '../spaces';

/** What a player sings in a pass. */
export interface Singing {
  readonly voiceId: string;
  /** What people call it: `lead`, `tenor`, … */
  readonly called: string;
  /** True where the part is not written, and is taken to go with the leading voice. */
  readonly unwritten: boolean;
}

const SINGING_ROLES: readonly (Role | undefined)[] = ['lead', 'harmony'];

/**
 * Which voice a player sings in a pass (null: the song as written, where no roles are given); null: none.
 *
 * - Role lead: the leading voice. Role harmony: their own voice where one is written (by name, else by the part they
 *   sing in the band), else a part that goes with the leading voice. Backup, break, lay out: none.
 * - Without a role: the voice that is written for them; else, where the voice of the part that they sing in the band
 *   is given to nobody (and, for the lead, nobody has that role in this pass), that one.
 * - As written, a tenor or baritone of the band without a written voice is taken to go with the leading voice.
 */
export function singingOf(player: Player, pass: Pass | null, timeline: Timeline): Singing | null {
  if (pass !== null && pass.stanza === null) return null;
  const role = pass?.roles[player.id];
  if (role !== undefined && !SINGING_ROLES.includes(role)) return null;
  const lead = leadVoice(timeline);
  if (!lead) return null;
  const asLead = { voiceId: lead.id, called: 'lead', unwritten: false };
  if (role === 'lead') return asLead;
  const own = ownVoice(player, lead, timeline, pass);
  if (own && !(role === 'harmony' && own.id === lead.id)) {
    return { voiceId: own.id, called: own.id === lead.id ? 'lead' : calledOf(own), unwritten: false };
  }
  if (role === 'harmony' || (pass === null && isHarmony(player))) {
    return { voiceId: lead.id, called: isHarmony(player) ? player.sings : 'harmony', unwritten: true };
  }
  return null;
}

function ownVoice(player: Player, lead: Voice, timeline: Timeline, pass: Pass | null): Voice | null {
  const voices = timeline.song.voices;
  const written = voices.find((voice) => voice.playerId === player.id);
  const someoneLeads = pass !== null && Object.values(pass.roles).includes('lead');
  if (written) return written.id === lead.id && someoneLeads ? null : written;
  if (player.sings === 'none') return null;
  if (player.sings === 'lead') return lead.playerId === null && !someoneLeads ? lead : null;
  return voices.find((voice) => voice.part === player.sings && voice.playerId === null) ?? null;
}

function isHarmony(player: Player): boolean {
  return player.sings === 'tenor' || player.sings === 'baritone';
}

function calledOf(voice: Voice): string {
  return voice.part === 'other' ? voice.name || 'a harmony' : voice.part;
}

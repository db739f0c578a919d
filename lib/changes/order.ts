import { passName } from '../parts';
import type { Pass } from '../song';
import { type Change, type Compared, same } from './types';

const startOf = (pass: Pass) => ({ passId: pass.id, noteId: null, voiceId: null });

/** How the song runs: passes that came, went, moved, or are sung or named otherwise; what players do in them. */
export function orderChanges({ before, now, players }: Compared): readonly Change[] {
  const changes: Change[] = [];
  const say = (sentence: string, pass: Pass | null, rule: Change['rule'] = 'order') =>
    changes.push({ rule, by: null, sentence, place: pass && startOf(pass) });
  for (const pass of before.passes)
    if (!now.passes.some(({ id }) => id === pass.id)) say(`${passName(before, pass)} was cut`, null);
  for (const pass of now.passes) {
    const old = before.passes.find(({ id }) => id === pass.id);
    const name = passName(now, pass);
    if (!old) {
      say(`${name} came in`, pass);
      continue;
    }
    const { roles: rolesBefore, ...was } = old;
    const { roles, ...is } = pass;
    if (!same(was, is)) {
      const nameBefore = passName(before, old);
      say(nameBefore === name ? `${name} is sung or played otherwise` : `${nameBefore} is now ${name}`, pass);
    }
    for (const id of new Set([...Object.keys(rolesBefore), ...Object.keys(roles)])) {
      const role = roles[id] ?? null;
      if ((rolesBefore[id] ?? null) === role) continue;
      const who = players.find((player) => player.id === id)?.name ?? 'somebody';
      say(`${who} in ${name}: ${role ?? 'as usual'}`, pass, 'roles');
    }
  }
  const stayed = (song: typeof now, other: typeof now) =>
    song.passes.map(({ id }) => id).filter((id) => other.passes.some((pass) => pass.id === id));
  if (!same(stayed(before, now), stayed(now, before))) say('the order of the passes was changed', null);
  return changes;
}

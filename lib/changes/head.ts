import { feelInWords, tempoInSigns } from '../parts';
import { keyName } from '../theory';
import { type Change, type Compared, same } from './types';

/** What the song is: title, key, tempo, feel, start, ending; and how players are set up for it. */
export function headChanges({ before, now, players }: Compared): readonly Change[] {
  const said: string[] = [];
  if (before.title !== now.title) said.push(`“${before.title}” is called “${now.title}”`);
  if (!same(before.key, now.key))
    said.push(`the key went from ${keyName(before.key)} to ${keyName(now.key)}`);
  if (before.tempo !== now.tempo)
    said.push(now.tempo === null ? 'the tempo was taken out' : `the tempo is ${tempoInSigns(now.tempo)}`);
  if (!same(before.feel, now.feel)) said.push(`the feel is ${feelInWords(now.feel.ratio)}`);
  if (!same(before.start, now.start)) said.push('how it starts was changed');
  if (!same(before.ending, now.ending)) said.push('how it ends was changed');
  const setups = now.settings.flatMap((setting): string[] => {
    const old = before.settings.find(({ playerId }) => playerId === setting.playerId);
    const name = players.find(({ id }) => id === setting.playerId)?.name ?? 'somebody';
    if (same(old, setting)) return [];
    const capo = setting.capo === 0 ? 'no capo' : `capo ${setting.capo}`;
    const tuning = setting.tuning === 'standard' ? '' : `, ${setting.tuning}`;
    return [`${name}: ${setting.instrument}, ${capo}${tuning}`];
  });
  const gone = before.settings.filter(
    ({ playerId }) => !now.settings.some((setting) => setting.playerId === playerId),
  );
  if (gone.length > 0) setups.push('how a player is set up was taken out');
  return [
    ...said.map((sentence): Change => ({ rule: 'head', by: null, sentence, place: null })),
    ...setups.map((sentence): Change => ({ rule: 'players', by: null, sentence, place: null })),
  ];
}

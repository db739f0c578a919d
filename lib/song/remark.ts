import type { Band, Remark } from './band';

/** What was said last of a song after a gig; null: nothing. */
export const lastRemark = (band: Pick<Band, 'remarks'>, songId: string): Remark | null =>
  band.remarks.findLast((remark) => remark.songId === songId) ?? null;

/** `shaky: too fast (Ina R., 2026-11-14)`. */
export function remarkInWords({ solid, text, by, at }: Remark, players: Band['players']): string {
  const who = players.find(({ id }) => id === by)?.name;
  const when = new Date(at).toISOString().slice(0, 10);
  const said = [solid ? 'solid' : 'shaky', text].filter((part) => part !== '').join(': ');
  return `${said} (${who === undefined ? when : `${who}, ${when}`})`;
}

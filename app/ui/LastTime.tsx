import { type Band, lastRemark, remarkInWords } from '../../lib/song';

/** What was said of a song after the last gig; nothing where nobody said anything. */
export function LastTime({ band, songId }: { readonly band: Band; readonly songId: string }) {
  const remark = lastRemark(band, songId);
  return remark && <p className="aside">Last time {remarkInWords(remark, band.players)}</p>;
}

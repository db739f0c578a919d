/** Names that some file system keeps for devices. Source: Microsoft, Naming Files, Paths, and Namespaces; from memory. */
const DEVICES = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;
/**
 * Signs and bytes of UTF-8 at most. Source, from memory: POSIX's NAME_MAX and most file systems allow 255 bytes; a number, an ending and that
 * of a draft come to it.
 */
const LONGEST = { signs: 80, bytes: 200 } as const;
const BETWEEN = ' - ';

const signsOf = new Intl.Segmenter('en', { granularity: 'grapheme' });
const bytesIn = (text: string): number => Buffer.byteLength(text, 'utf8');

/** As much of a text as goes into so many signs and bytes, never within a letter and its marks. */
function cutTo(text: string, signs: number, bytes: number): string {
  let kept = '';
  let count = 0;
  for (const { segment } of signsOf.segment(text)) {
    if (count === signs || bytesIn(kept) + bytesIn(segment) > bytes) break;
    kept += segment;
    count += 1;
  }
  return kept.trimEnd();
}

const cleaned = (text: string): string =>
  text
    .normalize('NFC')
    .replace(/[\p{Cc}\p{Cf}\p{Cs}<>:"/\\|?*]/gu, ' ')
    .replace(/\s+/g, ' ')
    .trim();

/**
 * Texts as a name that every file system takes, without an ending; never empty. Of several, the first is cut first: what tells files of one
 * song or set apart comes after it, and has half the room.
 */
export function fileNameOf(first: string, ...others: readonly string[]): string {
  const after = others.map(cleaned).filter((text) => text !== '');
  const between = after.length * BETWEEN.length;
  const share = Math.max(1, after.length);
  const kept = after.map((text) =>
    cutTo(text, Math.floor(LONGEST.signs / 2 / share), Math.floor((LONGEST.bytes - between) / 2 / share)),
  );
  const taken = kept.join('');
  const signs = LONGEST.signs - between - [...signsOf.segment(taken)].length;
  const start = cutTo(cleaned(first), signs, LONGEST.bytes - between - bytesIn(taken));
  const name = [start, ...kept]
    .filter((text) => text !== '')
    .join(BETWEEN)
    .replace(/^[. ]+|[. ]+$/g, '');
  if (name === '') return 'untitled';
  // A device's name is one with an ending too.
  return DEVICES.test(name) ? name.replace(/^[^.]+/, '$&_') : name;
}

/** A name with its ending that is not taken yet, also where a file system makes no difference between small and capital letters; then it is. */
export function freeName(taken: Set<string>, name: string, ending: string): string {
  for (let i = 1; ; i++) {
    const tried = `${name}${i === 1 ? '' : ` (${i})`}.${ending}`;
    const key = tried.toLowerCase();
    if (taken.has(key)) continue;
    taken.add(key);
    return tried;
  }
}

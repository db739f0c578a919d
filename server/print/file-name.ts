/** Names that some file system keeps for devices. Source: Microsoft, Naming Files, Paths, and Namespaces; from memory. */
const DEVICES = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i;
const LONGEST = 80;

/** A text as a name that every file system takes, without an ending; never empty. */
export function fileNameOf(text: string): string {
  const plain = text
    .normalize('NFC')
    .replace(/[\p{Cc}\p{Cf}\p{Cs}<>:"/\\|?*]/gu, ' ')
    .replace(/\s+/g, ' ')
    .replace(/^[. ]+/, '');
  const short = [...plain]
    .slice(0, LONGEST)
    .join('')
    .replace(/[. ]+$/, '');
  if (short === '') return 'untitled';
  return DEVICES.test(short) ? `${short}_` : short;
}

/** Signs that take two columns of a fixed-width font, and none. */
const WIDE =
  /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\u3000-\u303f\uff01-\uff60]/u;
const NONE = /[\p{Mn}\p{Me}\u200b-\u200f\ufeff]/u;

/** The column (from 0) at which each sign of a line stands in a fixed-width font, and the line's width at its end; tabs stop at eights. */
export function columnsOf(line: string): (index: number) => number {
  if (!/[^\x20-\x7e]/.test(line)) return (index) => index;
  const columns = new Uint32Array(line.length + 1);
  let column = 0;
  for (let i = 0; i < line.length; ) {
    const sign = String.fromCodePoint(line.codePointAt(i) ?? 32);
    for (let k = 0; k < sign.length; k++) columns[i + k] = column;
    i += sign.length;
    if (sign === '\t') column += 8 - (column % 8);
    else column += NONE.test(sign) ? 0 : WIDE.test(sign) ? 2 : 1;
  }
  columns[line.length] = column;
  return (index) => columns[Math.min(index, line.length)] ?? index;
}

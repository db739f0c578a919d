import { spawnSync } from 'node:child_process';

/** Whether poppler's programs are on this machine. */
export const hasPoppler = spawnSync('pdfinfo', ['-v']).error === undefined;

export interface Word {
  readonly text: string;
  readonly page: number;
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

export function run(command: string, ...args: string[]): string {
  const { stdout, status, stderr } = spawnSync(command, args, { encoding: 'utf8', maxBuffer: 2 ** 28 });
  if (status !== 0) throw new Error(`${command}: ${stderr}`);
  return stdout;
}

/** Words of a PDF and where they stand, in points, as pdftotext finds them; and the size of the last page. */
export function wordsIn(file: string): { words: Word[]; width: number; height: number } {
  const words: Word[] = [];
  let page = 0;
  let [width, height] = [0, 0];
  for (const line of run('pdftotext', '-bbox', file, '-').split('\n')) {
    const sheet = /<page width="([\d.]+)" height="([\d.]+)"/.exec(line);
    if (sheet) {
      page += 1;
      [width, height] = [Number(sheet[1]), Number(sheet[2])];
    }
    const word =
      /<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)<\/word>/.exec(line);
    if (word) {
      const [left = 0, top = 0, right = 0, bottom = 0] = word.slice(1, 5).map(Number);
      words.push({ text: word[5] ?? '', page, left, top, right, bottom });
    }
  }
  return { words, width, height };
}

/** Words beyond the paper's edge, and pairs of written words that stand over one another. */
export function faultsIn(file: string): { looked: number; beyond: string[]; over: string[] } {
  const { words, width, height } = wordsIn(file);
  const beyond = words
    .filter(({ left, top, right, bottom }) => left < 0 || top < 0 || right > width || bottom > height)
    .map(({ text, page }) => `page ${page}: ${text}`);
  // The music face's boxes are as high as its tallest sign: what is written in letters and figures is compared.
  const written = words.filter(({ text }) => /^[\p{L}\p{N}’'.,;:!?()/-]+$/u.test(text));
  written.sort((a, b) => a.page - b.page || a.left - b.left);
  const over: string[] = [];
  for (const [i, a] of written.entries())
    for (let k = i + 1; k < written.length; k++) {
      const b = written[k];
      if (!b || b.page !== a.page || b.left > a.right) break;
      // A box is as high as the face's line; letters fill its middle half.
      const overlapX = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const overlapY = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      const least = Math.min(a.bottom - a.top, b.bottom - b.top);
      if (overlapX > 0.8 && overlapY > least * 0.5) over.push(`page ${a.page}: "${a.text}" and "${b.text}"`);
    }
  return { looked: written.length, beyond, over };
}

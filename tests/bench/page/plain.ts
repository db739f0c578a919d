import type { BrowserContext } from '@playwright/test';
import type { Line } from '../../../lib/parts';

const ESCAPED: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;' };
const text = (words: string): string => words.replace(/[&<]/g, (sign) => ESCAPED[sign] ?? sign);

/** As much as stands in an opened space: ideas with a title, a sentence, actions and a drawing each, and who can take it. */
const OPENED = Array.from(
  { length: 4 },
  (_, i) =>
    `<h4>${i + 1} a run down into the chord</h4><p>Starts close to where the singer left off; lands on the root.</p><p><button>one</button> <button>two</button> <button>three</button></p><svg width="160" height="70">${'<line x1="0" y1="9" x2="160" y2="9" stroke="black"/><text x="9" y="20">3</text>'.repeat(8)}</svg>`,
).join('');

/**
 * The same lines as a page that knows nothing: a paragraph of words and one of chords for each, and a listener of a few lines that
 * goes from one to the next, opens as much beneath it as a space opens, and closes it again. What any page takes on
 * this machine at the least, so that ours is told by a ratio.
 */
const pageOf = (lines: readonly Line[]): string => `<!doctype html><title>Plain</title>
<style>main{width:70rem;margin:auto;font:21px/1.3 serif}p{margin:.4rem 0}</style><main class="board">${lines
  .map(
    ({ words, segments }) =>
      `<p><b>${segments.map(({ chords }) => chords.map(({ symbol }) => text(symbol)).join(' ')).join(' | ')}</b></p><p class="line" tabindex="0"><span class="syllable">${text(words) || '–'}</span></p>`,
  )
  .join('')}</main>
<script>
const lines = [...document.querySelectorAll('.line')];
let at = -1;
let open = null;
const close = () => { open?.remove(); open = null; };
addEventListener('keydown', ({ key }) => {
  if (key === 'ArrowDown' || key === 'ArrowUp') {
    at = Math.max(0, Math.min(lines.length - 1, at + (key === 'ArrowDown' ? 1 : -1)));
    const had = open !== null;
    close();
    lines[at].focus();
    if (had) show();
  } else if (key === 'Enter') show();
  else if (key === 'Escape') close();
});
function show() {
  open = document.createElement('section');
  open.innerHTML = ${JSON.stringify(OPENED)};
  lines[at].after(open);
}
</script>`;

/** Lets the browser find the plain page at an address of the same origin; gives the address. */
export async function plainAt(
  context: BrowserContext,
  origin: string,
  name: string,
  lines: readonly Line[],
): Promise<string> {
  const address = `${origin}/plain/${name}`;
  await context.route(address, (route) => route.fulfill({ contentType: 'text/html', body: pageOf(lines) }));
  return address;
}

/**
 * Draws the icons of the installed page anew from app/icon.svg: `npx tsx tests/pictures/icons.ts`. What it writes is kept in public/icons
 * and app/apple-icon.png; it is run by hand when the sign changes.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { chromium } from '@playwright/test';

/** Path in the project, edge in pixels, and how large the sign stands in it (1: as in app/icon.svg). */
const ICONS = [
  { path: 'public/icons/192.png', edge: 192, sign: 1 },
  { path: 'public/icons/512.png', edge: 512, sign: 1 },
  // A mask may cut away whatever is further from the middle than two fifths of the edge.
  { path: 'public/icons/mask-192.png', edge: 192, sign: 0.8 },
  { path: 'public/icons/mask-512.png', edge: 512, sign: 0.8 },
  { path: 'app/apple-icon.png', edge: 180, sign: 0.9 },
] as const;

const root = new URL('../../', import.meta.url);
const sign = /<path [^>]+>/.exec(readFileSync(new URL('app/icon.svg', root), 'utf8'))?.[0];
if (sign === undefined) throw new Error('app/icon.svg holds no path');
mkdirSync(new URL('public/icons/', root), { recursive: true });

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM_PATH ?? '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-background-networking'],
});
try {
  for (const { path, edge, sign: scale } of ICONS) {
    const page = await browser.newPage({ viewport: { width: edge, height: edge } });
    await page.setContent(
      `<style>*{margin:0}svg{display:block}</style><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32" width="${edge}" height="${edge}">
<rect width="32" height="32" fill="#faf6ee"/><g transform="translate(16 16) scale(${scale}) translate(-16 -16)">${sign}</g></svg>`,
    );
    writeFileSync(fileURLToPath(new URL(path, root)), await page.screenshot());
    await page.close();
  }
} finally {
  await browser.close();
}

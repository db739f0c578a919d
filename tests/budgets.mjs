/**
 * Size budgets: serves the built program, opens pages as a browser would, and weighs what their HTML asks for at once
 * (gzip). Heavy parts that load when used are not in it. Exits 1 beyond a budget. Node's own modules only.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';

const budgets = JSON.parse(readFileSync(new URL('./budgets.json', import.meta.url), 'utf8'));
const port = 4391;
const origin = `http://localhost:${port}`;
const data = mkdtempSync(join(tmpdir(), 'breathmark-budgets-'));
const server = spawn(process.execPath, ['server/start.mjs', '--port', String(port)], {
  stdio: ['ignore', 'pipe', 'inherit'],
  env: { ...process.env, BREATHMARK_DATA: data },
});

await new Promise((resolve, reject) => {
  let said = '';
  server.stdout.on('data', (chunk) => {
    said += chunk;
    if (said.includes(origin)) resolve();
  });
  server.on('exit', () => reject(new Error(`the server did not start: ${said}`)));
});

const weigh = async (path) => {
  const bytes = Buffer.from(await (await fetch(new URL(path, origin))).arrayBuffer());
  return gzipSync(bytes).length / 1000;
};

/** Kilobytes of scripts and styles that a page's HTML names. */
async function page(path, cookie) {
  const html = await (await fetch(`${origin}${path}`, { headers: cookie ? { cookie } : {} })).text();
  const named = (pattern) => [
    ...new Set([...html.matchAll(pattern)].map((match) => match[1].replaceAll('&amp;', '&'))),
  ];
  // Scripts for browsers without modules are not asked for by those with them.
  const scripts = named(/<script(?![^>]*\bnomodule\b)[^>]+src="([^"]+)"/gi);
  const styles = named(/<link[^>]+rel="stylesheet"[^>]+href="([^"]+)"/g);
  const sum = async (paths) => (await Promise.all(paths.map(weigh))).reduce((total, size) => total + size, 0);
  return { scripts: await sum(scripts), styles: await sum(styles), html };
}

let failed = 0;
const check = (what, size, most) => {
  const holds = size > 0 && size <= most;
  if (!holds) failed += 1;
  console.log(`${holds ? 'holds ' : 'BEYOND'}  ${what}: ${size.toFixed(0)} kB (at most ${most} kB)`);
};

try {
  const home = await page('/', null);
  check('first scripts of the home page', home.scripts, budgets.firstScripts['/']);
  check('styles', home.styles, budgets.styles);
  const entered = await fetch(`${origin}/api/demo/enter`, {
    method: 'POST',
    headers: { origin, 'content-type': 'application/json' },
    body: '{}',
  });
  const cookie = entered.headers
    .getSetCookie()
    .map((one) => one.split(';')[0])
    .join('; ');
  const { bandId } = await entered.json();
  const band = await page(`/band/${bandId}`, cookie);
  // The page's data stands in its HTML, escaped; the first song of the list will do.
  const songId = /"songs":\[\{"id":"([^"]+)"/.exec(band.html.replaceAll('\\"', '"'))?.[1];
  if (!songId) throw new Error('the band page names no song');
  const board = await page(`/band/${bandId}/song/${songId}`, cookie);
  check('first scripts of the board', board.scripts, budgets.firstScripts.board);
} catch (error) {
  failed += 1;
  console.log(`could not weigh the pages: ${error instanceof Error ? error.message : error}`);
} finally {
  server.kill('SIGTERM');
  rmSync(data, { recursive: true, force: true });
}
process.exit(failed > 0 ? 1 : 0);

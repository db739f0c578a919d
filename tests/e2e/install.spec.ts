import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type BrowserContext, chromium, expect, type Page, test } from '@playwright/test';
import { intoDemo } from './band-at-work';

/** A profile that is kept: in a private one nothing can be installed. */
let context: BrowserContext;
let page: Page;
let profile: string;

test.beforeEach(async ({ launchOptions, baseURL }) => {
  profile = mkdtempSync(join(tmpdir(), 'breathmark-profile-'));
  context = await chromium.launchPersistentContext(profile, {
    ...launchOptions,
    ...(baseURL ? { baseURL } : {}),
  });
  page = await context.newPage();
});
test.afterEach(async () => {
  await context.close();
  rmSync(profile, { recursive: true, force: true });
});

/** A picture's edges, whether its ground is opaque, and how far from its middle what is not ground reaches, in pixels. */
const drawn = (source: string) =>
  page.evaluate(async (src) => {
    const image = new Image();
    image.src = src;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = image.naturalWidth;
    canvas.height = image.naturalHeight;
    const pen = canvas.getContext('2d');
    if (pen === null) throw new Error('nothing to draw on');
    pen.drawImage(image, 0, 0);
    const { data, width, height } = pen.getImageData(0, 0, canvas.width, canvas.height);
    const ground = data.slice(0, 4);
    let furthest = 0;
    for (let i = 0; i < data.length; i += 4) {
      if (ground.every((value, j) => data[i + j] === value)) continue;
      const x = ((i / 4) % width) + 0.5 - width / 2;
      const y = Math.floor(i / 4 / width) + 0.5 - height / 2;
      furthest = Math.max(furthest, Math.hypot(x, y));
    }
    return { width, height, opaque: ground[3] === 255, furthest };
  }, source);

// Reference library: Chromium, which reads the manifest and says what keeps a page from being installed.
test('a device can keep it as a program of its own: Chromium finds nothing that stands against it', async () => {
  await page.goto('/');
  const link = page.locator('link[rel="manifest"]');
  await expect(link).toHaveAttribute('href', /^\/manifest/);
  const told = await context.newCDPSession(page);
  const { url, errors, data } = await told.send('Page.getAppManifest');
  expect(url).toMatch(/\/manifest\.webmanifest$/);
  expect(errors).toEqual([]);
  const manifest = JSON.parse(data ?? '');
  expect(manifest).toMatchObject({ name: 'Breathmark', start_url: '/', scope: '/', display: 'standalone' });
  expect((await told.send('Page.getInstallabilityErrors')).installabilityErrors).toEqual([]);

  const answer = await page.request.get('/manifest.webmanifest');
  expect(answer.headers()['content-type']).toMatch(/^application\/manifest\+json/);
});

test('its icons have the sizes that the manifest tells, and the masked ones keep their sign where no mask cuts', async () => {
  await page.goto('/');
  const { icons } = await (await page.request.get('/manifest.webmanifest')).json();
  const told = icons.map(({ sizes, purpose }: { sizes: string; purpose: string }) => `${purpose} ${sizes}`);
  expect(told).toEqual(
    expect.arrayContaining(['any 192x192', 'any 512x512', 'maskable 192x192', 'maskable 512x512']),
  );
  for (const { src, sizes, type, purpose } of icons) {
    const answer = await page.request.get(src);
    expect(answer.headers()['content-type']).toBe(type);
    if (sizes === 'any') continue;
    const { width, height, opaque, furthest } = await drawn(src);
    expect(`${width}x${height}`).toBe(sizes);
    if (purpose !== 'maskable') continue;
    // Source, from memory: W3C Web Application Manifest, icon masks and safe zone: a mask may cut away all but a circle
    // about the middle, whose radius is two fifths of the edge; what is beyond it has to be filled.
    expect(opaque).toBe(true);
    expect(furthest).toBeGreaterThan(0.25 * width);
    expect(furthest).toBeLessThanOrEqual(0.4 * width);
  }
  const touch = page.locator('link[rel="apple-touch-icon"]');
  const { width, height } = await drawn((await touch.getAttribute('href')) ?? '');
  expect([width, height]).toEqual([180, 180]);
});

test('the colour about the page is that of its paper, by day and in the dark', async () => {
  for (const scheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: scheme });
    await page.goto('/');
    const [theme, paper] = await page.evaluate(() => {
      const fitting = [...document.querySelectorAll<HTMLMetaElement>('meta[name="theme-color"]')].find(
        (meta) => matchMedia(meta.media).matches,
      );
      const probe = document.createElement('i');
      probe.style.color = fitting?.content ?? '';
      document.body.append(probe);
      return [getComputedStyle(probe).color, getComputedStyle(document.documentElement).backgroundColor];
    });
    expect(theme).toBe(paper);
    expect(paper).toBe(scheme === 'light' ? 'rgb(250, 246, 238)' : 'rgb(20, 17, 13)');
  }
});

test('opened from the device without a connection, it begins with the bands of the device', async () => {
  await intoDemo(page);
  await page.goto('/');
  await expect(page.getByRole('heading', { name: 'Your bands' })).toBeVisible();
  await expect
    .poll(() => page.evaluate(async () => (await caches.match('/', { ignoreVary: true })) !== undefined))
    .toBe(true);
  await context.setOffline(true);
  await page.goto('/');
  await expect(page.getByRole('heading', { name: 'Your bands' })).toBeVisible();
});

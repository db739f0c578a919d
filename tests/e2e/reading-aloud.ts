import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect, type Page } from '@playwright/test';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Breach {
  readonly rule: string;
  readonly where: readonly string[];
}

/**
 * Reference library: axe-core, an independent checker of WCAG 2.2 A and AA, put into the page as it stands. Checks names,
 * roles, landmarks, headings and contrast.
 */
export async function expectAccessible(page: Page): Promise<void> {
  await page.evaluate(AXE);
  const breaches = await page.evaluate(async (): Promise<readonly Breach[]> => {
    const axe: {
      run(options: object): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }>;
    } = Reflect.get(window, 'axe');
    const { violations } = await axe.run({
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    });
    return violations.map(({ id, nodes }) => ({
      rule: id,
      where: nodes.map(({ html }) => html.slice(0, 200)),
    }));
  });
  expect(breaches).toEqual([]);
}

/** The same in both colour schemes. */
export async function accessibleInBoth(page: Page): Promise<void> {
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme });
    await expectAccessible(page);
  }
}

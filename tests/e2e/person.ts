import { join } from 'node:path';
import { expect, type Locator, type Page } from '@playwright/test';
import { kept } from './band-at-work';

/** What a person does, counted: a key, a click, a file chosen, a hold; each sign of what they type is a key. */
export class Person {
  readonly page: Page;
  /** By what it was for. */
  readonly counts = new Map<string, number>();

  constructor(page: Page) {
    this.page = page;
  }

  get actions(): number {
    return [...this.counts.values()].reduce((sum, count) => sum + count, 0);
  }

  count(what: string): void {
    this.counts.set(what, (this.counts.get(what) ?? 0) + 1);
  }

  async press(key: string, what: string): Promise<void> {
    this.count(what);
    await this.page.keyboard.press(key);
  }

  async type(text: string, what: string): Promise<void> {
    for (const sign of text) await this.press(sign, what);
  }

  async click(target: Locator, what: string): Promise<void> {
    this.count(what);
    await target.click();
  }

  /** A field that opens, and one of what it holds: two clicks. */
  async choose(field: Locator, label: string, what: string): Promise<void> {
    this.count(what);
    this.count(what);
    await field.selectOption({ label });
  }

  /** A file chosen in the window that a key has opened. */
  async file(field: Locator, path: string, what: string): Promise<void> {
    this.count(what);
    await field.setInputFiles(path);
  }

  /** What was done, by what it was for, and in all. */
  said(): string {
    const rows = [...this.counts].map(([what, count]) => `${String(count).padStart(4)}  ${what}`);
    return `${rows.join('\n')}\n${String(this.actions).padStart(4)}  actions in all`;
  }
}

/** Three minutes of ours: three verses of sixteen bars and their choruses of eight, at 96. */
const THREE_MINUTES = join(import.meta.dirname, '../tunes/long/lock-light.abc');

/** Ann on guitar, who sings, Ben on banjo and Cal on fiddle, and a song of three minutes from a file, on its board. */
export async function songForThree(person: Person): Promise<void> {
  const { page } = person;
  await person.click(page.getByRole('button', { name: 'Change Ann' }), 'players');
  await person.click(page.getByLabel('guitar', { exact: true }), 'players');
  await person.click(page.getByLabel('lead', { exact: true }), 'players');
  await person.click(page.getByRole('button', { name: /Keep it/ }), 'players');
  for (const [name, instrument] of [
    ['Ben', 'banjo'],
    ['Cal', 'fiddle'],
  ] as const) {
    await person.press('p', 'players');
    await person.type(name, 'players');
    await person.click(page.getByLabel(instrument, { exact: true }), 'players');
    await person.click(page.getByRole('button', { name: /Add the player/ }), 'players');
    await expect(page.getByRole('button', { name: `Change ${name}` })).toBeVisible();
  }
  await kept(page);
  await person.press('b', 'the song');
  await expect(page.getByRole('heading', { name: 'Bring in a song' })).toBeVisible();
  await person.press('f', 'the song');
  await person.file(page.getByLabel('Song file'), THREE_MINUTES, 'the song');
  await expect(page.getByRole('region', { name: 'What was read' })).toBeVisible({ timeout: 30_000 });
  await person.press('Control+Enter', 'the song');
  await page.waitForURL(/\/song\/[^/]+$/);
  await kept(page);
}

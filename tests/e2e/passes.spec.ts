import { expect, type Page, test } from '@playwright/test';
import { kept, madeBand } from './band-at-work';
import { Person, songForThree } from './person';
import { expectAccessible } from './reading-aloud';

const passes = (page: Page) => page.locator('section.pass[data-pass]');
/** The order as it is read: names, without what is only said to who cannot see where a pass stands. */
const order = (page: Page) =>
  passes(page)
    .locator('.pass-name')
    .evaluateAll((all) => all.map((one) => one.firstChild?.textContent ?? ''));
const form = (page: Page, place: string) => page.getByRole('group', { name: `The ${place} passes` });

test('the order of the song by keys alone: again, another part, earlier, later, out, and taken back', async ({
  page,
}) => {
  test.setTimeout(120_000);
  await madeBand(page);
  await songForThree(new Person(page));
  const written = ['Verse 1', 'Chorus', 'Verse 2', 'Chorus', 'Verse 3', 'Chorus'];
  expect(await order(page)).toEqual(written);

  // The pass in sight opens and has the keys.
  await page.keyboard.press('%');
  await expect(form(page, '1st of 6')).toBeFocused();
  await expectAccessible(page);
  // Another part after it; the form goes along to what was put in.
  await page.keyboard.press('Insert');
  await expect.poll(() => order(page)).toEqual(['Verse 1', 'Chorus', ...written.slice(1)]);
  await expect(form(page, '2nd of 7')).toBeFocused();
  await page.keyboard.press('Shift+ArrowUp');
  await expect.poll(() => order(page)).toEqual(['Chorus', 'Verse 1', ...written.slice(1)]);
  await expect(form(page, '1st of 7')).toBeFocused();
  await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Shift+ArrowDown');
  await expect(form(page, '3rd of 7')).toBeFocused();
  await page.keyboard.press('Delete');
  await expect.poll(() => order(page)).toEqual(written);
  await expect(form(page, '3rd of 6')).toBeFocused();
  // A verse once more, with its words, and given to nobody: a break.
  await page.keyboard.press('+');
  await expect.poll(() => order(page)).toHaveLength(7);
  await expect(form(page, '4th of 7')).toBeFocused();
  await form(page, '4th of 7').getByLabel('sung:').selectOption({ label: 'by nobody: a break' });
  await expect.poll(() => order(page)).toHaveLength(7);
  await kept(page);
  const now = await order(page);
  expect(now.filter((name) => written.includes(name))).toEqual(written);
  await page.keyboard.press('Escape');
  await expect(page.getByRole('group', { name: /passes$/ })).toHaveCount(0);

  // A part that is played nowhere any more can come back.
  for (let i = 0; i < 3; i++) {
    const chorus = passes(page).filter({ has: page.getByRole('heading', { name: /^Chorus/ }) });
    await chorus
      .first()
      .getByRole('button', { name: /roles and order/ })
      .click();
    const left = (await order(page)).length;
    await page.keyboard.press('Delete');
    await expect.poll(() => order(page)).toHaveLength(left - 1);
  }
  expect((await order(page)).some((name) => /Chorus/.test(name))).toBe(false);
  await page.keyboard.press('Escape');
  await passes(page)
    .first()
    .getByRole('button', { name: /roles and order/ })
    .click();
  await page.keyboard.press('Insert');
  await expect.poll(async () => (await order(page))[1]).toBe('Chorus');
  await expectAccessible(page);
  for (let i = 0; i < 20 && (await order(page)).join() !== written.join(); i++) {
    const was = await order(page);
    await page.keyboard.press('Control+z');
    await expect.poll(async () => (await order(page)).join()).not.toBe(was.join());
  }
  expect(await order(page)).toEqual(written);
});

import { expect, test } from '@playwright/test';
import { kept, madeBand, pasted } from './band-at-work';
import { expectAccessible } from './reading-aloud';
import { beatsSaid, type MeantLine, Singer } from './singer-at-a-page';

test('a song that is sung over twice the bars of its chords gets them, and the guess stays', async ({
  page,
}) => {
  await page.clock.install();
  const person = new Singer(page);
  await madeBand(page);
  await pasted(
    page,
    'Slow Ferry\nTempo: 120\n\n[Verse]\nG           D\nCarry me over the ford\nC            G\nover the water again\n',
  );
  await page.keyboard.press('t');
  await expect(page.getByText('4 bars.')).toBeVisible();
  await kept(page);
  await person.stopClock();
  // Each chord lasts two bars as it is sung: the second line begins with the fifth bar.
  const lines: readonly MeantLine[] = [
    { beats: [0, 1, 2, 3, 4, 5, 6], over: 11 },
    { beats: [16, 17, 18, 19, 20, 21, 22], over: 27 },
  ];
  await page.getByRole('radio', { name: 'each syllable' }).check();
  await person.sing(lines, 'syllables', 'syllables');
  const words = lines.map(({ beats }) => beats);
  await expect(page.getByText(/One line reaches outside/)).toBeVisible();
  await page.keyboard.press('x');
  await expect(page.getByText(/reaches outside/)).toHaveCount(0);
  expect(await person.shown(lines)).toEqual(words);
  // Had the count come out twice as fast as it was meant: over half the beats, and back.
  await page.keyboard.press('h');
  expect(await person.shown(lines)).toEqual(words.map((line) => line.map((beat) => beat / 2)));
  await page.keyboard.press('d');
  expect(await person.shown(lines)).toEqual(words);
  await page.keyboard.press('e');
  await expect(page.getByText('8 bars.')).toBeVisible();
  await page.keyboard.press('m');
  expect(await person.shown(lines)).toEqual(words);
  const bars = await page.locator('.guess-beat[data-bar="true"]').count();
  expect(bars).toBe(8);

  // By hand too a line can begin before the first bar: a pickup is put in for it.
  await page.keyboard.press('Shift+ArrowLeft');
  await expect(page.getByText(/One line reaches outside/)).toBeVisible();
  await page.keyboard.press('p');
  await expect(page.getByText(/reaches outside/)).toHaveCount(0);
  await expect(page.locator('[data-spot="0.0"]')).toHaveAttribute('aria-label', /pickup, beat 4, held/);
});

test('words that begin before the first bar get a pickup, and the chords can stay', async ({ page }) => {
  await page.clock.install();
  const person = new Singer(page);
  await madeBand(page);
  await pasted(
    page,
    'Early Lark\nTempo: 120\n\n[Verse]\nG       C      G    D\nUp before the morning light,\nC       D      G    G\nout before the day is bright,\n',
  );
  await page.keyboard.press('t');
  await expect(page.getByText('8 bars.')).toBeVisible();
  await kept(page);
  await person.stopClock();
  // Two chords to the bar: each line has two bars, and begins a beat before them.
  const lines: readonly MeantLine[] = [
    { beats: [-1, 0, 1, 2, 3, 4, 5], over: 6 },
    { beats: [7, 8, 9, 10, 11, 12, 13], over: 14 },
  ];
  await page.getByRole('radio', { name: 'each syllable' }).check();
  await person.sing(lines, 'syllables', 'syllables');
  await expect(page.getByText(/One line reaches outside/)).toBeVisible();
  await page.clock.resume();
  await expectAccessible(page);
  await page.keyboard.press('p');
  await expect(page.getByText(/reaches outside/)).toHaveCount(0);
  const fromPickup = (all: readonly MeantLine[]) => all.map(({ beats }) => beats.map((beat) => beat + 1));
  expect(await person.shown(lines)).toEqual(fromPickup(lines));
  await expect(page.locator('[data-spot="0.0"]')).toHaveAttribute('aria-label', /^Up, pickup, beat 4, held/);

  // The chords go with the words: on the pickup's grid, beat 1 is the first downbeat. And stay where they were, if that is asked.
  const along = await person.chords();
  await page.keyboard.press('c');
  const stays = await person.chords();
  expect(stays).not.toBe(along);
  expect(stays).toBe('G 1, C 5, G 9, D 13, C 17, D 21, G 25, G 29');
  await expect(page.getByRole('checkbox', { name: /chords go along/ })).not.toBeChecked();
  await page.keyboard.press('c');
  expect(await person.chords()).toBe(along);

  await page.keyboard.press('e');
  await expect(page.getByText(/Verse is on the board as you sang it/)).toBeFocused();
  await page.keyboard.press('k');
  await expect(page.getByText('5 bars.')).toBeVisible();
  await page.keyboard.press('m');
  expect(await person.shown(lines)).toEqual(fromPickup(lines));
  expect(await person.chords()).toBe(along);
  await page.keyboard.press('Escape');
  await page.keyboard.press('u');
  await page.waitForURL(/\/song\/[^/]+$/);
  // With the pickup the song begins at once: no space opens it, and the last line is followed by two beats.
  const labels = await page
    .locator('button[data-space]')
    .evaluateAll((spaces) => spaces.map((one) => one.getAttribute('aria-label') ?? one.textContent ?? ''));
  expect(labels.map(beatsSaid)).toEqual([2]);
});

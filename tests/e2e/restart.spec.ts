import { expect, test } from '@playwright/test';
import { kept, keptAgain, settleFirst, spaces, twoOnABoard } from './band-at-work';
import { OwnServer } from './server';

const server = new OwnServer();
test.use({ baseURL: server.origin });
test.beforeAll(() => server.start());
test.afterAll(() => server.end());

test('the server dies, both go on editing, it comes back: nothing is lost', async ({ page, browser }) => {
  const { ann, ben, end } = await twoOnABoard(page, browser);
  await spaces(ann).nth(0).click();
  await settleFirst(ann, 'Ben');
  await kept(ann);
  await expect(spaces(ben).nth(0)).toHaveAccessibleName(/Ben has a fill/);

  await kept(ben);

  await server.stop('SIGKILL');
  const offline = /Not connected: what you do stays on this device/;
  await expect(ann.locator('[data-state="offline"]')).toHaveText(offline);
  await expect(ben.locator('[data-state="offline"]')).toHaveText(offline);
  await ann.keyboard.press('Escape');
  await spaces(ann).nth(1).click();
  await ann.keyboard.press('o');
  await expect(spaces(ann).nth(1)).toHaveAccessibleName(/left open/);
  await spaces(ben).nth(2).click();
  await ben.keyboard.press('a');
  await expect(spaces(ben).nth(2)).toHaveAccessibleName(/Ben, ad lib/);

  await server.start();
  await keptAgain(ann);
  await keptAgain(ben);
  for (const who of [ann, ben]) {
    await expect(spaces(who).nth(0)).toHaveAccessibleName(/Ben has a fill/);
    await expect(spaces(who).nth(1)).toHaveAccessibleName(/left open/);
    await expect(spaces(who).nth(2)).toHaveAccessibleName(/Ben, ad lib/);
  }

  // What was kept is on the disk: a stop and a fresh page show it again.
  await server.stop('SIGTERM');
  await server.start();
  await ann.reload();
  await kept(ann);
  await expect(spaces(ann).nth(0)).toHaveAccessibleName(/Ben has a fill/);
  await expect(spaces(ann).nth(1)).toHaveAccessibleName(/left open/);
  await expect(spaces(ann).nth(2)).toHaveAccessibleName(/Ben, ad lib/);
  await end();
});

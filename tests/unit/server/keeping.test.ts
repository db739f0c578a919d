import { describe, expect, it } from 'vitest';
import { memoryStore } from '../../../server/store';
import { Keeping } from '../../../server/sync/keeping';
import { mergeUpdates } from '../../../server/sync/merge';

const NAME = 'song.a.b';

async function scene(compact: () => Promise<void>) {
  const inner = memoryStore(mergeUpdates);
  await inner.create(NAME, new Uint8Array([0, 0]));
  let lost = 0;
  const store: typeof inner = { ...inner, append: (name, update) => inner.append(name, update), compact };
  const keeping = new Keeping(NAME, store, {
    lose() {
      lost += 1;
    },
  });
  const edit = async (count: number) => {
    for (let i = 0; i < count; i++) {
      keeping.put(new Uint8Array([0, 0]));
      keeping.handIn();
      await keeping.done;
    }
  };
  return { keeping, edit, lost: () => lost };
}

describe('a snapshot that cannot be made', () => {
  it('is tried again after as many updates more, not at each of them', async () => {
    let tries = 0;
    const { edit, lost } = await scene(async () => {
      tries += 1;
      throw new Error('no room');
    });
    await edit(1000);
    expect(tries).toBe(0);
    await edit(1000);
    expect(tries).toBe(1);
    await edit(1500);
    expect(tries).toBe(3);
    expect(lost()).toBe(0);
  });

  it('is made of what there is when the room empties, and counted from there', async () => {
    let tries = 0;
    const { keeping, edit } = await scene(async () => {
      tries += 1;
    });
    await edit(50);
    await keeping.close();
    expect(tries).toBe(0);
    await edit(1);
    await keeping.close();
    expect(tries).toBe(1);
    await edit(1000);
    expect(tries).toBe(1);
    await edit(1);
    expect(tries).toBe(2);
  });
});

import { describe, expect, it } from 'vitest';
import { untilItComes } from '@/app/hooks/untilItComes';

describe('what is loaded when it is needed', () => {
  it('is tried again until it comes, less and less often', async () => {
    const pauses: number[] = [];
    let tries = 0;
    const found = await untilItComes(
      async () => {
        tries += 1;
        if (tries < 8) throw new Error('no connection');
        return 'here';
      },
      async (milliseconds) => {
        pauses.push(milliseconds);
      },
    );
    expect(found).toBe('here');
    expect(tries).toBe(8);
    // Worked by hand: half a second, doubled, eight seconds at most.
    expect(pauses).toEqual([500, 1000, 2000, 4000, 8000, 8000, 8000]);
  });
});

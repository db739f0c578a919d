import highsLoader from 'highs';
import { describe, expect, it } from 'vitest';
import { randomFrom } from '../../lib/base';
import { solve } from '../../lib/plan';
import { randomModel } from '../unit/plan/random-models';
import { integerProgram } from './plan/integer-program';

const MODELS = Number(process.env.PLAN_MODELS ?? 200);

// Reference library: highs
describe('a plan, beside a general integer solver on the same model', () => {
  it(`costs the same as its optimum on ${MODELS} middle-sized models`, async () => {
    const highs = await highsLoader();
    for (let seed = 1; seed <= MODELS; seed++) {
      const random = randomFrom(seed);
      const model = randomModel(random, 7 + Math.floor(random() * 6), 2 + Math.floor(random() * 3));
      const answer = highs.solve(integerProgram(model), { mip_rel_gap: 0, mip_abs_gap: 0 });
      const ours = solve(model);
      if (answer.Status === 'Infeasible') expect(ours, `seed ${seed}`).toBeNull();
      else {
        expect(answer.Status, `seed ${seed}`).toBe('Optimal');
        expect(ours?.total, `seed ${seed}`).toBe(Math.round(answer.ObjectiveValue) + 0);
        expect(ours?.exact, `seed ${seed}`).toBe(true);
      }
    }
  }, 300_000);
});

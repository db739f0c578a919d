import { Crowd } from './crowd';
import { light, saturate } from './load';
import { ours, stock } from './peers';
import { Served } from './server';

const which = process.argv[2] === 'stock' ? stock : ours;
const shape = process.argv[3] === '1' ? ([1, 200, 5] as const) : ([200, 5, 1] as const);
const prof = process.argv.includes('--prof');
const served = await Served.start(which, shape[0]);
const crowd = await Crowd.gather(which, served.door, shape[0], shape[1]);
const writers = crowd.people.filter((p) => p.number % shape[2] === 0);
const pid = (Reflect.get(served, 'pid') as number | undefined) ?? 0;
await saturate(crowd, served, writers, 1);
if (prof) process.kill(pid, 'SIGUSR2');
for (let i = 0; i < 3; i++) {
  const a = await saturate(crowd, served, writers, 2);
  console.log('full', JSON.stringify(a));
}
if (prof) {
  process.kill(pid, 'SIGUSR2');
  await new Promise((d) => setTimeout(d, 1500));
}
for (let i = 0; i < 3; i++)
  console.log('light', JSON.stringify(await light(crowd, served, shape[0] === 1 ? 10 : 100, 2)));
crowd.leave();
await served.stop();
process.exit(0);

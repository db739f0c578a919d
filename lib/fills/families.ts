import type { OpenString } from '../instruments';
import { answers } from './answers';
import { barSlides } from './bar-slides';
import { rootAndFifth } from './bass-lines';
import type { Draft } from './candidate';
import { doubleStops, longDoubleStops } from './doubles';
import { banjoRolls, threeStringRolls } from './rolls';
import { lowRuns, runs, tagLicks } from './runs';
import type { Scene } from './scene';

/** Every idea that a player's families have for a scene, before the hands are planned. */
export function draftsFor(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const quarters = scene.steps[0] === 960;
  const shared = () => [...runs(scene, strings), ...tagLicks(scene, strings)];
  switch (scene.setup.instrument) {
    case 'voice':
      return [];
    case 'guitar':
      return [
        ...threeStringRolls(scene, strings),
        ...lowRuns(scene, strings, 'bass run', ['up', 'down'], quarters ? [960] : [960, 480]),
        ...shared(),
        ...doubleStops(scene, strings),
      ];
    case 'banjo':
      return [...banjoRolls(scene, strings), ...shared()];
    case 'mandolin':
      return [
        ...threeStringRolls(scene, strings, 'cross-picked roll'),
        ...longDoubleStops(scene, strings, 'tremolo double-stops'),
        ...answers(scene, strings),
        ...shared(),
      ];
    case 'fiddle':
      return [...longDoubleStops(scene, strings, 'long bow'), ...answers(scene, strings), ...shared()];
    case 'resonator guitar':
      return [
        ...barSlides(scene, strings),
        ...threeStringRolls(scene, strings),
        ...answers(scene, strings),
        ...shared(),
      ];
    case 'bass':
      return [
        ...lowRuns(scene, strings, 'walk', ['up', 'down', 'level'], [960]),
        ...rootAndFifth(scene, strings),
        ...runs(scene, strings),
      ];
  }
}

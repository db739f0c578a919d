import { itemAt } from '../base';
import type { OpenString } from '../instruments';
import { answers } from './answers';
import { droneLed, pinchAndVamp } from './banjo-backs';
import { barSlides } from './bar-slides';
import { rootAndFifth, turnarounds } from './bass-lines';
import type { Draft } from './candidate';
import { doubleStops, longDoubleStops } from './doubles';
import type { Contour } from './line';
import { lowRuns } from './low-runs';
import { banjoRolls, threeStringRolls } from './rolls';
import { runs, tagLicks } from './runs';
import type { Scene } from './scene';
import { shuffles } from './shuffles';
import { voiceDrafts } from './voice';

/** Over a chord that stays, a bass run that only goes up or down is soon known: there it also turns. */
const bassContours = ({ harmonies, next }: Scene): readonly Contour[] =>
  harmonies.some((each) => each.chord.bass !== next.chord.bass)
    ? ['up', 'down']
    : ['up', 'down', 'down then up', 'up then down'];

/** Every idea that a player's families have for a scene, before the hands are planned. */
export function draftsFor(scene: Scene, strings: readonly OpenString[]): readonly Draft[] {
  const step = itemAt(scene.steps, 0);
  const lowSteps = step > 480 ? [step] : [960, 480];
  const shared = () => [...runs(scene, strings), ...tagLicks(scene, strings)];
  switch (scene.setup.instrument) {
    case 'voice':
      return voiceDrafts(scene);
    case 'guitar':
      return [
        ...threeStringRolls(scene, strings),
        ...lowRuns(scene, strings, 'bass run', bassContours(scene), lowSteps),
        ...shared(),
        ...doubleStops(scene, strings),
      ];
    case 'banjo':
      return [
        ...banjoRolls(scene, strings),
        ...pinchAndVamp(scene, strings),
        ...droneLed(scene, strings),
        ...shared(),
      ];
    case 'mandolin':
      return [
        ...threeStringRolls(scene, strings, 'cross-picked roll'),
        ...longDoubleStops(scene, strings, 'tremolo double-stops'),
        ...answers(scene, strings),
        ...shared(),
      ];
    case 'fiddle':
      return [
        ...longDoubleStops(scene, strings, 'long bow'),
        ...shuffles(scene, strings),
        ...answers(scene, strings),
        ...shared(),
      ];
    case 'resonator guitar':
      return [
        ...barSlides(scene, strings),
        ...threeStringRolls(scene, strings),
        ...doubleStops(scene, strings),
        ...answers(scene, strings),
        ...shared(),
      ];
    case 'bass':
      return [
        ...lowRuns(scene, strings, 'walk', ['up', 'down', 'level'], [Math.max(step, 960)]),
        ...rootAndFifth(scene, strings),
        ...turnarounds(scene, strings),
        ...runs(scene, strings),
      ];
  }
}

import { fail, itemAt, lastOf, ok, type Result } from '../../base';
import { DEFAULT_SPAN_MILLIMETRES } from '../../instruments';
import { keyAt } from '../../song';
import { scaleOf } from '../../theory';
import { USUAL_COMFORT } from '../costs';
import { harmoniesIn, type Scene, stepsFor } from '../scene';
import { harmoniesFrom } from './harmony';
import { heardIn } from './tune';
import type { BreakRequest } from './types';

/** A break's stretch as a scene: chords as written, or worked out from the voices where none are. */
export function breakScene(
  request: BreakRequest,
): Result<{ readonly scene: Scene; readonly chordsWorkedOut: boolean }> {
  const { timeline, startTick, endTick, setup, rule } = request;
  if (timeline.bars.length === 0 || endTick <= startTick)
    return fail('the song has no bars', 'the song', 'bring in a song with at least one bar');
  const key = keyAt(timeline, startTick);
  const written = harmoniesIn(timeline, key, startTick, endTick);
  const firstGiven = written.find((each) => each.given);
  const harmonies = firstGiven
    ? // What comes before the first chord belongs to it: a pickup mostly.
      written.map((each) =>
        each.given || each.endTick > firstGiven.startTick ? each : { ...firstGiven, ...spanOf(each) },
      )
    : harmoniesFrom(heardIn(request), timeline, key, startTick, endTick);
  const quartersPerMinute = timeline.tempo.tempoAt(startTick);
  const comfort = request.comfortEighthsPerMinute ?? USUAL_COMFORT[setup.instrument];
  const meter = timeline.barAt(startTick).bar.meter;
  const steps = stepsFor(quartersPerMinute, comfort, timeline.song.feel.ratio > 1, meter);
  const last = lastOf(harmonies);
  return ok({
    chordsWorkedOut: firstGiven === undefined,
    scene: {
      timeline,
      space: {
        id: `break.${setup.instrument}.${startTick}`,
        place: { passId: itemAt(timeline.bars, 0).passId ?? '', noteId: null, voiceId: null },
        kind: 'instrumental',
        startTick,
        endTick,
        beats: 0,
        seconds: 0,
        bar: timeline.barAt(startTick).number,
        beat: 1,
        guardTicks: 0,
        tailTicks: 0,
        after: null,
        before: null,
        chords: [],
      },
      setup,
      rule,
      startTick,
      endTick,
      guardEnd: endTick,
      tailEnd: startTick,
      quartersPerMinute,
      comfortEighthsPerMinute: comfort,
      key,
      scale: scaleOf(key),
      harmonies,
      next: last,
      after: null,
      sungBefore: null,
      sungNext: null,
      leader: 'the tune',
      closing: true,
      final: endTick >= lastOf(timeline.bars).endTick,
      // One grid for the whole break: the slower of two.
      steps: steps.slice(0, 1),
      cut: null,
      wish: { turn: 0, lift: 0, neck: 0 },
      voiceRange: null,
      spanMillimetres: request.spanMillimetres ?? DEFAULT_SPAN_MILLIMETRES[setup.instrument],
    },
  });
}

const spanOf = ({ startTick, endTick }: { readonly startTick: number; readonly endTick: number }) => ({
  startTick,
  endTick,
});

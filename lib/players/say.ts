import type { PlacedPass, Timeline } from '../song';
import type { BeatClock } from '../spaces';
import { beatsSaid, type Ticks } from '../time';

/** `bar 12`, or `bar 12, beat 3 and a half`. */
export function whenSaid(clock: BeatClock, tick: Ticks): string {
  const { bar, beat } = clock.countAt(tick);
  const named = bar === 0 ? 'the pickup' : `bar ${bar}`;
  return beat === 1 || bar === 0 ? named : `${named}, beat ${beatsSaid(beat)}`;
}

/** Where something that ends at a tick ends: the bar whose end it is, else the beat at which it lets go. */
export function endSaid(clock: BeatClock, tick: Ticks): string {
  const before = clock.barBefore(tick);
  if (before.endTick === tick)
    return before.number === 0 ? 'the end of the pickup' : `the end of bar ${before.number}`;
  return whenSaid(clock, tick);
}

/** What the band calls a pass: its own name, else its section's with the stanza. */
export function passSaid(timeline: Timeline, placed: PlacedPass): string {
  const { pass, section } = placed;
  if (pass && pass.name !== '') return pass.name;
  const ofSection = timeline.passes.filter((each) => each.section.id === section.id);
  return ofSection.length > 1 ? `${section.name} ${ofSection.indexOf(placed) + 1}` : section.name;
}

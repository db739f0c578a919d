import { type Idea, judgeFill, type OfferRequest, varyFill } from '../fills';
import type { Standing } from '../plan';
import { type FillNote, type Player, settingOf, type Timeline } from '../song';
import { narrowSpace } from '../spaces';
import { beatTicks } from '../time';

/** How often 'fewer notes' is asked for at most. */
const MOST_TURNS = 8;

/**
 * A fill as plain as it can be played: 'fewer notes' again and again, until there are none fewer. A break, which is taken as a whole, keeps
 * those of its notes that stand on beats. Both hands are worked out anew. Null where nothing plainer can be made.
 */
export function simplestOf(
  standing: Standing,
  timeline: Timeline,
  player: Player,
): readonly FillNote[] | null {
  const { space, notes, answer } = standing;
  if (space === null || answer.holding.kind !== 'fill' || notes.length === 0) return null;
  const setting = settingOf(timeline.song, player);
  const request: OfferRequest = {
    timeline,
    space: narrowSpace(space, standing, timeline),
    setup: setting,
    rule: setting.rule ?? player.rule,
    spanMillimetres: player.spanMillimetres,
    comfortEighthsPerMinute: player.comfortEighthsPerMinute,
    count: 1,
    voiceRange: player.range,
  };
  const { family } = answer.holding.fill;
  if (space.kind === 'instrumental') {
    const beats = onBeats(notes, timeline);
    if (beats.length === 0 || beats.length === notes.length) return null;
    const judged = judgeFill(request, { family, notes: beats });
    return judged.ok ? judged.value.notes : null;
  }
  let idea: Idea = { rank: 1, family, title: '', notes };
  for (let turn = 0; turn < MOST_TURNS; turn++) {
    const fewer = varyFill(request, idea, 'fewer notes');
    if (!fewer.ok) break;
    idea = fewer.value;
  }
  return idea.notes === notes ? null : idea.notes;
}

/** The notes on the beats, each struck (or bowed) anew and held until the next. */
function onBeats(notes: readonly FillNote[], timeline: Timeline): readonly FillNote[] {
  const kept = notes.filter(({ tick }) => {
    const { bar, startTick } = timeline.barAt(tick);
    const beat = beatTicks(bar.meter);
    return (tick - startTick - (bar.pickup ? bar.ticks % beat : 0)) % beat === 0;
  });
  return kept.map((note) => {
    const next = kept.find(({ tick }) => tick > note.tick)?.tick;
    const { bar } = timeline.barAt(note.tick);
    const most = beatTicks(bar.meter);
    const bowed = note.articulation === 'bowed' || note.articulation === 'slurred';
    return {
      ...note,
      ticks: next === undefined ? Math.max(note.ticks, most) : Math.min(next - note.tick, 2 * most),
      articulation: bowed ? 'bowed' : 'struck',
    };
  });
}

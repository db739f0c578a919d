import { itemAt, lastOf, type Reason } from '../base';
import { isStruck } from '../instruments';
import type { FillNote } from '../song';
import { pitchClassOf, toneOf } from '../theory';
import { beatTicks } from '../time';
import { FAMILY_POINTS, FILL_COSTS } from './costs';
import { nearestPitch } from './held';
import type { Played } from './play';
import { type Harmony, holding, type Scene, strengthAt } from './scene';
import { listed } from './words';

/**
 * The reasons for a fill's rank. Each term of `FILL_COSTS` that applies is one reason, with its points; reasons of no
 * points only tell. The score is the sum of the weights.
 */
export function reasonsFor(scene: Scene, played: Played): readonly Reason[] {
  return [
    family(scene, played),
    ...landing(scene, played),
    ...start(scene, played),
    ...chords(scene, played),
    ...room(scene, played),
    ...rightHand(scene, played),
    ...leftHand(scene, played),
    ...speed(played),
  ];
}

const reason = (rule: string, weight: number, detail: string): Reason => ({
  rule,
  weight: Math.round(weight) + 0,
  detail,
});

function family(scene: Scene, { draft }: Played): Reason {
  const points = FILL_COSTS.family * (FAMILY_POINTS[draft.family] ?? 0);
  return reason('family', points, `a way of the ${scene.setup.instrument}`);
}

/** A note's chord: its own, or the one that begins within a beat after it. */
function harmonyOf(scene: Scene, note: FillNote): Harmony {
  const own = holding(scene, note.tick);
  if (toneOf(own.chord, note.midi)) return own;
  const soon = holding(scene, Math.min(note.tick + 960, scene.endTick - 1));
  const after = note.tick + 960 >= scene.endTick ? scene.next : soon;
  return toneOf(after.chord, note.midi) ? after : own;
}

function landing(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  const last = lastOf(notes);
  const reasons: Reason[] = [];
  if (draft.leads) {
    const bass = nearestPitch(scene.next.chord.bass, last.midi);
    const away = Math.abs(bass - last.midi);
    if (away >= 1 && away <= 2)
      reasons.push(
        reason(
          'leads into the next chord',
          FILL_COSTS.leadsIntoNext,
          `leads by ${away === 1 ? 'a half step' : 'a step'} into ${scene.next.chord.symbol}`,
        ),
      );
  } else {
    const harmony = harmonyOf(scene, last);
    const tone = toneOf(harmony.chord, last.midi);
    if (!tone)
      reasons.push(reason('lands outside the chord', FILL_COSTS.landsOutside, 'ends on no chord tone'));
    else if (tone.above === 0)
      reasons.push(
        reason('lands on the root', FILL_COSTS.landsOnRoot, `lands on the root of ${harmony.chord.symbol}`),
      );
    else
      reasons.push(
        reason(
          'lands on a chord tone',
          FILL_COSTS.landsOnChordTone,
          `lands on a chord tone of ${harmony.chord.symbol}`,
        ),
      );
  }
  if (!draft.leads && scene.sungNext !== null && pitchClassOf(scene.sungNext) === pitchClassOf(last.midi))
    reasons.push(
      reason(
        'lands on what is sung',
        FILL_COSTS.landsOnSung,
        `lands on the note that is sung next${scene.sungNext === last.midi ? '' : ', in another octave'}`,
      ),
    );
  if (!draft.leads && strengthAt(scene.timeline, last.tick) >= 2)
    reasons.push(reason('lands on a beat', FILL_COSTS.landsOnBeat, 'comes to rest on a beat'));
  if (draft.family === 'tag lick')
    reasons.push(
      scene.closing
        ? reason('closes', FILL_COSTS.closes, 'a tag where the music closes')
        : reason('closes nothing', FILL_COSTS.closesNothing, 'a tag, though nothing closes here'),
    );
  return reasons;
}

function start(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  if (scene.sungBefore === null || draft.throughGuard) return [];
  const first = itemAt(notes, 0).midi;
  const away = Math.abs(nearestPitch(pitchClassOf(scene.sungBefore), first) - first);
  if (away > 4) return [];
  const octave = Math.abs(scene.sungBefore - first) > 4 ? ', in another octave' : '';
  return [
    reason('starts near the voice', FILL_COSTS.startsNearSung, `starts near the note just sung${octave}`),
  ];
}

/** Notes that stand on a beat and are no chord tones; a note slurred on within an eighth counts as what it goes to. */
function outsideOnBeats(scene: Scene, notes: readonly FillNote[]): number {
  let count = 0;
  notes.forEach((note, i) => {
    if (strengthAt(scene.timeline, note.tick) < 2) return;
    const after = notes[i + 1];
    const grace = after !== undefined && after.tick - note.tick <= 480 && !isStruck(after.articulation);
    const heard = grace ? after : note;
    if (!toneOf(harmonyOf(scene, heard).chord, heard.midi)) count += 1;
  });
  return count;
}

function chords(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  const reasons: Reason[] = [];
  const outside = outsideOnBeats(scene, draft.leads ? notes.slice(0, -1) : notes);
  if (outside > 0)
    reasons.push(
      reason(
        'outside the chord on a beat',
        outside * FILL_COSTS.outsideOnBeat,
        outside === 1 ? 'one beat is on a passing note' : `${outside} beats are on passing notes`,
      ),
    );
  const first = itemAt(notes, 0).tick;
  const last = lastOf(notes);
  const under = scene.harmonies.filter((each) => each.startTick <= last.tick && each.endTick > first);
  const named = under.filter((each) => each.given).map((each) => each.chord.symbol);
  const distinct = named.filter((symbol, i) => symbol !== named[i - 1]);
  if (distinct.length > 1)
    reasons.push(reason('follows the chords', FILL_COSTS.told, `follows ${listed(distinct)}`));
  if (under.some((each) => !each.given))
    reasons.push(reason('no chord', FILL_COSTS.told, 'no chord here: plays on the key note'));
  return reasons;
}

function room(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  const reasons: Reason[] = [];
  const first = itemAt(notes, 0);
  const end = Math.max(...notes.map((note) => note.tick + note.ticks));
  const usable = (draft.throughGuard ? scene.endTick : scene.guardEnd) - scene.startTick;
  const share = usable > 0 ? Math.min(1, (end - first.tick) / usable) : 0;
  reasons.push(
    reason(
      'fills the space',
      FILL_COSTS.fillsSpace * share,
      `fills ${Math.round(100 * share)} % of the time that it may`,
    ),
  );
  if (draft.throughGuard && end > scene.guardEnd)
    reasons.push(
      reason('through the guard', FILL_COSTS.throughGuard, 'low: may go on until the singer comes in'),
    );
  else if (scene.guardEnd < scene.endTick)
    reasons.push(
      reason('keeps the guard', FILL_COSTS.told, `stops ${early(scene, end)} before the singer comes in`),
    );

  if (scene.cut !== null)
    reasons.push(reason('part of a long space', FILL_COSTS.told, `a long space: plays at ${scene.cut}`));

  const voice = [scene.sungBefore, scene.sungNext].filter((midi) => midi !== null);
  const middle = notes.reduce((sum, note) => sum + note.midi, 0) / notes.length;
  if (voice.length > 0) {
    const sung = voice.reduce((sum, midi) => sum + midi, 0) / voice.length;
    if (Math.abs(middle - sung) >= 5)
      reasons.push(
        reason(
          'around the voice',
          FILL_COSTS.contrast,
          middle < sung ? 'lies below the voice' : 'lies above the voice',
        ),
      );
  }
  const held = scene.sungBefore;
  if (held !== null && scene.tailEnd > scene.startTick) {
    const over = notes.filter((note) => note.tick < scene.tailEnd && note.midi > held).length;
    if (over > 0)
      reasons.push(reason('over the tail', over * FILL_COSTS.overTail, 'partly above the note still held'));
  }
  return reasons;
}

function early(scene: Scene, end: number): string {
  const beat = beatTicks(scene.timeline.barAt(scene.endTick - 1).bar.meter);
  const beats = Math.round(((scene.endTick - end) / beat) * 10) / 10;
  return beats === 1 ? 'a beat' : beats === 0.5 ? 'half a beat' : `${beats} beats`;
}

function rightHand(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  const reasons: Reason[] = [];
  if (draft.strings.length > 0)
    reasons.push(reason('strings', FILL_COSTS.told, `strings ${draft.strings.join(', ')}`));
  const exceptions = notes.filter((note) => note.exception).length;
  if (exceptions > 0)
    reasons.push(
      reason(
        'unusual strokes',
        exceptions * FILL_COSTS.exception,
        exceptions === 1 ? 'one unusual stroke' : `${exceptions} unusual strokes`,
      ),
    );
  const first = notes.find((note) => note.stroke !== null);
  if (
    first?.stroke === 'up' &&
    first.strokeRule === 'toward the next string' &&
    strengthAt(scene.timeline, first.tick) >= 2
  )
    reasons.push(
      reason('up-stroke on the beat', FILL_COSTS.upStrokeOnBeat, 'begins with an up-stroke on the beat'),
    );
  return reasons;
}

const PLUCKED = new Set(['guitar', 'banjo', 'resonator guitar', 'mandolin']);

function leftHand(scene: Scene, { notes }: Played): readonly Reason[] {
  const reasons: Reason[] = [];
  const slurs = notes.filter((note) => ['hammer', 'pull', 'slide'].includes(note.articulation));
  if (slurs.length > 0) {
    const kinds = [...new Set(slurs.map((note) => SLUR_WORDS[note.articulation] ?? ''))];
    reasons.push(reason('slurs', FILL_COSTS.slurs, `with ${listed(kinds)}`));
  } else if (
    PLUCKED.has(scene.setup.instrument) &&
    notes.length > 4 &&
    !notes.some((n) => n.articulation === 'tremolo')
  )
    reasons.push(reason('no slurs', FILL_COSTS.noSlurs, 'every note is struck'));
  const shifts = handShifts(notes);
  if (shifts > 0)
    reasons.push(
      reason(
        'the hand moves',
        shifts * FILL_COSTS.shift,
        shifts === 1 ? 'the hand moves once' : `the hand moves ${shifts} times`,
      ),
    );
  return reasons;
}

const SLUR_WORDS: Readonly<Record<string, string>> = {
  hammer: 'a hammer-on',
  pull: 'a pull-off',
  slide: 'a slide',
};

/** How often the hand's place (the fret under the index finger) moves by more than a fret. */
function handShifts(notes: readonly FillNote[]): number {
  let shifts = 0;
  let place: number | null = null;
  for (const note of notes) {
    if (note.fret === 0 || note.finger === 0) continue;
    const here = note.fret - note.finger + 1;
    if (place !== null && Math.abs(here - place) > 1) shifts += 1;
    place = here;
  }
  return shifts;
}

function speed({ speed: ratio }: Played): readonly Reason[] {
  if (ratio > 1)
    return [reason('hard at this tempo', FILL_COSTS.hard, 'faster than is easy for this player')];
  if (ratio <= 0.7) return [reason('easy at this tempo', FILL_COSTS.easy, 'easy at this tempo')];
  return [];
}

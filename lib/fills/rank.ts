import { itemAt, lastOf, type Reason } from '../base';
import { isStruck } from '../instruments';
import type { FillNote } from '../song';
import { parseChord, pitchClassOf, toneOf } from '../theory';
import { beatTicks, type Ticks } from '../time';
import { FAMILY_POINTS, FILL_COSTS } from './costs';
import { nearestPitch } from './held';
import type { Played } from './play';
import { handReasons } from './rank-hands';
import { reason } from './rank-reason';
import { A_LITTLE_EARLY, type Harmony, holding, type Scene, strengthAt } from './scene';
import { degreeOf, listed } from './words';

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
    ...handReasons(scene, played),
  ];
}

function family(scene: Scene, { draft }: Played): Reason {
  const points = FILL_COSTS.family * (FAMILY_POINTS[draft.family] ?? 0);
  return reason('family', points, `${draft.family}: at home on the ${scene.setup.instrument}`);
}

/** A note's chord: its own; off the beat, also the one that begins within an eighth after it. */
export function harmonyOf(scene: Scene, note: FillNote): Harmony {
  const own = holding(scene, note.tick);
  if (toneOf(own.chord, note.midi)) return own;
  if (strengthAt(scene.timeline, note.tick) >= 2) return own;
  const early = note.tick + A_LITTLE_EARLY;
  const after = early >= scene.endTick ? scene.next : holding(scene, early);
  return toneOf(after.chord, note.midi) ? after : own;
}

function landing(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  const last = lastOf(notes);
  const reasons: Reason[] = [];
  if (draft.leads) {
    const goal =
      scene.next.chord.bass === holding(scene, last.tick).chord.bass && scene.after
        ? scene.after
        : scene.next;
    const bass = nearestPitch(goal.chord.bass, last.midi);
    const away = Math.abs(bass - last.midi);
    if (away >= 1 && away <= 2)
      reasons.push(
        reason(
          'leads into the next chord',
          FILL_COSTS.leadsIntoNext,
          `leads by ${away === 1 ? 'a half step' : 'a step'} into ${goal.chord.symbol}`,
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
          `lands on the ${degreeOf(harmony.chord, last.midi) ?? 'chord'} of ${harmony.chord.symbol}`,
        ),
      );
  }
  if (!draft.leads && scene.sungNext !== null && pitchClassOf(scene.sungNext) === pitchClassOf(last.midi))
    reasons.push(
      reason(
        'lands on what is sung',
        FILL_COSTS.landsOnSung,
        scene.leader === 'the singer'
          ? 'ends on the note that the singer comes in on'
          : 'ends on the note that the tune goes on with',
      ),
    );
  if (!draft.leads && strengthAt(scene.timeline, last.tick) >= 2)
    reasons.push(reason('lands on a beat', FILL_COSTS.landsOnBeat, 'comes to rest on a beat'));
  else if (!draft.leads)
    reasons.push(reason('ends off the beat', FILL_COSTS.landsOffBeat, 'breaks off on an “and”'));
  if (draft.family === 'tag lick') reasons.push(closing(scene, last));
  return reasons;
}

/** A tag lick is at home where a section ends; at the end of any line it will do on the key's own chord. */
function closing(scene: Scene, last: FillNote): Reason {
  if (scene.closing) return reason('closes', FILL_COSTS.closes, 'rounds off the section');
  const { chord } = holding(scene, last.tick);
  const home = chord.root === scene.scale[0];
  const from = home ? dominantBefore(scene, last.tick) : null;
  if (from !== null)
    return reason('full close', FILL_COSTS.fullClose, `rounds off the line, home from ${from}`);
  return home
    ? reason('closes a line', FILL_COSTS.closesLine, 'rounds off the line, at home')
    : reason('closes nothing', FILL_COSTS.closesNothing, `sounds like an ending, on ${chord.symbol.trim()}`);
}

/** The dominant that was left for the chord at a tick, as it is written; null: it was come to from another chord. */
function dominantBefore({ timeline, scale }: Scene, tick: Ticks): string | null {
  const here = timeline.chordAt(tick);
  let before = here;
  while (before !== null && before.symbol === here?.symbol)
    before = before.startTick > 0 ? timeline.chordAt(before.startTick - 1) : null;
  const chord = before ? parseChord(before.symbol) : null;
  const home = scale[0];
  if (!before || !chord || home === undefined) return null;
  return pitchClassOf(chord.root - home) === 7 && chord.third === 'major' ? before.symbol.trim() : null;
}

function start(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  if (scene.sungBefore === null || draft.throughGuard) return [];
  const first = itemAt(notes, 0).midi;
  const away = Math.abs(nearestPitch(pitchClassOf(scene.sungBefore), first) - first);
  if (away > 4) return [];
  const who = scene.leader === 'the singer' ? 'the singer' : 'the tune';
  return [
    reason(
      'starts near the voice',
      FILL_COSTS.startsNearSung,
      away === 0 ? `takes up the note that ${who} let go` : `starts close to where ${who} left off`,
    ),
  ];
}

/** Notes that stand on a beat and are no chord tones; one that is slurred into a chord tone within an eighth, on its string, is as good as one. */
function outsideOnBeats(scene: Scene, notes: readonly FillNote[]): number {
  const inChord = (note: FillNote) => toneOf(harmonyOf(scene, note).chord, note.midi) !== null;
  return notes.filter((note, i) => {
    if (strengthAt(scene.timeline, note.tick) < 2 || inChord(note)) return false;
    const grace = notes
      .slice(i + 1)
      .find((each) => each.tick > note.tick && each.string === note.string && !isStruck(each.articulation));
    return grace === undefined || grace.tick - note.tick > 480 || !inChord(grace);
  }).length;
}

function chords(scene: Scene, { draft, notes }: Played): readonly Reason[] {
  const reasons: Reason[] = [];
  const outside = outsideOnBeats(scene, draft.leads ? notes.slice(0, -1) : notes);
  if (outside > 0)
    reasons.push(
      reason(
        'outside the chord on a beat',
        outside * FILL_COSTS.outsideOnBeat,
        outside === 1 ? 'leans on a passing note once' : `leans on passing notes ${outside} times`,
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
  // What breaks off on an "and" has not filled anything.
  const rests = draft.leads || strengthAt(scene.timeline, lastOf(notes).tick) >= 2;
  reasons.push(reason('fills the space', rests ? FILL_COSTS.fillsSpace * share : 0, lengthWords(share)));
  if (draft.throughGuard && end > scene.guardEnd)
    reasons.push(
      reason(
        'through the guard',
        FILL_COSTS.throughGuard,
        `low enough to go on until ${scene.leader} comes in`,
      ),
    );
  else if (scene.guardEnd < scene.endTick)
    reasons.push(reason('keeps the guard', FILL_COSTS.told, leaves(scene, end)));

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
          `keeps ${middle < sung ? 'below' : 'above'} ${scene.leader}`,
        ),
      );
  }
  const held = scene.sungBefore;
  if (held !== null && scene.tailEnd > scene.startTick) {
    const over = notes.filter((note) => note.tick < scene.tailEnd && note.midi > held).length;
    if (over > 0)
      reasons.push(
        reason(
          'over the tail',
          over * FILL_COSTS.overTail,
          `crosses above the note that ${scene.leader} still holds`,
        ),
      );
  }
  return reasons;
}

function lengthWords(share: number): string {
  if (share >= 0.85) return 'takes all the time there is';
  return share >= 0.5 ? 'takes most of the time' : 'short, with air around it';
}

/** The room before the next entry, in whole beats. */
function leaves(scene: Scene, end: number): string {
  const beat = beatTicks(scene.timeline.barAt(scene.endTick - 1).bar.meter);
  const beats = Math.floor((scene.endTick - end) / beat + 0.1);
  if (beats === 0) return `lets go just before ${scene.leader} comes in`;
  return beats === 1
    ? `leaves the last beat to ${scene.leader}`
    : `leaves the last ${beats} beats to ${scene.leader}`;
}

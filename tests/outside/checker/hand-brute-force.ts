import { type Articulation, HAND_COSTS, type NoteToPlan, type Setup } from '../../../lib/instruments';
import { FINGER_PLACES, HOMES, PAIR_SHARE, SLANT_FRETS } from '../../../lib/instruments/hand-costs';
import { INSTRUMENT_FACTS } from '../../../lib/instruments/tunings';

/*
 * A left hand's plan by brute force. It shares the tables of facts and costs with the plan that it judges, and no code: it judges a whole plan
 * from its list of notes, with no states to merge and no bounds.
 */

/** Notes for a hand, with the hand. */
export interface HandCase {
  readonly setup: Setup;
  readonly notes: readonly NoteToPlan[];
  readonly span: number;
  readonly tempo: number;
}

interface Played extends NoteToPlan {
  readonly at: number;
  readonly fret: number;
  readonly on: number;
  readonly finger: number;
  readonly neck: number;
}

/** The least cost of any plan, every string, finger and position of every note tried; null: no hand can play it. */
export function leastByBruteForce({ setup, notes, span, tempo }: HandCase): number | null {
  const facts = INSTRUMENT_FACTS[setup.instrument];
  const tuning = facts.tunings.find(({ name }) => name === setup.tuning)?.midi ?? [];
  const mm = (neck: number) => facts.scaleMillimetres - facts.scaleMillimetres / 2 ** (neck / 12);
  const apart = (a: number, b: number) => Math.abs(mm(a) - mm(b));
  const share = (a: number, b: number) => (PAIR_SHARE[a]?.[b] ?? 0) * span;
  const bar = facts.hand === 'bar';
  const fingers = FINGER_PLACES[setup.instrument].map(({ finger }) => finger);

  const waysFor = (note: NoteToPlan, at: number): Played[] => {
    const ways: Played[] = [];
    tuning.forEach((open, index) => {
      const on = index + 1;
      if (note.string !== null && note.string !== on) return;
      const start = facts.startsAtFret[on] ?? 0;
      const capo = start > 0 ? (setup.fifthCapo ?? setup.capo) : setup.capo;
      const fret = note.midi - open - capo;
      const neck = start + capo + fret;
      if (fret < 0 || neck > facts.frets) return;
      if (note.articulation === 'choke' && fret === 0) return;
      for (const finger of fret === 0 ? [0] : fingers) ways.push({ ...note, at, on, fret, finger, neck });
    });
    return ways;
  };

  const reach = (position: number, { finger, neck }: Played): number | null => {
    const place = FINGER_PLACES[setup.instrument].find((each) => each.finger === finger);
    if (!place) return null;
    const above = neck - position;
    if (above < place.least || above > place.most) return null;
    if (finger !== 1 && apart(position, neck) > share(1, finger)) return null;
    if (above > place.to) return apart(position + place.to, neck);
    return above < place.from ? -apart(position + place.from, neck) : 0;
  };

  const pairFits = (a: Played, b: Played): boolean => {
    if (a.on === b.on) return false;
    if (a.finger === 0 || b.finger === 0) return true;
    if (a.finger === b.finger) {
      if (bar && a.tick === b.tick && Math.abs(a.on - b.on) === 1)
        return Math.abs(a.neck - b.neck) <= SLANT_FRETS;
      if (a.neck !== b.neck) return false;
      return facts.hand === 'board' ? Math.abs(a.on - b.on) === 1 : a.finger === 1;
    }
    const lower = a.finger < b.finger ? a : b;
    const higher = lower === a ? b : a;
    if (lower.neck > higher.neck) return false;
    if (lower.neck === higher.neck && lower.on < higher.on) return false;
    return apart(lower.neck, higher.neck) <= share(lower.finger, higher.finger);
  };

  const ticks = [...new Set(notes.map(({ tick }) => tick))].sort((a, b) => a - b);
  let least: number | null = null;

  /** What is played so far, with the positions of the ticks so far; the cost of the last tick, or null. */
  const costOfLast = (played: readonly Played[], positions: readonly number[]): number | null => {
    const now = ticks[positions.length - 1] ?? 0;
    const position = positions[positions.length - 1] ?? 0;
    const fresh = played.filter(({ tick }) => tick === now);
    const slurs: readonly Articulation[] = ['hammer', 'pull', 'slide'];
    // An earlier note is cut where a later one took over its string.
    const latestOn = (string: number) => played.filter(({ tick, on }) => tick < now && on === string).at(-1);
    const soundsTill = ({ tick, ticks: length }: Played) => tick + length;
    let cost = 0;
    for (const note of fresh) {
      const before = latestOn(note.on);
      const from = before && soundsTill(before) >= now ? before : undefined;
      if (!slurs.includes(note.articulation)) {
        if (from && soundsTill(from) > now) return null;
        continue;
      }
      if (!from) return null;
      if (note.articulation === 'hammer') {
        if (note.fret <= from.fret) return null;
        if (from.finger > 0 && (bar || note.finger <= from.finger)) return null;
      } else if (note.articulation === 'pull') {
        if (note.fret >= from.fret) return null;
        if (note.finger > 0 && (bar || note.finger >= from.finger)) return null;
      } else if (note.fret === from.fret || note.finger === 0 || note.finger !== from.finger) return null;
    }
    const taken = fresh.map(({ on }) => on);
    const held = played.filter(
      (note) =>
        note.tick < now && soundsTill(note) > now && latestOn(note.on) === note && !taken.includes(note.on),
    );
    const together = [...held, ...fresh];
    for (const a of together) for (const b of together) if (a !== b && !pairFits(a, b)) return null;
    const barred = together.filter(({ finger }) => finger === 1).map(({ on }) => on);
    for (const { finger, on } of together) {
      if (finger === 0 && on > Math.min(...barred) && on < Math.max(...barred)) return null;
    }
    const pressed = fresh.filter(({ finger }) => finger > 0);
    if (pressed.length > 0) {
      for (const note of held) if (note.finger > 0 && reach(position, note) === null) return null;
      for (let index = 0; index < pressed.length; index++) {
        const note = pressed[index];
        if (!note) continue;
        const stretch = reach(position, note);
        if (stretch === null) return null;
        const home = HOMES[setup.instrument];
        cost += HAND_COSTS.press + (position === setup.capo + home.position ? 0 : home.away);
        cost += apart(setup.capo + home.position, position) * HAND_COSTS.upTheNeckPerMillimetre;
        cost +=
          stretch > 0 ? stretch * HAND_COSTS.stretchPerMillimetre : -stretch * HAND_COSTS.crowdPerMillimetre;
        if ((facts.startsAtFret[note.on] ?? 0) > 0) cost += HAND_COSTS.shortString;
        if (bar) continue;
        cost += HAND_COSTS.finger[note.finger] ?? 0;
        const same = ({ finger }: Played) => finger === note.finger;
        const taken = pressed.slice(0, index).filter(same).length || held.filter(same).length;
        if (taken > 0) cost += taken === 1 ? HAND_COSTS.barre : HAND_COSTS.barreFurther;
        if (note.articulation === 'slide') continue;
        for (const earlier of played) {
          if (earlier.tick >= now || soundsTill(earlier) !== now || latestOn(earlier.on) !== earlier)
            continue;
          if (earlier.finger !== note.finger) continue;
          if (earlier.neck !== note.neck) cost += HAND_COSTS.hop;
          else if (earlier.on !== note.on) cost += HAND_COSTS.rollOver;
        }
      }
      // The hand was last put down at the latest earlier tick with a stopped note.
      for (let index = positions.length - 2; index >= 0; index--) {
        const tick = ticks[index] ?? 0;
        if (!played.some((note) => note.tick === tick && note.finger > 0)) continue;
        const from = positions[index] ?? 0;
        if (from === position) break;
        const seconds = ((now - tick) / 960) * (60 / tempo);
        cost += HAND_COSTS.shift;
        cost +=
          HAND_COSTS.shiftPerMillimetre * apart(from, position) * (1 + HAND_COSTS.hurrySeconds / seconds);
        break;
      }
    }
    return cost;
  };

  const tryTick = (played: readonly Played[], positions: readonly number[], cost: number): void => {
    if (positions.length === ticks.length) {
      if (least === null || cost < least) least = cost;
      return;
    }
    const now = ticks[positions.length];
    const starting = notes.map((note, at) => ({ note, at })).filter(({ note }) => note.tick === now);
    const choose = (index: number, chosen: readonly Played[]): void => {
      const next = starting[index];
      if (next) {
        for (const way of waysFor(next.note, next.at)) choose(index + 1, [...chosen, way]);
        return;
      }
      const stopped = chosen.filter(({ finger }) => finger > 0);
      const places = stopped.length === 0 ? [0] : Array.from({ length: facts.frets }, (_, fret) => fret + 1);
      for (const position of places) {
        if (stopped.length > 0 && position <= setup.capo) continue;
        if (stopped.some((note) => reach(position, note) === null)) continue;
        const more = costOfLast([...played, ...chosen], [...positions, position]);
        if (more !== null) tryTick([...played, ...chosen], [...positions, position], cost + more);
      }
    };
    choose(0, []);
  };
  tryTick([], [], 0);
  return least;
}

import { type Bar, barAt, beatOf, type Case, intoBar, type Note, UNSTRUCK } from './cases';

/** Notes struck together, as one. */
interface Strike {
  readonly tick: number;
  readonly end: number;
  readonly strings: readonly number[];
  readonly notes: readonly Note[];
}

function strikesOf(given: Case): readonly Strike[] {
  const ticks = [...new Set(given.notes.map((note) => note.tick))];
  return ticks.flatMap((tick) => {
    const notes = given.notes.filter((note) => note.tick === tick && !UNSTRUCK.has(note.articulation));
    if (notes.length === 0) return [];
    return [
      {
        tick,
        end: Math.max(...notes.map((note) => note.tick + note.ticks)),
        strings: notes.map((note) => note.string),
        notes,
      },
    ];
  });
}

/** Whether something sounds all the way from one strike to the next. */
function joined(given: Case, from: Strike, to: Strike): boolean {
  let until = from.tick;
  for (const note of given.notes)
    if (note.tick >= from.tick && note.tick < to.tick && note.tick <= until)
      until = Math.max(until, note.tick + note.ticks);
  return until >= to.tick;
}

/**
 * Down on the beat, up on the "and": the hand goes evenly on the grid of the fastest struck notes of the fill.
 * In compound meter it is down up down in each beat, and in a
 * triplet too. Common practice, no source.
 */
function byBeat(given: Case, strikes: readonly Strike[], tick: number): 'down' | 'up' {
  const bar = barAt(given, tick);
  const beat = handBeatOf(bar);
  const compound = beatOf(bar) === (3 * 3840) / bar.unit;
  const place = intoBar(bar, tick) % beat;
  let step = compound ? beat / 3 : bar.unit >= 8 ? 3840 / bar.unit : beat / 2;
  const uneven = (each: Strike) => (intoBar(barAt(given, each.tick), each.tick) % beat) % FINEST !== 0;
  const ofBeat = strikes.filter((each) => sameBeat(given, each.tick, tick));
  // A beat with a triplet in it has thirds for a grid of its own; the others are even.
  const triplet = !compound && ofBeat.some(uneven);
  if (triplet) step = beat / 3;
  const evenly = strikes.filter(
    (each) => !strikes.some((o) => uneven(o) && sameBeat(given, o.tick, each.tick)),
  );
  const offsets = (compound || triplet ? ofBeat : evenly).map(
    (each) => intoBar(barAt(given, each.tick), each.tick) % beat,
  );
  while (offsets.some((offset) => offset % step !== 0)) step /= 2;
  return Math.round(place / step) % 2 === 0 ? 'down' : 'up';
}

/** What the hand counts by: the beat; in eighths that are not counted in threes two of them, or the whole of an odd bar. */
export function handBeatOf(bar: Bar): number {
  const unit = 3840 / bar.unit;
  if (bar.unit < 8 || beatOf(bar) !== unit || bar.count === 3) return beatOf(bar);
  return bar.count % 2 === 0 ? 2 * unit : bar.count * unit;
}

function sameBeat(given: Case, a: number, b: number): boolean {
  const bar = barAt(given, b);
  if (barAt(given, a) !== bar) return false;
  const beat = beatOf(bar);
  return Math.floor(intoBar(bar, a) / beat) === Math.floor(intoBar(bar, b) / beat);
}

/** No even grid is finer than 128ths, in ticks. */
const FINEST = 30;

const middle = (strings: readonly number[]) => (Math.min(...strings) + Math.max(...strings)) / 2;

/**
 * A pick's strokes. Toward the next string: down where that lies nearer the floor, up where it lies nearer the ceiling; the
 * beat where it is the same string, where a rest comes between, or where nothing comes. Runs, and players who alternate: the beat.
 * Common practice, no source.
 */
export function beatFaults(given: Case): string[] {
  const faults: string[] = [];
  const strikes = strikesOf(given);
  strikes.forEach((strike, i) => {
    const next = strikes[i + 1];
    const across = next && joined(given, strike, next) ? middle(next.strings) - middle(strike.strings) : 0;
    const beat = byBeat(given, strikes, strike.tick);
    for (const note of strike.notes) {
      const run = note.strokeRule === 'run';
      if (run && given.family.endsWith('roll') && next?.notes.some((each) => each.strokeRule !== 'run'))
        faults.push(`stroke ${i}: a run inside a roll`);
      const wanted =
        given.rule === 'alternate' || run || across === 0
          ? beat
          : across < 0
            ? ('down' as const)
            : ('up' as const);
      if (note.stroke !== wanted && !note.exception)
        faults.push(`stroke ${i}: ${note.stroke}, not ${wanted}`);
      if (note.stroke === wanted && note.exception) faults.push(`stroke ${i}: marked, but by the rule`);
    }
  });
  return faults;
}

/**
 * Fingers. Banjo and resonator guitar: the thumb has the banjo's fifth string, no finger strikes twice running faster than
 * in quarters (unless marked), two strings at once have two fingers. Bass: index and middle by turns in quick notes.
 * Common practice, no source.
 */
export function fingerFaults(given: Case): string[] {
  const faults: string[] = [];
  const strikes = strikesOf(given);
  const allowed = given.instrument === 'bass' ? ['index', 'middle'] : ['thumb', 'index', 'middle'];
  strikes.forEach((strike, i) => {
    const before = strikes[i - 1];
    const used = strike.notes.map((note) => note.stroke);
    for (const note of strike.notes) {
      if (note.stroke === null || !allowed.includes(note.stroke)) faults.push(`strike ${i}: ${note.stroke}`);
      if (note.exception) continue;
      if (given.instrument === 'banjo' && note.string === 5 && note.stroke !== 'thumb')
        faults.push(`strike ${i}: the short string with ${note.stroke}`);
      if (
        before &&
        strike.tick - before.tick < 960 &&
        before.notes.some((each) => each.stroke === note.stroke)
      )
        faults.push(`strike ${i}: ${note.stroke} twice running`);
    }
    // A pinch is thumb and middle, the thumb on 5, 4 or 3 and the middle finger on 1.
    if (strike.notes.length > 1 && strike.notes.every((note) => note.articulation === 'pinch')) {
      const way = strike.notes
        .map((note) => `${note.stroke} ${note.string}`)
        .sort((a, b) => a.localeCompare(b));
      if (!/^middle 1,thumb [345]$/.test(way.join()))
        faults.push(`strike ${i}: a pinch by ${way.join(' and ')}`);
    }
    if (
      given.instrument !== 'bass' &&
      new Set(used).size < used.length &&
      !strike.notes.some((n) => n.exception)
    )
      faults.push(`strike ${i}: one finger on two strings`);
  });
  return faults;
}

/**
 * Bows: by turns between rests; taken first so that the fewest downbeats come out on an up-bow, where it is all one down on the beat and up on the
 * "and"; a downbeat on an up-bow is marked. Common practice, no source: strong beats mostly down.
 */
export function bowFaults(given: Case): string[] {
  const faults: string[] = [];
  const strikes = strikesOf(given);
  const isDownbeat = (strike: Strike) => intoBar(barAt(given, strike.tick), strike.tick) === 0;
  const isFresh = (i: number) => {
    const [before, strike] = [strikes[i - 1], strikes[i]];
    return !before || !strike || !joined(given, before, strike);
  };
  strikes.forEach((strike, i) => {
    const before = strikes[i - 1];
    const strings = [...strike.strings].sort((a, b) => a - b);
    if (strings.length > 2) faults.push(`bow ${i}: on ${strings.length} strings`);
    if (strings.length === 2 && (strings[1] ?? 0) - (strings[0] ?? 0) !== 1)
      faults.push(`bow ${i}: not on neighbours`);
    const stroke = strike.notes[0]?.stroke;
    if (strike.notes.some((note) => note.stroke !== stroke)) faults.push(`bow ${i}: both ways at once`);
    const marked = strike.notes.every((note) => note.exception);
    if (isDownbeat(strike) && stroke === 'up' && !marked)
      faults.push(`bow ${i}: a downbeat on an up-bow, not marked`);
    if (!isFresh(i)) {
      const wanted = before?.notes[0]?.stroke === 'down' ? 'up' : 'down';
      if (stroke !== wanted) faults.push(`bow ${i}: ${stroke}, not ${wanted}`);
      return;
    }
    // Downbeats an even number of bows on have this bow's way, the others the other way.
    let same = 0;
    let other = 0;
    for (let k = i; k < strikes.length && (k === i || !isFresh(k)); k++) {
      const each = strikes[k];
      if (!each || !isDownbeat(each)) continue;
      if ((k - i) % 2 === 0) same += 1;
      else other += 1;
    }
    const wanted = same > other ? 'down' : same < other ? 'up' : byBeat(given, strikes, strike.tick);
    if (stroke !== wanted) faults.push(`bow ${i}: ${stroke}, not ${wanted}`);
  });
  return faults;
}

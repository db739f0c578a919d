import { barAt, beatOf, type Case, intoBar, type Note, UNSTRUCK } from './cases';
import { bassOf, chordTones, fretFromNut, NECKS, openMidi } from './facts';
import { beatFaults, bowFaults, fingerFaults, handBeatOf } from './strokes';

/** Families that go on under the guard, low down; the rest stop before it. */
const LOW_FAMILIES = new Set(['bass run', 'walk', 'root and fifth', 'turnaround']);
/** Families that lead on into the next chord instead of coming to rest. */
const LEADING_FAMILIES = new Set(['bass run', 'walk']);

/** All that is wrong with an offer, in words; nothing where all is well. */
export function faultsOf(given: Case): readonly string[] {
  return [
    ...placeFaults(given),
    ...boardFaults(given),
    ...handFaults(given),
    ...slurFaults(given),
    ...speedFaults(given),
    ...(given.instrument === 'fiddle'
      ? bowFaults(given)
      : given.instrument === 'guitar' || given.instrument === 'mandolin'
        ? beatFaults(given)
        : fingerFaults(given)),
    ...landingFaults(given),
    ...arrivalFaults(given),
    ...pairFaults(given),
  ];
}

function placeFaults({ notes, startTick, endTick, guardTicks, family, instrument }: Case): string[] {
  const faults: string[] = [];
  if (notes.length < 3) faults.push('fewer than three notes');
  const low = LOW_FAMILIES.has(family);
  const limit = low ? endTick : endTick - guardTicks;
  notes.forEach((note, i) => {
    const before = notes[i - 1];
    if (before && note.tick < before.tick) faults.push(`note ${i} is out of order`);
    if (note.tick < startTick || note.tick >= endTick) faults.push(`note ${i} starts outside the space`);
    if (note.ticks <= 0) faults.push(`note ${i} has no length`);
    if (note.tick + note.ticks > endTick) faults.push(`note ${i} ends after the space`);
    if (note.tick + note.ticks > limit) faults.push(`note ${i} is in the guard`);
    if (low && instrument === 'guitar' && note.string < 3)
      faults.push(`note ${i} of a bass run is on a high string`);
  });
  return faults;
}

function boardFaults({ notes, instrument, tuning, capo, fifthCapo }: Case): string[] {
  const faults: string[] = [];
  const open = openMidi(instrument, tuning, capo, fifthCapo);
  const frets = NECKS[instrument]?.frets ?? 0;
  notes.forEach((note, i) => {
    const midi = open.get(note.string);
    if (midi === undefined) {
      faults.push(`note ${i}: no string ${note.string}`);
      return;
    }
    const short = instrument === 'banjo' && note.string === 5;
    const nut = short ? 5 + (fifthCapo ?? capo) : capo;
    if (note.fret < 0 || nut + note.fret > frets) faults.push(`note ${i}: no fret ${note.fret}`);
    if (midi + note.fret !== note.midi) faults.push(`note ${i}: string and fret do not give ${note.midi}`);
    const other = notes.findIndex(
      (each, k) =>
        k > i &&
        each.string === note.string &&
        each.tick < note.tick + note.ticks &&
        note.tick < each.tick + each.ticks,
    );
    if (other >= 0) faults.push(`notes ${i} and ${other} sound on one string at once`);
  });
  return faults;
}

/** How fast a hand goes along the neck, in millimetres a second. Common practice, no source: half a neck in a fifth of a second. */
const HAND_SPEED = 1500;

function handFaults(given: Case): string[] {
  const faults: string[] = [];
  const neck = NECKS[given.instrument];
  if (!neck) return ['no such instrument'];
  const bar = given.instrument === 'resonator guitar';
  const at = (note: Note) => {
    const short = given.instrument === 'banjo' && note.string === 5;
    return fretFromNut(neck.scale, note.fret + (short ? 5 + (given.fifthCapo ?? given.capo) : given.capo));
  };
  const seconds = (ticks: number) => (ticks / 960) * (60 / given.quartersPerMinute);
  given.notes.forEach((note, i) => {
    if ((note.fret === 0) !== (note.finger === 0))
      faults.push(`note ${i}: finger ${note.finger} on fret ${note.fret}`);
    if (bar && note.finger > 1) faults.push(`note ${i}: a bar is not finger ${note.finger}`);
    if (note.fret === 0) return;
    given.notes.slice(i + 1).forEach((other, k) => {
      if (other.fret === 0) return;
      const apart = Math.abs(at(other) - at(note));
      const together = other.tick < note.tick + note.ticks && note.tick < other.tick + other.ticks;
      const where = `notes ${i} and ${i + 1 + k}`;
      if (together) {
        if (apart > given.spanMillimetres + 1) faults.push(`${where}: ${Math.round(apart)} mm apart at once`);
        if (bar && note.fret !== other.fret && !slants(given, note, other))
          faults.push(`${where}: a bar on two frets at once`);
        if (!bar && note.finger === other.finger && note.fret !== other.fret)
          faults.push(`${where}: one finger on two frets at once`);
        if (note.finger < other.finger && note.fret > other.fret) faults.push(`${where}: fingers crossed`);
        if (note.finger > other.finger && note.fret < other.fret) faults.push(`${where}: fingers crossed`);
      } else {
        const reach =
          (bar ? 0 : given.spanMillimetres) + HAND_SPEED * seconds(Math.abs(other.tick - note.tick));
        if (apart > reach) faults.push(`${where}: ${Math.round(apart)} mm in too little time`);
      }
    });
  });
  return faults;
}

/** A bar slants over two neighbouring strings of a double-stop, two frets at most. Common practice, no source. */
const slants = ({ family }: Case, note: Note, other: Note) =>
  family === 'double-stops' &&
  note.tick === other.tick &&
  Math.abs(note.string - other.string) === 1 &&
  Math.abs(note.fret - other.fret) <= 2;

function slurFaults({ notes, instrument }: Case): string[] {
  const faults: string[] = [];
  notes.forEach((note, i) => {
    if (UNSTRUCK.has(note.articulation) && note.stroke !== null) faults.push(`note ${i}: a slur is struck`);
    if (!UNSTRUCK.has(note.articulation) && note.stroke === null)
      faults.push(`note ${i}: nothing strikes it`);
    if (note.articulation === 'slurred') {
      const before = notes[i - 1];
      if (instrument !== 'fiddle') faults.push(`note ${i}: slurred without a bow`);
      if (!before || before.tick + before.ticks < note.tick)
        faults.push(`note ${i}: the bow has left the string`);
      if (before && Math.abs(before.string - note.string) > 1)
        faults.push(`note ${i}: slurred over a string`);
      return;
    }
    if (!UNSTRUCK.has(note.articulation)) return;
    if (instrument === 'fiddle') faults.push(`note ${i}: a ${note.articulation} on the fiddle`);
    const from = notes.filter((each) => each.string === note.string && each.tick < note.tick).at(-1);
    if (!from || from.tick + from.ticks < note.tick) {
      faults.push(`note ${i}: no note on its string to ${note.articulation} from`);
      return;
    }
    if (note.articulation === 'hammer' && from.fret >= note.fret)
      faults.push(`note ${i}: a hammer-on goes up`);
    if (note.articulation === 'pull' && from.fret <= note.fret)
      faults.push(`note ${i}: a pull-off goes down`);
    if (note.articulation === 'slide' && (from.fret === note.fret || from.fret === 0 || note.fret === 0))
      faults.push(`note ${i}: a slide goes from one stopped fret to another`);
    if (Math.abs(from.fret - note.fret) > 4)
      faults.push(`note ${i}: a slur over ${from.fret - note.fret} frets`);
  });
  return faults;
}

/** Beyond this many times what a player plays with ease, no fill is offered. */
const MOST_OF_EASE = 1.4;

function speedFaults(given: Case): string[] {
  const onsets = [...new Set(given.notes.filter((n) => !UNSTRUCK.has(n.articulation)).map((n) => n.tick))];
  for (let i = 1; i < onsets.length; i++) {
    const ticks = (onsets[i] ?? 0) - (onsets[i - 1] ?? 0);
    const rate = (960 / ticks) * given.quartersPerMinute;
    if (rate > MOST_OF_EASE * given.eighthsPerMinute)
      return [`${Math.round(rate)} notes a minute are too fast`];
  }
  return [];
}

const onBeat = (given: Case, tick: number) => {
  const bar = barAt(given, tick);
  return intoBar(bar, tick) % beatOf(bar) === 0;
};

const onHandBeat = (given: Case, tick: number) => {
  const bar = barAt(given, tick);
  return intoBar(bar, tick) % handBeatOf(bar) === 0;
};

/**
 * Whether a pitch belongs to the chord of the moment; off the beat, also to one that begins within an eighth; null: no chord is known
 * there. Common practice, no source: the band plays its chord on the beat, only the last eighth before a change may be early.
 */
function fitsChord(given: Case, midi: number, tick: number): boolean | null {
  const early = onBeat(given, tick) ? 0 : 480;
  const near = given.chords.filter((chord) => chord.endTick > tick && chord.startTick <= tick + early);
  const tones = near.map((chord) => chordTones(chord.symbol));
  if (tones.length === 0 || tones.some((each) => each === null)) return null;
  return tones.some((each) => each?.has(midi % 12));
}

/**
 * Of the notes that begin on a beat: how many there are, and how many are chord tones; and of those on the first beat or in the middle
 * of a bar. A note that is slurred into a chord tone within an eighth counts as one (a flat third into the third). Of a walk or a
 * bass run only the first beat and the middle of the bar count: between them it goes by steps.
 */
export function beatsOnChord(given: Case): {
  readonly notes: number;
  readonly chordTones: number;
  readonly strong: number;
  readonly strongChordTones: number;
} {
  let notes = 0;
  let inChord = 0;
  let strong = 0;
  let strongInChord = 0;
  for (const note of given.notes) {
    if (!onBeat(given, note.tick) || UNSTRUCK.has(note.articulation)) continue;
    if (LEADING_FAMILIES.has(given.family) && !onStrongBeat(given, note.tick)) continue;
    const slurred = given.notes.find(
      (each) =>
        each.string === note.string &&
        UNSTRUCK.has(each.articulation) &&
        each.tick > note.tick &&
        each.tick <= note.tick + 480,
    );
    const own = fitsChord(given, note.midi, note.tick);
    if (own === null) continue;
    const fits = own || (slurred !== undefined && fitsChord(given, slurred.midi, note.tick) === true);
    notes += 1;
    if (fits) inChord += 1;
    if (!onStrongBeat(given, note.tick)) continue;
    strong += 1;
    if (fits) strongInChord += 1;
  }
  return { notes, chordTones: inChord, strong, strongChordTones: strongInChord };
}

function landingFaults(given: Case): string[] {
  const last = given.notes.at(-1);
  if (!last || LEADING_FAMILIES.has(given.family)) return [];
  return fitsChord(given, last.midi, last.tick) === false ? ['lands on no chord tone'] : [];
}

function onStrongBeat(given: Case, tick: number): boolean {
  const bar = barAt(given, tick);
  const place = intoBar(bar, tick);
  const half = (bar.count * 3840) / bar.unit / 2;
  return place === 0 || (place === half && half % beatOf(bar) === 0 && half > beatOf(bar));
}

/**
 * How fills end. A walk or a bass run ends on the root of the chord that
 * sounds, or at the space's end a step from the root of another chord that begins there, a beat later at most.
 * Common practice, no source.
 */
function arrivalFaults(given: Case): string[] {
  const last = given.notes.at(-1);
  if (!last || !LEADING_FAMILIES.has(given.family)) return [];
  const beat = Math.max(960, beatOf(barAt(given, given.endTick - 1)));
  const sounding = given.chords.find((chord) => chord.startTick <= last.tick && chord.endTick > last.tick);
  const soon = given.chords.filter(
    (chord) => chord.startTick >= given.endTick && chord.startTick <= given.endTick + beat,
  );
  const apart = (symbol: string) => {
    const bass = bassOf(symbol);
    return bass === null ? null : (last.midi - bass + 120) % 12;
  };
  const here = sounding ? apart(sounding.symbol) : null;
  const ways = soon.map((chord) => apart(chord.symbol));
  if (here === null || here === 0 || ways.some((way) => way === null)) return [];
  const steps = ways.some((way) => way !== null && way !== 0 && Math.min(way, 12 - way) <= 2);
  return steps ? [] : ['goes neither to the root that sounds nor by a step into the next'];
}

/** Double-stops move by neighbouring places: frets at most from one to the next; a bar slides further. Common practice, no source. */
const PAIR_REACH = 4;
const BAR_REACH = 7;

function pairFaults(given: Case): string[] {
  if (given.family !== 'double-stops') return [];
  const faults: string[] = [];
  let before: number | null = null;
  for (const tick of new Set(given.notes.map((note) => note.tick))) {
    const pair = given.notes.filter((note) => note.tick === tick);
    const [a, b] = pair;
    if (!a || !b || Math.abs(a.string - b.string) !== 1) faults.push(`tick ${tick}: not on two neighbours`);
    if (
      onHandBeat(given, tick) &&
      pair.some((note) => note.stroke !== 'down' && given.instrument === 'guitar')
    )
      faults.push(`tick ${tick}: a double-stop on the beat not struck down`);
    const stopped = pair.filter((note) => note.fret > 0).map((note) => note.fret);
    const place = stopped.length > 0 ? Math.min(...stopped) : 1;
    const reach = given.instrument === 'resonator guitar' ? BAR_REACH : PAIR_REACH;
    if (before !== null && Math.abs(place - before) > reach)
      faults.push(`tick ${tick}: a double-stop leaps ${Math.abs(place - before)} frets`);
    before = place;
  }
  return faults;
}

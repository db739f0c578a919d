import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { itemAt } from '../../../lib/base';
import {
  asksForCare,
  type Edited,
  editFill,
  type FillEdit,
  judgeFill,
  type Offer,
  type OfferRequest,
} from '../../../lib/fills';
import { INSTRUMENTS, openStrings } from '../../../lib/instruments';
import type { FillNote } from '../../../lib/song';
import { generatedSong, offersFor, requestFor, SIX_BEATS } from './songs';

const players = INSTRUMENTS.filter((name) => name !== 'voice');

function edited(request: OfferRequest, fill: Pick<Offer, 'family' | 'notes'>, edit: FillEdit): Edited {
  const answer = editFill(request, fill, edit);
  if (!answer.ok) throw new Error(answer.error.what);
  return answer.value;
}

const placed = (note: FillNote) => `${note.tick} ${note.string} ${note.fret} ${note.midi}`;
const rules = (answer: Edited) => answer.marks.map((mark) => mark.reason.rule);

/** Six beats over G, C and G from beat 3 of bar 1; a line of one's own in them, on the guitar. */
const request = requestFor(SIX_BEATS, 'guitar', { count: 6 });
const from = request.space.startTick;
function written(...places: readonly (readonly [eighth: number, string: number, fret: number])[]): Edited {
  let fill: Pick<Offer, 'family' | 'notes'> = { family: 'run up', notes: [] };
  let last: Edited | null = null;
  for (const [eighth, string, fret] of places) {
    last = edited(request, fill, { kind: 'add', tick: from + eighth * 480, ticks: 480, string, fret });
    fill = last;
  }
  if (!last) throw new Error('nothing is written');
  return last;
}

const randomEdit = fc.oneof(
  fc.record({
    kind: fc.constant('place' as const),
    note: fc.nat(12),
    string: fc.integer({ min: 1, max: 6 }),
    fret: fc.nat(14),
  }),
  fc.record({
    kind: fc.constant('move' as const),
    note: fc.nat(12),
    tick: fc.integer({ min: -8, max: 24 }).map((eighth) => from + eighth * 480),
  }),
  fc.record({ kind: fc.constant('remove' as const), note: fc.nat(12) }),
  fc.record({
    kind: fc.constant('add' as const),
    tick: fc.integer({ min: -4, max: 20 }).map((eighth) => from + eighth * 480),
    ticks: fc.constantFrom(240, 480, 960),
    string: fc.integer({ min: 1, max: 6 }),
    fret: fc.nat(12),
  }),
  fc.record({
    kind: fc.constant('articulation' as const),
    note: fc.nat(12),
    articulation: fc.constantFrom(
      'struck' as const,
      'hammer' as const,
      'pull' as const,
      'slide' as const,
      'choke' as const,
    ),
  }),
);

describe('a fill changed by hand', () => {
  test('stays where it was but for the change, its hands solved around it; refused only where it cannot sound', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 100_000 }),
        fc.constantFrom(...players),
        fc.array(randomEdit, { minLength: 1, maxLength: 6 }),
        (seed, instrument, edits) => {
          const asked = requestFor(generatedSong(seed), instrument, { count: 6 });
          const strings = openStrings(asked.setup);
          if (!strings.ok) throw new Error(strings.error.what);
          let fill: Pick<Offer, 'family' | 'notes'> | undefined = offersFor(asked)[0];
          if (!fill) return;
          for (const edit of edits) {
            const before: Pick<Offer, 'family' | 'notes'> = fill;
            const answer = editFill(asked, before, edit);
            if (!answer.ok) {
              expect(isImpossible(before.notes, edit, strings.value)).toBe(true);
              continue;
            }
            fill = answer.value;
            const { notes, marks } = answer.value;
            const index = 'note' in edit ? edit.note : -1;
            const others = before.notes.filter((note, i) => i !== index && !isAt(note, edit)).map(placed);
            const now = notes.map(placed);
            for (const other of others) expect(now).toContain(other);
            expect(Math.abs(notes.length - before.notes.length)).toBe(
              edit.kind === 'remove' || (edit.kind === 'add' && !before.notes.some((n) => isAt(n, edit)))
                ? 1
                : 0,
            );
            notes.forEach((note, i) => {
              const open = itemAt(strings.value, note.string - 1);
              expect(open.midi + note.fret).toBe(note.midi);
              expect(note.finger === 0).toBe(note.fret === 0);
              const isSlurred = ['hammer', 'pull', 'slide', 'slurred'].includes(note.articulation);
              if (isSlurred) expect(note.stroke).toBeNull();
              else expect(note.stroke).not.toBeNull();
              const next = notes.slice(i + 1).find((other) => other.string === note.string);
              if (next) expect(note.tick + note.ticks).toBeLessThanOrEqual(next.tick);
            });
            for (const { note, reason } of marks) {
              expect(notes[note]).toBeDefined();
              expect(reason.detail).toMatch(/\w \w/);
            }
            expect(judgeFill(asked, answer.value)).toEqual(answer);
          }
        },
      ),
      { numRuns: 60 },
    );
  });

  test('what cannot sound is refused, with a mend', () => {
    const fill = written([0, 3, 0], [1, 3, 2]);
    for (const [edit, what] of [
      [{ kind: 'place', note: 0, string: 3, fret: 40 }, 'string 3 has no fret 40'],
      [{ kind: 'place', note: 0, string: 9, fret: 0 }, 'there is no string 9'],
      [{ kind: 'move', note: 1, tick: from }, 'string 3 cannot sound two notes at once'],
      [{ kind: 'remove', note: 7 }, 'there is no note 8'],
      [{ kind: 'pitch', note: 0, midi: 20 }, /no free string has/],
      [{ kind: 'length', note: 0, ticks: 0 }, 'a note needs a length'],
    ] as const) {
      const answer = editFill(request, fill, edit);
      expect(answer.ok ? '' : answer.error.what).toMatch(what);
      expect(answer.ok ? '' : answer.error.mend).not.toBe('');
    }
    const alone = written([0, 3, 0]);
    expect(editFill(request, alone, { kind: 'remove', note: 0 }).ok).toBe(false);
  });

  test('another pitch goes to the string it has, or to the nearest free one that has it', () => {
    const fill = written([0, 3, 0]);
    expect(edited(request, fill, { kind: 'pitch', note: 0, midi: 57 }).notes[0]).toMatchObject({
      string: 3,
      fret: 2,
    });
    expect(edited(request, fill, { kind: 'pitch', note: 0, midi: 52 }).notes[0]).toMatchObject({
      string: 4,
      fret: 2,
    });
  });
});

/** Common practice, no source, for every row: what each of these asks of a player is plain to see. */
describe('what is hard is marked', () => {
  test('nothing, in a plain run in first position', () => {
    expect(written([0, 3, 0], [1, 3, 2], [2, 2, 0], [3, 2, 1], [4, 2, 0]).marks).toEqual([]);
  });

  test('frets 1 and 9 held at once are a stretch that asks for care', () => {
    const fill = written([0, 5, 1], [0, 1, 9]);
    expect(rules(fill)).toContain('wide stretch');
    expect(asksForCare(fill.marks.map((mark) => mark.reason))).toBe(true);
  });

  test('from fret 1 to fret 17 within an eighth at 200 is a shift too fast', () => {
    const fast = requestFor({ ...SIX_BEATS, tempo: 200 }, 'guitar');
    const tick = fast.space.startTick;
    const add = { kind: 'add', ticks: 480, string: 1 } as const;
    const first = edited(fast, { family: 'run up', notes: [] }, { ...add, tick, fret: 1 });
    expect(rules(edited(fast, first, { ...add, tick: tick + 480, fret: 17 }))).toContain('fast shift');
  });

  test('a hammer-on has to come from somewhere; a slur goes the way that its notes go', () => {
    const fill = written([0, 3, 0], [1, 3, 2]);
    const hammered = edited(request, fill, { kind: 'articulation', note: 1, articulation: 'pull' });
    expect(hammered.notes[1]).toMatchObject({ articulation: 'hammer', stroke: null });
    expect(hammered.marks).toEqual([]);
    const alone = edited(request, hammered, { kind: 'remove', note: 0 });
    expect(rules(alone)).toEqual(['slur from nowhere']);
    expect(alone.notes).toHaveLength(1);
  });

  test('a note before the space, one into the next phrase and one in the guard', () => {
    expect(request.space.guardTicks).toBeGreaterThan(0);
    expect(rules(written([-1, 3, 0], [0, 3, 0]))).toEqual(['outside the space']);
    const last = (request.space.endTick - from) / 480 - 1;
    expect(rules(written([0, 3, 0], [last, 3, 0]))).toEqual(['in the guard']);
    expect(rules(written([0, 3, 0], [last + 1, 3, 0]))).toEqual(['outside the space']);
  });

  test('F on the downbeat of a bar of G', () => {
    // The space begins on beat 3, so that its fifth eighth is the next downbeat.
    const chord = request.timeline.chordAt(from + 4 * 480)?.symbol;
    expect(chord).toBe('G');
    const fill = written([4, 1, 1]);
    expect(rules(fill)).toEqual(['outside the chord on a beat']);
    expect(fill.marks[0]?.reason.detail).toBe('no note of G, on a strong beat');
  });

  test('sixteenths at 200 are fast', () => {
    const fast = requestFor({ ...SIX_BEATS, tempo: 200 }, 'guitar');
    const start = fast.space.startTick;
    const first = edited(
      fast,
      { family: 'run up', notes: [] },
      { kind: 'add', tick: start, ticks: 240, string: 3, fret: 0 },
    );
    const both = edited(fast, first, { kind: 'add', tick: start + 240, ticks: 240, string: 3, fret: 2 });
    expect(rules(both)).toEqual(['hard at this tempo']);
  });

  test('a pick does not reach strings 1 and 5 without those between; a bow has two', () => {
    expect(rules(written([0, 5, 2], [0, 1, 0]))).toContain('one stroke');
    const fiddle = requestFor(SIX_BEATS, 'fiddle');
    let fill: Pick<Offer, 'family' | 'notes'> = { family: 'long bow', notes: [] };
    for (const string of [3, 1])
      fill = edited(fiddle, fill, { kind: 'add', tick: fiddle.space.startTick, ticks: 960, string, fret: 0 });
    const judged = judgeFill(fiddle, fill);
    expect(judged.ok && rules(judged.value)).toContain('one bow');
  });

  test('offers themselves have no marks but strokes against the way, and speed', () => {
    for (const instrument of players) {
      const asked = requestFor(SIX_BEATS, instrument, { count: 6 });
      for (const offer of offersFor(asked)) {
        const judged = judgeFill(asked, offer);
        if (!judged.ok) throw new Error(judged.error.what);
        for (const rule of rules(judged.value))
          expect(['unusual strokes', 'hard at this tempo', 'outside the chord on a beat']).toContain(rule);
        expect(judged.value.notes.map(placed)).toEqual(offer.notes.map(placed));
      }
    }
  });
});

const isAt = (note: FillNote, edit: FillEdit) =>
  edit.kind === 'add' && note.tick === edit.tick && note.string === edit.string;

/** Said anew: what no instrument can sound. */
function isImpossible(
  notes: readonly FillNote[],
  edit: FillEdit,
  strings: readonly { readonly highestFret: number }[],
): boolean {
  if (edit.kind === 'remove') return edit.note >= notes.length || notes.length === 1;
  if ('note' in edit && edit.note >= notes.length) return true;
  const noPlace = (string: number, fret: number) => fret > (strings[string - 1]?.highestFret ?? -1);
  if (edit.kind === 'add') return noPlace(edit.string, edit.fret);
  const note = itemAt(notes, 'note' in edit ? edit.note : 0);
  const meets = (tick: number, string: number) =>
    notes.some((other) => other !== note && other.tick === tick && other.string === string);
  if (edit.kind === 'place') return noPlace(edit.string, edit.fret) || meets(note.tick, edit.string);
  if (edit.kind === 'move') return meets(edit.tick, note.string);
  return false;
}

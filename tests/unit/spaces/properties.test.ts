import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { roadmapTimeline, type Song, type Timeline, writtenTimeline } from '../../../lib/song';
import { DEFAULT_SPACE_OPTIONS, findPhrases, findSpaces, leadVoice } from '../../../lib/spaces';
import { QUARTER, tinySong } from './tiny-song';

const RUNS = { numRuns: 150 };

/** A line of notes and rests in eighths up to four beats, some notes with a breath after them. */
const line = fc
  .array(
    fc.record({
      eighths: fc.integer({ min: 1, max: 8 }),
      kind: fc.constantFrom('note', 'note', 'note', 'rest', 'breath'),
    }),
    { minLength: 1, maxLength: 30 },
  )
  .map((tokens) =>
    tokens
      .map(
        ({ eighths, kind }) => `${kind === 'rest' ? 'z' : ''}${eighths / 2}${kind === 'breath' ? ',' : ''}`,
      )
      .join(' '),
  );

const song: fc.Arbitrary<Song> = fc
  .record({
    lead: line,
    tenor: fc.option(line, { nil: undefined }),
    meter: fc.constantFrom('4/4', '3/4', '2/4', '2/2', '6/8', '5/4'),
    tempo: fc.integer({ min: 40, max: 260 }),
    pickup: fc.constantFrom(0, 0.5, 1),
    stanzas: fc.array(fc.constantFrom(1, 2, null), { maxLength: 5 }),
  })
  .map(({ lead, tenor, meter, tempo, pickup, stanzas }) =>
    tinySong(
      [
        {
          name: 'Verse',
          pickup,
          voices: [
            { part: 'lead', notes: lead, words: ['La, la la. La la-la la; la', 'Lo lo, lo-lo lo. Lo'] },
            ...(tenor === undefined ? [] : [{ part: 'tenor' as const, notes: tenor }]),
          ],
        },
      ],
      { meter, tempo, passes: stanzas.map((stanza) => ({ stanza })) },
    ),
  );

const timeline: fc.Arbitrary<Timeline> = fc
  .tuple(song, fc.boolean())
  .map(([each, played]) => (played ? roadmapTimeline(each) : writtenTimeline(each)));

describe('spaces of any song', () => {
  it('stand in order, inside the song, apart from each other, each with an id and a place of its own', () => {
    fc.assert(
      fc.property(timeline, (each) => {
        const spaces = findSpaces(each);
        let before = 0;
        for (const space of spaces) {
          expect(space.startTick).toBeGreaterThanOrEqual(before);
          expect(space.endTick).toBeGreaterThan(space.startTick);
          expect(space.guardTicks).toBeGreaterThanOrEqual(0);
          expect(space.guardTicks).toBeLessThanOrEqual(space.endTick - space.startTick);
          expect(space.beats).toBeGreaterThanOrEqual(DEFAULT_SPACE_OPTIONS.minBeats);
          before = space.endTick;
        }
        expect(before).toBeLessThanOrEqual(each.endTick);
        expect(new Set(spaces.map((space) => space.id)).size).toBe(spaces.length);
        expect(new Set(spaces.map((space) => JSON.stringify(space.place))).size).toBe(spaces.length);
      }),
      RUNS,
    );
  });

  it('overlap a sounding note of the lead only under its tail, and any note only there or where half-open', () => {
    fc.assert(
      fc.property(timeline, (each) => {
        const lead = leadVoice(each)?.id;
        for (const space of findSpaces(each)) {
          const silentFrom = space.startTick + space.tailTicks;
          for (const note of [...each.notes.values()].flat()) {
            const from = Math.max(note.startTick, silentFrom);
            const sounds = from < Math.min(note.endTick, space.endTick);
            if (!sounds) continue;
            expect(note.voiceId).not.toBe(lead);
            expect(['half-open', 'under-tail']).toContain(space.kind);
          }
        }
      }),
      RUNS,
    );
  });

  it('hold every silence of all voices that is long enough, whole but for the start and end of a break', () => {
    fc.assert(
      fc.property(timeline, (each) => {
        const notes = [...each.notes.values()].flat();
        const spaces = findSpaces(each);
        // Eighth by eighth: where nothing sounds for two counted beats around, a space must lie; for four where it may be felt in half time.
        const step = QUARTER / 2;
        const eighths = each.tempo.tempoAt(0) > 200 ? 8 : 4;
        const silent = (tick: number) => !notes.some((note) => note.startTick <= tick && note.endTick > tick);
        for (let tick = 0; tick + eighths * step <= each.endTick; tick += step) {
          const quiet = Array.from({ length: eighths }).every((_, i) => silent(tick + i * step));
          if (!quiet || each.barAt(tick).bar.meter.unit !== 4) continue;
          const cut = each.passes.some(
            (pass) => pass.startTick > tick && pass.startTick < tick + eighths * step,
          );
          const covered = spaces.some(
            (space) => space.startTick <= tick && space.endTick >= tick + eighths * step,
          );
          expect(covered || cut).toBe(true);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('grow by exactly a bar where an empty bar is put into them, and stand as they were elsewhere', () => {
    fc.assert(
      fc.property(song, (each) => {
        const before = writtenTimeline(each);
        const target = findSpaces(before).find(
          (space) => space.kind === 'between' || space.kind === 'closing',
        );
        const cut = target && before.bars.findIndex((bar) => bar.startTick > target.startTick);
        if (!target || cut === undefined || cut < 0) return;
        const at = before.bars[cut];
        const section = each.sections[0];
        if (!at || !section || at.startTick > target.endTick || at.bar.pickup) return;
        const full = before.bars.find((bar) => !bar.bar.pickup)?.bar;
        if (!full) return;
        const bars = [...section.bars];
        bars.splice(cut, 0, { ...full, id: 'empty' });
        const after = findSpaces(writtenTimeline({ ...each, sections: [{ ...section, bars }] }));
        const grown = after.find((space) => space.id === target.id);
        expect(grown?.startTick).toBe(target.startTick);
        expect(grown?.endTick).toBe(target.endTick + full.ticks);
        const others = (spaces: readonly { id: string }[]) =>
          spaces.filter((space) => space.id !== target.id);
        const kept = new Set(after.map((space) => space.id));
        for (const space of others(findSpaces(before).filter((each) => each.kind !== 'under-tail'))) {
          expect(kept).toContain(space.id);
        }
      }),
      RUNS,
    );
  });
});

describe('phrases of any song', () => {
  it('cover each voice, in order, without a break, and each says why it ends', () => {
    fc.assert(
      fc.property(timeline, fc.boolean(), (each, ignoreWords) => {
        const phrases = findPhrases(each, { ignoreWords });
        for (const [voiceId, notes] of each.notes) {
          let next = 0;
          for (const phrase of phrases.filter((one) => one.voiceId === voiceId)) {
            expect(phrase.firstNote).toBe(next);
            expect(phrase.lastNote).toBeGreaterThanOrEqual(next);
            expect(phrase.why.length).toBeGreaterThan(0);
            next = phrase.lastNote + 1;
          }
          expect(next).toBe(notes.length);
        }
        expect(new Set(phrases.map((phrase) => phrase.id)).size).toBe(phrases.length);
      }),
      RUNS,
    );
  });
});

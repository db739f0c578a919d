import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { must } from '../../../lib/base';
import { readAbc } from '../../../lib/exchange';
import { keySchema, roadmapTimeline, type Song, type Timeline, writtenTimeline } from '../../../lib/song';
import { findSpaces, type Space } from '../../../lib/spaces';

// Source of every count in expected.json: Common practice, no source: counted by hand from the page.
const folder = new URL('../../tunes/', import.meta.url);
const text = (name: string) => readFileSync(new URL(name, folder), 'utf8');

const spaceSchema = z.strictObject({
  bar: z.number(),
  beat: z.number(),
  beats: z.number(),
  kind: z.enum(['between', 'closing', 'half-open', 'under-tail']),
  heldBeats: z.number(),
  chords: z.array(z.string()).optional(),
});
const tuneSchema = z.strictObject({
  file: z.string(),
  title: z.string(),
  key: keySchema,
  meter: z.string(),
  quartersPerMinute: z.number(),
  bars: z.number(),
  pickupBeats: z.number(),
  notes: z.number(),
  spaces: z.array(spaceSchema),
  tenorNotes: z.number().optional(),
  barQuarters: z.array(z.number()).optional(),
  played: z.strictObject({ bars: z.number(), notes: z.number(), spaces: z.array(spaceSchema) }).optional(),
  stanzas: z.array(z.array(z.string().nullable())).optional(),
});
const { tunes } = z
  .strictObject({ source: z.string(), tunes: z.array(tuneSchema) })
  .parse(JSON.parse(text('expected.json')));
type ExpectedSpace = z.infer<typeof spaceSchema>;

async function read(file: string): Promise<Song> {
  let count = 0;
  const answer = await readAbc(text(file), { makeId: () => `id ${count++}`, title: 'none' });
  if (!answer.ok) throw new Error(answer.error.what);
  expect(answer.value.report).toMatchObject({ guessed: [], leftOut: [] });
  return answer.value.song;
}

/**
 * The silences are counted; how much of a held note before them is a tail is the model's to say, so what it finds
 * there is only checked to lie under a note of two beats or more.
 */
function expectSpaces(timeline: Timeline, expected: readonly ExpectedSpace[]) {
  const all = findSpaces(timeline, { minBeats: 1, ignoreWords: false });
  const found = all.filter((space) => space.kind !== 'under-tail');
  for (const { after } of all.filter((space) => space.kind === 'under-tail')) {
    const held = must(after, 'the held note');
    expect(held.endTick - held.startTick).toBeGreaterThanOrEqual(2 * 960);
  }
  expect(found.map(seen)).toEqual(expected.map(counted));
  expected.forEach((each, i) => {
    const space = must(found[i], 'the space');
    if (each.chords) expect(space.chords.map((chord) => chord.symbol)).toEqual(each.chords);
  });
}
const seen = ({ bar, beat, beats, kind }: Space) => ({ bar, beat, beats, kind });
const counted = ({ bar, beat, beats, kind }: ExpectedSpace) => ({ bar, beat, beats, kind });

describe('the ten tunes', () => {
  it('are all listed, in the counts and in the README', () => {
    const files = readdirSync(folder).filter((name) => name.endsWith('.abc'));
    expect(files.length).toBe(10);
    expect(tunes.map((tune) => tune.file).sort()).toEqual(files.sort());
    for (const { file, title } of tunes) {
      expect(text('README.md')).toContain(`${file}, _${title}_`);
    }
  });

  it.each(tunes)('$file is read as it stands', async (tune) => {
    const song = await read(tune.file);
    const bars = song.sections.flatMap((section) => section.bars);
    const voice = must(song.voices[0], 'a voice');
    expect(song.title).toBe(tune.title);
    expect(song.key).toEqual(tune.key);
    expect(song.tempo).toBe(tune.quartersPerMinute);
    expect(bars.filter((bar) => !bar.pickup).length).toBe(tune.bars);
    expect(bars.filter((bar) => bar.pickup).map((bar) => bar.ticks / 960)).toEqual(
      tune.pickupBeats > 0 ? [tune.pickupBeats] : [],
    );
    expect(bars.map((bar) => `${bar.meter.count}/${bar.meter.unit}`)).toContain(tune.meter);
    expect(writtenTimeline(song).notes.get(voice.id)?.length).toBe(tune.notes);
    if (tune.barQuarters) expect(bars.map((bar) => bar.ticks / 960)).toEqual(tune.barQuarters);
    if (tune.tenorNotes !== undefined) {
      const tenor = must(
        song.voices.find((each) => each.part === 'tenor'),
        'a tenor',
      );
      expect(song.notes.filter((note) => note.voiceId === tenor.id).length).toBe(tune.tenorNotes);
    }
    tune.stanzas?.forEach((words, stanza) => {
      expect(song.notes.map((note) => note.syllables[stanza]?.text ?? null)).toEqual(words);
    });
  });

  it.each(tunes.filter((tune) => tune.spaces.every(({ kind }) => kind !== 'under-tail')))(
    '$file has the spaces that were counted',
    async (tune) => {
      expectSpaces(writtenTimeline(await read(tune.file)), tune.spaces);
    },
  );

  it('has a space under the tail of eight held beats, up to where the singer comes in', async () => {
    const tune = must(
      tunes.find((each) => each.stanzas),
      'the tune with the tail',
    );
    const found = findSpaces(writtenTimeline(await read(tune.file)));
    expect(found.map((space) => space.kind)).toEqual(['under-tail', 'closing']);
    const under = must(found[0], 'the space');
    // Held from the start of bar 3; let go at bar 5, beat 3; bar 6 begins the next phrase.
    expect(under.endTick).toBe(5 * 3 * 960);
    expect(under.startTick).toBeGreaterThan(2 * 3 * 960);
    expect(under.startTick).toBeLessThan(4 * 3 * 960 + 2 * 960);
    expect(found.slice(1).map(seen)).toEqual(tune.spaces.slice(1).map(counted));
  });

  it('plays the repeat with its endings', async () => {
    const tune = must(
      tunes.find((each) => each.played),
      'the tune with endings',
    );
    const played = must(tune.played, 'its counts');
    const song = await read(tune.file);
    const timeline = roadmapTimeline(song);
    expect(timeline.bars.length).toBe(played.bars);
    expect([...timeline.notes.values()].map((notes) => notes.length)).toEqual([played.notes]);
    expect(song.passes.map(({ stanza, ending }) => [stanza, ending])).toEqual([
      [1, 1],
      [2, 2],
    ]);
    expectSpaces(timeline, played.spaces);
  });
});

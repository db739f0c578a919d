import { describe, expect, it } from 'vitest';
import { type WhereItStands, whereItStands } from '@/app/plan/where-it-stands';
import { itemAt } from '@/lib/base';
import { arrange } from '@/lib/parts';
import type { Answer, Role, Song } from '@/lib/song';
import type { Space } from '@/lib/spaces';
import { tinySong } from '../spaces/tiny-song';

/** A verse with a space in it, and a pass in which nobody sings. */
const SUNG = tinySong([{ name: 'Verse', voices: [{ part: 'lead', notes: '4 z8 4' }] }], { tempo: 120 });
const verse = itemAt(SUNG.sections, 0);
const withRoles = (roles: Readonly<Record<string, Role>>): Song => ({
  ...SUNG,
  passes: [
    { id: 'sung', sectionId: verse.id, stanza: 1, ending: 1, name: '', roles: {} },
    { id: 'break', sectionId: verse.id, stanza: null, ending: 1, name: '', roles },
  ],
});

const answerAt = (space: Space): Answer => ({
  id: 'a',
  place: space.place,
  extent: { from: 0, to: 960 },
  holding: { kind: 'left open' },
  by: null,
  at: 0,
});

describe('where an entry of a plan stands', () => {
  const song = withRoles({ ann: 'break' });
  const before = arrange(song);
  const spaceOf = (kind: 'between' | 'instrumental') =>
    itemAt(
      before.spaces.filter((space) => space.kind === kind),
      0,
    );
  const at = (
    entry: { space: Space; holder: string | null; settled?: boolean },
    now: Song = song,
  ): WhereItStands => whereItStands({ settled: false, ...entry }, arrange(now));

  it('is undecided while the song says nothing there, and settled since or before', () => {
    const entry = { space: spaceOf('between'), holder: 'ann' };
    const settled = { ...song, settled: [answerAt(entry.space)] };
    expect(at(entry)).toBe('undecided');
    expect(at({ ...entry, holder: null })).toBe('undecided');
    expect(at(entry, settled)).toBe('settled now');
    expect(at({ ...entry, settled: true }, settled)).toBe('settled before');
    // What was settled then and is unclaimed again, the plan says nothing about.
    expect(at({ ...entry, settled: true })).toBe('changed');
  });

  it('says what the order of the song says already of a pass in which nobody sings', () => {
    const space = spaceOf('instrumental');
    expect(at({ space, holder: 'ann' })).toBe('has the break');
    expect(at({ space, holder: 'ben' })).toBe('undecided');
    expect(at({ space, holder: null })).toBe('no break');
  });

  it('says so where the song has changed: a space that is longer, or gone', () => {
    const entry = { space: spaceOf('between'), holder: 'ann' };
    const first = itemAt(song.notes, 0);
    const shorter = {
      ...song,
      notes: song.notes.map((note) => (note === first ? { ...note, ticks: 480 } : note)),
    };
    expect(at(entry, shorter)).toBe('changed');
    expect(at(entry, { ...song, passes: song.passes.slice(1) })).toBe('changed');
  });
});

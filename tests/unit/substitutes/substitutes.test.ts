import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { itemAt, must } from '@/lib/base';
import { originOf } from '@/lib/fills';
import type { InstrumentName } from '@/lib/instruments';
import {
  type Answer,
  checkSong,
  type FillNote,
  ROLES,
  roadmapTimeline,
  type Song,
  samePlace,
} from '@/lib/song';
import { findSpaces } from '@/lib/spaces';
import { substituteIn } from '@/lib/substitutes';
import { guest, handedOver, holderOf, open, players, plays, songs, value, whereNamed } from './hand-over';

/** The song without what a substitute may change: what is left has to be the same before and after. */
function apartFrom(song: Song, from: string, to: string) {
  const others = ({ playerId }: { readonly playerId: string | null }) => playerId !== from && playerId !== to;
  const bare = (answer: Answer) => ({ ...answer, holding: null, extent: null });
  const isOthers = (answer: Answer) => ![from, to].includes(holderOf(answer) ?? '');
  return {
    ...song,
    passes: song.passes.map((pass) => ({
      ...pass,
      roles: Object.fromEntries(Object.entries(pass.roles).filter(([id]) => id !== from && id !== to)),
    })),
    settings: song.settings.filter(others),
    voices: song.voices.map((voice) => ({ ...voice, playerId: null })),
    singing: song.singing.filter((each) => others(each) && each.playerId !== null),
    start: { ...song.start, playerId: null, counts: null },
    ending: { ...song.ending, signalBy: null },
    settled: song.settled.map(bare),
    proposals: [],
    others: [...song.settled, ...song.proposals].filter((each) => isOthers(each) && holderOf(each) !== null),
  };
}

/** Source, from memory: usual tunings of the instruments, MIDI note numbers, the first string first. */
const OPEN: Readonly<Partial<Record<InstrumentName, readonly number[]>>> = {
  guitar: [64, 59, 55, 50, 45, 40],
  banjo: [62, 59, 55, 50, 67],
  mandolin: [76, 69, 62, 55],
  fiddle: [76, 69, 62, 55],
  bass: [43, 38, 33, 28],
};

describe('everything of one player given to another', () => {
  it('leaves nothing of theirs, changes nothing else, and one undo gives the song back exactly', () => {
    const some = fc.record({
      song: fc.integer({ min: 0, max: 1 }),
      from: fc.integer({ min: 0, max: 4 }),
      to: fc.integer({ min: 0, max: 5 }),
      roles: fc.array(fc.option(fc.constantFrom(...ROLES), { nil: undefined }), {
        minLength: 24,
        maxLength: 24,
      }),
      voices: fc.array(fc.integer({ min: 0, max: 4 }), { minLength: 3, maxLength: 3 }),
      named: fc.array(fc.integer({ min: 0, max: 5 }), { minLength: 3, maxLength: 3 }),
      singers: fc.array(fc.integer({ min: 0, max: 5 }), { minLength: 3, maxLength: 3 }),
      holders: fc.array(fc.integer({ min: 0, max: 4 }), { minLength: 30, maxLength: 30 }),
    });
    fc.assert(
      fc.property(some, (made) => {
        const from = itemAt(players, made.from);
        const to = players[made.to] ?? guest({ sings: 'lead' });
        fc.pre(from.id !== to.id);
        const idOf = (index: number) => players[index]?.id ?? null;
        const base = itemAt(songs, made.song);
        const song: Song = {
          ...base,
          passes: base.passes.map((pass, i) => ({
            ...pass,
            roles: Object.fromEntries(
              [from, to, itemAt(players, 2)].flatMap((player, k) => {
                const role = made.roles[(i * 3 + k) % 24];
                return role ? [[player.id, role]] : [];
              }),
            ),
          })),
          voices: base.voices.map((voice, i) => ({ ...voice, playerId: idOf(made.voices[i] ?? 5) })),
          start: { ...base.start, playerId: idOf(made.named[0] ?? 0), counts: idOf(made.named[1] ?? 0) },
          ending: { ...base.ending, signalBy: idOf(made.named[2] ?? 0) },
          singing: base.voices.slice(0, 3).map((voice, i) => ({
            passId: itemAt(base.passes, i).id,
            voiceId: voice.id,
            noteId: null,
            playerId: idOf(made.singers[i] ?? 0),
          })),
          settled: base.settled.map((answer, i) =>
            answer.holding.kind === 'ad lib'
              ? {
                  ...answer,
                  holding: { kind: 'ad lib', playerId: must(idOf(made.holders[i] ?? 0), 'a player') },
                }
              : answer,
          ),
        };
        const all = players.includes(to) ? players : [...players, to];
        const said = value(substituteIn({ song, players: all, fromId: from.id, toId: to.id }));
        const page = open(song);
        const before = page.song();
        let updates = 0;
        page.doc.on('update', () => {
          updates += 1;
        });
        value(page.edits.substitute(said.writes));
        const now = page.song();
        expect(updates).toBeLessThanOrEqual(1);
        expect(whereNamed(now, from.id)).toEqual([]);
        expect(apartFrom(now, from.id, to.id)).toEqual(apartFrom(before, from.id, to.id));
        expect(checkSong(now)).toEqual([]);
        // Whatever the other one held, they hold as it was; nothing of theirs is taken from them.
        const own = before.settled.filter((each) => holderOf(each) === to.id);
        for (const answer of own) expect(now.settled).toContainEqual(answer);
        // Each space that was held and is left open is told of.
        const lost = now.settled.filter(
          ({ id, holding }) =>
            holding.kind === 'left open' &&
            before.settled.some((each) => each.id === id && each.holding.kind !== 'left open'),
        );
        expect(said.left.filter((each) => each.endsWith('; left open')).length).toBe(lost.length);
        page.edits.undo();
        expect(page.song()).toEqual(before);
        page.edits.redo();
        expect(page.song()).toEqual(now);
      }),
      { numRuns: 120 },
    );
  }, 120_000);

  it('keeps every note where instrument and tuning are the same', () => {
    const song = itemAt(songs, 1);
    const { now, said } = handedOver(song, plays('banjo'), guest({ instruments: ['banjo'] }));
    const fills = song.settled.filter(
      ({ holding }) => holding.kind === 'fill' && holding.playerId === plays('banjo').id,
    );
    expect(fills.length).toBeGreaterThan(1);
    for (const { id, holding } of fills)
      expect(now.settled.find((each) => each.id === id)?.holding).toEqual({ ...holding, playerId: 'guest' });
    expect(said.anew).toEqual([]);
    expect(now.settings.find(({ playerId }) => playerId === 'guest')).toEqual({
      ...must(
        song.settings.find(({ playerId }) => playerId === plays('banjo').id),
        'a setting',
      ),
      playerId: 'guest',
    });
  });

  it('solves them anew on the same instrument where the substitute has fills of their own on another capo', () => {
    const song = itemAt(songs, 1);
    const banjo = plays('banjo').id;
    const theirs = song.settled.filter((each) => holderOf(each) === banjo);
    const first = itemAt(theirs, 0);
    if (first.holding.kind !== 'fill') throw new Error('the banjo has no fill');
    const own = {
      playerId: 'guest',
      instrument: 'banjo',
      tuning: 'standard',
      capo: 4,
      fifthCapo: null,
    } as const;
    const idea: Answer = { ...first, id: 'own', holding: { ...first.holding, playerId: 'guest' } };
    const before: Song = {
      ...song,
      settings: [...song.settings, { ...own, rule: null }],
      proposals: [...song.proposals, idea],
    };
    const { now, said } = handedOver(before, plays('banjo'), guest({ instruments: ['banjo'] }));
    expect(now.settings.find(({ playerId }) => playerId === 'guest')?.capo).toBe(4);
    expect(said.kept).toBe(0);
    expect(said.anew).toHaveLength(theirs.length);
    expect(now.proposals).toContainEqual(idea);
  });

  it('solves fills anew on another instrument: each note sounds where it is written, inside its space', () => {
    for (const song of songs) {
      for (const instrument of ['guitar', 'banjo', 'mandolin', 'fiddle', 'bass'] as const) {
        for (const from of players) {
          const to = guest({ instruments: [instrument] });
          const { now, said } = handedOver(song, from, to);
          const setting = must(
            now.settings.find(({ playerId }) => playerId === to.id),
            'a setting',
          );
          expect(setting.instrument).toBe(instrument);
          const timeline = roadmapTimeline(now);
          const spaces = findSpaces(timeline);
          const strings = must(OPEN[instrument], instrument);
          const sounds = ({ string, fret }: FillNote) =>
            (strings[string - 1] ?? -1) +
            fret +
            (instrument === 'banjo' && string === 5 ? (setting.fifthCapo ?? setting.capo) : setting.capo);
          const theirs = now.settled.filter((each) => holderOf(each) === to.id);
          for (const { holding, place } of theirs) {
            if (holding.kind !== 'fill') continue;
            const space = must(
              spaces.find((each) => samePlace(each.place, place)),
              'a space',
            );
            for (const note of holding.fill.notes) {
              if (setting.tuning === 'standard') expect(sounds(note)).toBe(note.midi);
              expect(note.tick + originOf(space)).toBeGreaterThanOrEqual(space.startTick);
              expect(note.tick + note.ticks + originOf(space)).toBeLessThanOrEqual(space.endTick);
            }
          }
          // Each is one of three: kept, anew, or left and told.
          const before = [...song.settled, ...song.proposals].filter((each) => holderOf(each) === from.id);
          const left = said.left.filter((each) => /; left open$|taken back$/.test(each));
          expect(said.kept + said.anew.length + left.length).toBe(before.length);
        }
      }
    }
  }, 60_000);

  it('takes the nearest family: a roll stays even notes, wherever the instrument has them', () => {
    const { said } = handedOver(itemAt(songs, 1), plays('banjo'), guest({ instruments: ['fiddle'] }));
    // Common practice, no source: what a fiddle has of a roll's even notes is a shuffle.
    expect(said.anew).toEqual([
      'bar 19: the backward roll on banjo is now shuffle on fiddle',
      'bar 27: the alternating thumb roll on banjo is now shuffle on fiddle',
    ]);
  });
});

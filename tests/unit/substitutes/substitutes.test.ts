import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { itemAt, must, type Result } from '@/lib/base';
import { keptIn, MOST_KEPT, newSongDocument, readSong, SongEdits, songKept } from '@/lib/document';
import { originOf } from '@/lib/fills';
import type { InstrumentName } from '@/lib/instruments';
import { whoIsFree } from '@/lib/players';
import {
  type Answer,
  checkSong,
  type FillNote,
  type Player,
  ROLES,
  roadmapTimeline,
  type Song,
  samePlace,
} from '@/lib/song';
import { findSpaces } from '@/lib/spaces';
import { type Substitute, substituteIn } from '@/lib/substitutes';
import { demoBand } from '@/server/demo';

const value = <T>(result: Result<T>): T => {
  if (!result.ok) throw new Error(`${result.error.what}: ${result.error.where}`);
  return result.value;
};

let players: readonly Player[];
let songs: readonly Song[];
beforeAll(async () => {
  const demo = await demoBand();
  players = demo.band.players;
  songs = demo.songs;
});
const plays = (instrument: InstrumentName) =>
  must(
    players.find(({ instruments }) => instruments[0] === instrument),
    instrument,
  );
/** Somebody who has no part in any song yet. */
const guest = (fields: Partial<Player> = {}): Player => ({
  ...plays('guitar'),
  id: 'guest',
  name: 'Lou',
  sings: 'none',
  range: null,
  ...fields,
});

function open(song: Song) {
  const doc = newSongDocument(song);
  let count = 0;
  const makeId = () => {
    count += 1;
    return `n${count}`;
  };
  return {
    doc,
    edits: new SongEdits(doc, { by: 'guest', now: () => 5, makeId }),
    song: () => readSong(doc).song,
  };
}

/** A song after a substitute, through the document; and what was said of it. */
function handedOver(
  song: Song,
  from: Player,
  to: Player,
  instrument?: InstrumentName,
): { readonly now: Song; readonly said: Substitute } {
  const all = [...players, ...[from, to].filter((each) => !players.includes(each))];
  const given = { song, players: all, fromId: from.id, toId: to.id };
  const said = value(substituteIn(instrument ? { ...given, instrument } : given));
  const page = open(song);
  value(page.edits.substitute(said.writes));
  return { now: page.song(), said };
}

const holderOf = ({ holding }: Answer) => (holding.kind === 'left open' ? null : holding.playerId);

/** Every place of a song in which it says that a player does something. */
function whereNamed(song: Song, id: string): readonly string[] {
  return [
    ...song.passes.flatMap(({ roles }) => (id in roles && roles[id] !== 'lay out' ? ['a role'] : [])),
    ...song.settings.flatMap(({ playerId }) => (playerId === id ? ['a setting'] : [])),
    ...song.voices.flatMap(({ playerId }) => (playerId === id ? ['a voice'] : [])),
    ...song.singing.flatMap(({ playerId }) => (playerId === id ? ['a change of singer'] : [])),
    ...[song.start.playerId, song.start.counts, song.ending.signalBy].flatMap((each) =>
      each === id ? ['start or ending'] : [],
    ),
    ...[...song.settled, ...song.proposals].flatMap((each) => (holderOf(each) === id ? ['an answer'] : [])),
  ];
}

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

describe('what a substitute sings and does', () => {
  const roleIn = (song: Song, name: string, id: string) =>
    song.passes.find((pass) => pass.name === name)?.roles[id];
  /** Two passes of the waltz with roles of our own, and voices given to two. */
  const staged = (): Song => {
    const base = itemAt(songs, 1);
    const [guitar, banjo] = [plays('guitar').id, plays('banjo').id];
    const [first, second, third] = base.passes;
    const roles = [
      { [guitar]: 'lead' as const, [banjo]: 'harmony' as const },
      { [guitar]: 'break' as const, [banjo]: 'backup' as const },
      { [guitar]: 'backup' as const, [banjo]: 'lay out' as const },
    ];
    return {
      ...base,
      passes: [first, second, third].map((pass, i) => ({
        ...must(pass, 'a pass'),
        name: `P${i}`,
        stanza: 1,
        roles: itemAt(roles, i),
      })),
      settled: [],
      proposals: [],
      votes: [],
      singing: [],
      voices: base.voices.map((voice) => ({
        ...voice,
        playerId: voice.part === 'lead' ? guitar : voice.part === 'tenor' ? banjo : null,
      })),
    };
  };

  it('gives the role that is heard more, and tells what is missed then', () => {
    const { now, said } = handedOver(staged(), plays('guitar'), plays('banjo'));
    const id = plays('banjo').id;
    expect([0, 1, 2].map((i) => roleIn(now, `P${i}`, id))).toEqual(['lead', 'break', 'backup']);
    expect(now.voices.find(({ part }) => part === 'lead')?.playerId).toBe(id);
    expect(now.voices.find(({ part }) => part === 'tenor')?.playerId).toBeNull();
    const { name } = plays('banjo');
    expect(said.left).toEqual([`the tenor: ${name} sings the lead now; it is left open`]);
    // A harmony that nobody sings is heard nowhere.
    const tenor = must(
      now.voices.find(({ part }) => part === 'tenor'),
      'a tenor',
    );
    expect(roadmapTimeline(now).notes.get(tenor.id)).toEqual([]);
  });

  it('gives no voice to who does not sing, and a harmony only as far as they reach', () => {
    const song = staged();
    const silent = handedOver(song, plays('guitar'), guest());
    expect(silent.said.left).toEqual(['the lead: Lou does not sing; it is left open']);
    expect(roleIn(silent.now, 'P0', 'guest')).toBeUndefined();
    expect(roleIn(silent.now, 'P1', 'guest')).toBe('break');

    const low = guest({ sings: 'tenor', range: { low: 36, high: 48 } });
    const out = handedOver(song, plays('banjo'), low);
    expect(out.said.left).toHaveLength(1);
    expect(out.said.left[0]).toMatch(/^the tenor: Lou does not reach it, it goes up to/);
    expect(out.now.voices.find(({ part }) => part === 'tenor')?.playerId).toBeNull();

    const high = guest({ sings: 'tenor', range: { low: 36, high: 96 } });
    const goes = handedOver(song, plays('banjo'), high);
    expect(goes.said.left).toEqual([]);
    expect(goes.now.voices.find(({ part }) => part === 'tenor')?.playerId).toBe('guest');
    expect(roleIn(goes.now, 'P0', 'guest')).toBe('harmony');
  });

  it('hands on what somebody sings without its being said, where they alone of the band sing that part', () => {
    const song = staged();
    const unsaid: Song = {
      ...song,
      passes: song.passes.map((pass) => ({ ...pass, roles: {} })),
      voices: song.voices.map((voice) => ({ ...voice, playerId: null })),
    };
    const lead = must(
      players.find(({ sings }) => sings === 'lead'),
      'who sings the lead',
    );
    const gone = handedOver(unsaid, lead, guest());
    expect(gone.said.isNothing).toBe(false);
    expect(gone.said.left).toEqual(['the lead: Lou does not sing; it is left open']);
    expect(gone.now.voices).toEqual(unsaid.voices);
    expect(gone.now.singing).toEqual([]);
    const given = handedOver(unsaid, lead, guest({ sings: 'baritone' }));
    expect(given.said.left).toEqual([]);
    expect(given.now.voices.find(({ part }) => part === 'lead')?.playerId).toBe('guest');
    // Two who sing the lead: nobody can say whose it is.
    const other = guest({ sings: 'lead' });
    expect(handedOver(unsaid, lead, other).now.voices).toEqual(unsaid.voices);
  });

  it('leaves a space open where the substitute lays out, as who is away did, and says so', () => {
    const base = itemAt(songs, 1);
    const lead = plays('guitar');
    const theirs = base.settled.find(
      ({ holding }) => holding.kind === 'fill' && holding.playerId === plays('banjo').id,
    );
    const { now, said } = handedOver(
      // The banjo has a fill in a pass in which both lay out.
      {
        ...base,
        passes: base.passes.map((pass) =>
          pass.id === theirs?.place.passId
            ? { ...pass, roles: { [lead.id]: 'lay out', [plays('banjo').id]: 'lay out' } }
            : pass,
        ),
        voices: base.voices.map((voice) => ({ ...voice, playerId: null })),
      },
      plays('banjo'),
      lead,
    );
    expect(now.settled.find(({ id }) => id === theirs?.id)?.holding).toEqual({ kind: 'left open' });
    expect(said.left).toContainEqual(expect.stringMatching(/^bar 19: .* lays out in .*; left open$/));
  });

  // Common practice, no source: who is not there that evening plays nothing, backup least of all, and somebody who stands in plays what they did.
  it('has whoever is away lay out in every pass, so that nobody counts on them', () => {
    for (const song of songs) {
      const { now } = handedOver(song, plays('banjo'), guest({ instruments: ['banjo'] }));
      const { id } = plays('banjo');
      expect(new Set(now.passes.map(({ roles }) => roles[id]))).toEqual(new Set(['lay out']));
      const timeline = roadmapTimeline(now);
      const context = { timeline, players, spaces: findSpaces(timeline), settled: now.settled };
      for (const space of context.spaces) {
        const freedom = must(
          whoIsFree(space, context).find(({ playerId }) => playerId === id),
          'the banjo',
        );
        expect(freedom.free).toBe(false);
        expect(freedom.reasons.map(({ detail }) => detail).join()).toMatch(/^lays out in /);
      }
    }
  });

  it('has who steps in play backup where who is away would have, also when it goes back to them', () => {
    const song = { ...staged(), passes: staged().passes.map((pass) => ({ ...pass, roles: {} })) };
    const [banjo, to] = [plays('banjo'), guest({ instruments: ['banjo'] })];
    const there = handedOver(song, banjo, to);
    expect(there.said.isNothing).toBe(false);
    expect([0, 1, 2].map((i) => roleIn(there.now, `P${i}`, banjo.id))).toEqual(
      Array.from({ length: 3 }, () => 'lay out'),
    );
    const back = handedOver(there.now, to, banjo);
    expect([0, 1, 2].map((i) => roleIn(back.now, `P${i}`, banjo.id))).toEqual([
      undefined,
      undefined,
      undefined,
    ]);
    expect([0, 1, 2].map((i) => roleIn(back.now, `P${i}`, 'guest'))).toEqual(
      Array.from({ length: 3 }, () => 'lay out'),
    );
    // Who lays out already has nothing to give.
    expect(handedOver(there.now, banjo, to).said.isNothing).toBe(true);
  });

  it('refuses who is one, who is not there, and an instrument that they do not play', () => {
    const song = itemAt(songs, 0);
    const ask = (fromId: string, toId: string, instrument?: InstrumentName) =>
      substituteIn(
        instrument ? { song, players, fromId, toId, instrument } : { song, players, fromId, toId },
      );
    const [one, other] = [itemAt(players, 0).id, plays('fiddle').id];
    expect(ask(one, one).ok).toBe(false);
    expect(ask(one, 'nobody').ok).toBe(false);
    expect(ask('nobody', one).ok).toBe(false);
    const refused = ask(one, other, 'banjo');
    expect(refused.ok ? null : refused.error.mend).toBe('choose one of theirs: fiddle');
  });
});

describe('the edit', () => {
  it('keeps the song as it was, in the same step, and gives it back with what came after kept in its stead', () => {
    const song = itemAt(songs, 1);
    const to = guest({ instruments: ['banjo'] });
    const { writes } = value(
      substituteIn({ song, players: [...players, to], fromId: plays('banjo').id, toId: to.id }),
    );
    const page = open(song);
    const before = page.song();
    let updates = 0;
    page.doc.on('update', () => {
      updates += 1;
    });
    const id = value(page.edits.substituteKeeping(writes, 'Before Lou'));
    expect(updates).toBe(1);
    const handed = page.song();
    expect(whereNamed(handed, to.id)).not.toEqual([]);
    expect(keptIn(page.doc).map(({ name }) => name)).toEqual(['Before Lou']);

    // One undo takes all of it back, and what was kept with it.
    page.edits.undo();
    expect(page.song()).toEqual(before);
    expect(keptIn(page.doc)).toEqual([]);
    page.edits.redo();
    expect(page.song()).toEqual(handed);

    // Later, and by somebody else, it is gone back to.
    const later = new SongEdits(page.doc, { by: null, now: () => 9, makeId: () => 'later' });
    value(later.setTitle('Another title'));
    value(later.giveBack(id));
    expect({ ...page.song(), proposals: [] }).toEqual({ ...before, proposals: [] });
    expect(keptIn(page.doc).map(({ name }) => name)).toEqual(['Before going back to Before Lou']);
    expect(value(songKept(page.doc, 'later')).title).toBe('Another title');
    expect(later.giveBack(id).ok).toBe(false);
  });

  it('writes nothing at all where nothing more can be kept', () => {
    const song = itemAt(songs, 1);
    const to = guest({ instruments: ['banjo'] });
    const { writes } = value(
      substituteIn({ song, players: [...players, to], fromId: plays('banjo').id, toId: to.id }),
    );
    const page = open(song);
    for (let i = 0; i < MOST_KEPT; i++) value(page.edits.keep(`state ${i}`));
    const before = page.song();
    expect(page.edits.substituteKeeping(writes, 'Before Lou').ok).toBe(false);
    expect(page.edits.substituteKeeping({ ...writes, toId: writes.fromId }, 'Before Lou').ok).toBe(false);
    expect(page.song()).toEqual(before);
  });

  it('passes over what is gone meanwhile, and takes nothing that is not sound', () => {
    const song = itemAt(songs, 1);
    const to = guest({ instruments: ['banjo'] });
    const { writes } = value(
      substituteIn({ song, players: [...players, to], fromId: plays('banjo').id, toId: to.id }),
    );
    const page = open(song);
    const before = page.song();
    expect(page.edits.substitute({ ...writes, setting: { ...writes.setting, capo: 99 } }).ok).toBe(false);
    expect(page.edits.substitute({ ...writes, toId: writes.fromId }).ok).toBe(false);
    const flat = writes.answers.map((each) => ({ ...each, extent: { from: 5, to: 5 } }));
    expect(page.edits.substitute({ ...writes, answers: flat }).ok).toBe(false);
    expect(page.song()).toEqual(before);
    const gone = itemAt(writes.answers, 0);
    const place = must(before.settled.find(({ id }) => id === gone.answerId)?.place, 'a place');
    value(page.edits.unsettle(place));
    value(page.edits.substitute(writes));
    expect(page.song().settled.some(({ id }) => id === gone.answerId)).toBe(false);
    expect(whereNamed(page.song(), writes.fromId)).toEqual([]);
  });
});

import { describe, expect, it } from 'vitest';
import { itemAt, must } from '@/lib/base';
import type { InstrumentName } from '@/lib/instruments';
import { whoIsFree } from '@/lib/players';
import { roadmapTimeline, type Song } from '@/lib/song';
import { findSpaces } from '@/lib/spaces';
import { substituteIn } from '@/lib/substitutes';
import { guest, handedOver, players, plays, songs } from './hand-over';

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

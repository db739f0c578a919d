import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { lastOf } from '../../../lib/base';
import {
  distanceOf,
  MIN_DISTANCE,
  type Offer,
  type OfferRequest,
  varyFill,
  WAYS,
  type Way,
} from '../../../lib/fills';
import { INSTRUMENTS } from '../../../lib/instruments';
import { generatedSong, offersFor, requestFor, SIX_BEATS } from './songs';

const players = INSTRUMENTS.filter((name) => name !== 'voice');

const onsets = (offer: Offer) => new Set(offer.notes.map((note) => note.tick)).size;
const mean = (offer: Offer) => offer.notes.reduce((sum, note) => sum + note.midi, 0) / offer.notes.length;

/** What a way promises, said anew. */
function expectDone(way: Way, before: Offer, after: Offer): void {
  expect(after.family).toBe(before.family);
  if (way === 'same idea again') expect(distanceOf(before, after)).toBeGreaterThanOrEqual(MIN_DISTANCE);
  if (way === 'fewer notes') {
    expect(after.notes.length).toBeLessThan(before.notes.length);
    expect(onsets(after)).toBeLessThan(onsets(before));
    expect(onsets(after)).toBeGreaterThanOrEqual(3);
  }
  if (way === 'more notes') {
    expect(after.notes.length).toBeGreaterThan(before.notes.length);
    expect(onsets(after)).toBeGreaterThan(onsets(before));
  }
  if (way === 'higher') expect(mean(after)).toBeGreaterThanOrEqual(mean(before) + 1);
  if (way === 'lower') expect(mean(after)).toBeLessThanOrEqual(mean(before) - 1);
}

const LOW = new Set(['bass run', 'walk', 'root and fifth', 'turnaround']);

/** Inside the space; clear of the guard unless it is low; one sound a string at a time. */
function expectInPlace(request: OfferRequest, offer: Offer): void {
  const { space } = request;
  const limit = LOW.has(offer.family) ? space.endTick : space.endTick - space.guardTicks;
  for (const [i, note] of offer.notes.entries()) {
    expect(note.tick).toBeGreaterThanOrEqual(space.startTick);
    expect(note.tick + note.ticks).toBeLessThanOrEqual(Math.max(limit, space.startTick));
    for (const other of offer.notes.slice(i + 1))
      if (other.string === note.string) expect(other.tick).toBeGreaterThanOrEqual(note.tick + note.ticks);
  }
}

describe('an idea once more', () => {
  test.each(players)('each turn of an idea of the %s does what it says', (instrument) => {
    const request = requestFor(SIX_BEATS, instrument, { count: 4 });
    for (const offer of offersFor(request))
      for (const way of WAYS) {
        const turned = varyFill(request, offer, way);
        if (!turned.ok) {
          expect(turned.error.mend).not.toBe('');
          continue;
        }
        expectDone(way, offer, turned.value);
        expectInPlace(request, turned.value);
        expect(turned.value.score).toBe(turned.value.reasons.reduce((sum, { weight }) => sum + weight, 0));
      }
  });

  test.each(players)('most ideas of the %s can be thinned out and turned again', (instrument) => {
    const request = requestFor(SIX_BEATS, instrument, { count: 4 });
    const offers = offersFor(request);
    const had = (way: Way) => offers.filter((offer) => varyFill(request, offer, way).ok).length;
    expect(had('fewer notes') / offers.length).toBeGreaterThanOrEqual(0.6);
    expect(had('same idea again')).toBeGreaterThanOrEqual(1);
    expect(had('higher') + had('lower')).toBeGreaterThanOrEqual(offers.length / 2);
  });

  test('in songs of all kinds each turn does what it says, the same way twice', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 100_000 }),
        fc.constantFrom(...players),
        fc.constantFrom(...WAYS),
        fc.nat(5),
        (seed, instrument, way, which) => {
          const request = requestFor(generatedSong(seed), instrument, { count: 4 });
          const offers = offersFor(request);
          const offer = offers[which % Math.max(1, offers.length)];
          if (!offer) return;
          const turned = varyFill(request, offer, way);
          if (!turned.ok) return;
          expectDone(way, offer, turned.value);
          expectInPlace(request, turned.value);
          expect(varyFill(request, offer, way)).toEqual(turned);
        },
      ),
      { numRuns: 16 },
    );
  });

  test('what was seen does not come back, and it is said when there is no more', () => {
    const request = requestFor(SIX_BEATS, 'guitar', { count: 4 });
    const roll = offersFor(request).find((offer) => offer.family === 'forward roll');
    if (!roll) throw new Error('the guitar has a forward roll');
    const seen: Offer[] = [roll];
    for (let press = 0; press < 30; press++) {
      const next = varyFill(request, lastOf(seen), 'same idea again', seen);
      if (!next.ok) {
        expect(next.error.what).toBe('there is no other forward roll here');
        break;
      }
      for (const other of seen) expect(distanceOf(other, next.value)).toBeGreaterThanOrEqual(MIN_DISTANCE);
      seen.push(next.value);
    }
    expect(seen.length).toBeGreaterThanOrEqual(3);
    expect(seen.length).toBeLessThan(30);
  });

  test('three notes are not thinned out any more', () => {
    const request = requestFor(SIX_BEATS, 'guitar', { count: 4 });
    let offer = offersFor(request)[0];
    if (!offer) throw new Error('the guitar has ideas');
    for (let press = 0; press < 20; press++) {
      const next = varyFill(request, offer, 'fewer notes');
      if (!next.ok) break;
      offer = next.value;
    }
    expect(onsets(offer)).toBeGreaterThanOrEqual(3);
    expect(onsets(offer)).toBeLessThanOrEqual(5);
    expect(varyFill(request, offer, 'fewer notes').ok).toBe(false);
  });
});

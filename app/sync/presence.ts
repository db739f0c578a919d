import type { Awareness } from 'y-protocols/awareness';
import { z } from 'zod';
import { type Place, placeSchema } from '../../lib/song';
import { Observable } from './observable';

/** What a window says of the person at it. */
export interface Presence {
  /** Null for a listener, and for who has not said yet. */
  readonly playerId: string | null;
  readonly name: string;
  readonly initials: string;
  readonly ink: number;
  /** The space that they touch. */
  readonly place: Place | null;
}

/** Where on a board somebody looks: a line, and the pass that it is in. */
export interface Sight {
  readonly pass: string;
  readonly line: string;
}

/** A place that somebody shows the others: a space, or a line where it is none. */
export interface Shown {
  /** Counts up, so that the same place can be shown again. */
  readonly nth: number;
  readonly place: Place | null;
  readonly sight: Sight;
}

/** Where somebody else is on a board. Apart from what a peer is, since it changes as often as they scroll. */
export interface Whereabouts {
  readonly windowId: number;
  readonly playerId: string | null;
  readonly name: string;
  /** The space that they have open. */
  readonly place: Place | null;
  /** Null where there is nothing to look at, or they do not say. */
  readonly sight: Sight | null;
  readonly shown: Shown | null;
}

/** Somebody else who has this document open, as far as they say. */
export interface Peer extends Presence {
  /** Of that window, for as long as it is open. */
  readonly windowId: number;
}

const presenceSchema: z.ZodType<Presence> = z.object({
  playerId: z.string().min(1).max(80).nullable(),
  name: z.string().max(80),
  initials: z.string().max(4),
  ink: z.int().min(0).max(7),
  place: placeSchema.nullable(),
});

const sightSchema: z.ZodType<Sight> = z.object({ pass: z.string().max(200), line: z.string().max(200) });
const whereaboutsSchema: z.ZodType<Omit<Whereabouts, 'windowId'>> = z.object({
  playerId: z.string().min(1).max(80).nullable(),
  name: z.string().max(80),
  place: placeSchema.nullable(),
  // Pages of other versions say nothing of these.
  sight: sightSchema.nullable().default(null),
  shown: z
    .object({ nth: z.int().min(1), place: placeSchema.nullable(), sight: sightSchema })
    .nullable()
    .default(null),
});

/** The others, live. What they send is read through a schema, like any input: who says what cannot be read is left out. */
export function watchPeers(awareness: Awareness): Observable<readonly Peer[]> {
  return watch(awareness, presenceSchema);
}

/** Where the others are, live; read as strictly. */
export function watchWhereabouts(awareness: Awareness): Observable<readonly Whereabouts[]> {
  return watch(awareness, whereaboutsSchema);
}

/** Set anew only when something that the schema reads has changed. */
function watch<T extends object>(
  awareness: Awareness,
  schema: z.ZodType<T>,
): Observable<readonly (T & { readonly windowId: number })[]> {
  const others = new Observable(readOthers(awareness, schema));
  let before = JSON.stringify(others.getSnapshot());
  awareness.on('change', () => {
    const now = readOthers(awareness, schema);
    const text = JSON.stringify(now);
    if (text === before) return;
    before = text;
    others.set(now);
  });
  return others;
}

function readOthers<T extends object>(
  awareness: Awareness,
  schema: z.ZodType<T>,
): readonly (T & { readonly windowId: number })[] {
  const others: (T & { readonly windowId: number })[] = [];
  for (const [windowId, state] of awareness.getStates()) {
    if (windowId === awareness.clientID) continue;
    const read = schema.safeParse(state);
    if (read.success) others.push({ ...read.data, windowId });
  }
  return others.sort((a, b) => a.windowId - b.windowId);
}

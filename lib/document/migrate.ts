import type * as Y from 'yjs';
import { must } from '../base';
import { BAND_VERSION, type DocumentKind, kindOf, mapOf, SONG_VERSION, versionOf } from './layout';

/** From one version to the next. It only adds: a page of the version before can still read what it knew. */
export interface Migration {
  readonly from: number;
  /** What it adds, in a line. */
  readonly adds: string;
  readonly run: (doc: Y.Doc) => void;
}

export interface Migrated {
  /** 0 where nothing has been put into the document yet. */
  readonly from: number;
  readonly to: number;
  readonly changed: boolean;
}

/** Marks the transactions of migrations. */
export const MIGRATION = 'migration';

/** For each kind, the migration from version n at place n - 1. A new version is a new row. */
export const MIGRATIONS: Readonly<Record<DocumentKind, readonly Migration[]>> = {
  song: [
    {
      from: 1,
      adds: 'how far the song has been transposed: not at all, since nobody could',
      run: (doc) => mapOf(doc, 'meta').set('shift', 0),
    },
    {
      from: 2,
      adds: 'nothing yet: nobody could say where a phrase ends, who sings a line, how the song starts and ends',
      run: () => {},
    },
    {
      from: 3,
      adds: 'nothing yet: nobody could keep the song as it was agreed on',
      run: () => {},
    },
  ],
  band: [
    {
      from: 1,
      adds: 'nothing yet: nobody could change the settings of the band, and figures, remarks and pairs of songs were not kept',
      run: () => {},
    },
    {
      from: 2,
      adds: 'nothing yet: nobody could say how long the way to the microphone is, and who stands where',
      run: () => {},
    },
  ],
};

/**
 * Brings a document up to this program's version, in one transaction. Called by the server only, when it loads the document and
 * before anybody is sent it. A newer document is left as it is, and so is one without a kind or version.
 */
export function migrate(doc: Y.Doc): Migrated {
  const kind = kindOf(doc);
  if (kind === null) return { from: 0, to: 0, changed: false };
  return migrateBy(doc, MIGRATIONS[kind], kind === 'song' ? SONG_VERSION : BAND_VERSION);
}

/** As `migrate`, by a given table. */
export function migrateBy(doc: Y.Doc, table: readonly Migration[], to: number): Migrated {
  const from = versionOf(doc);
  if (from === null) return { from: 0, to: 0, changed: false };
  if (from >= to) return { from, to: from, changed: false };
  const steps = Array.from({ length: to - from }, (_, i) =>
    must(
      table.find((migration) => migration.from === from + i),
      `migration from version ${from + i}`,
    ),
  );
  doc.transact(() => {
    for (const step of steps) step.run(doc);
    mapOf(doc, 'meta').set('version', to);
  }, MIGRATION);
  return { from, to, changed: true };
}

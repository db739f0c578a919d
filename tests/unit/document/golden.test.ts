import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import * as Y from 'yjs';
import {
  BAND_VERSION,
  type DocumentKind,
  documentKind,
  kindOf,
  MIGRATIONS,
  type Migration,
  migrate,
  newBandDocument,
  readBand,
  readSong,
  SONG_VERSION,
  versionOf,
} from '@/lib/document';
import { migrateBy } from '@/lib/document/migrate';
import { BAND } from './sample';

const VERSIONS: readonly (readonly [DocumentKind, number])[] = [
  ['song', SONG_VERSION],
  ['band', BAND_VERSION],
];
const stored = (name: string) => readFileSync(new URL(`../../golden/${name}`, import.meta.url));

function load(kind: DocumentKind, version: number): Y.Doc {
  const doc = new Y.Doc();
  Y.applyUpdate(doc, stored(`${kind}-v${version}.bin`));
  return doc;
}

const upTo = (version: number) => Array.from({ length: version }, (_, i) => i + 1);

describe('stored documents', () => {
  for (const [kind, current] of VERSIONS) {
    for (const version of upTo(current)) {
      it(`a ${kind} of version ${version} is brought up to date and reads as what was put in`, () => {
        const doc = load(kind, version);
        expect([kindOf(doc), versionOf(doc)]).toEqual([kind, version]);
        expect(migrate(doc)).toEqual({ from: version, to: current, changed: version < current });
        expect(versionOf(doc)).toBe(current);
        const expected: unknown = JSON.parse(stored(`${kind}-v${version}.json`).toString());
        if (kind === 'song') expect(readSong(doc)).toEqual({ song: expected, broken: [], readOnly: false });
        else expect(readBand(doc)).toEqual({ band: expected, broken: [], readOnly: false });
        expect(migrate(doc).changed).toBe(false);
      });
    }

    it(`every migration of a ${kind} runs on a stored document of an older version`, () => {
      const ran = new Set<Migration>();
      const spied = MIGRATIONS[kind].map((migration) => ({
        ...migration,
        run: (doc: Y.Doc) => {
          ran.add(migration);
          migration.run(doc);
        },
      }));
      for (const version of upTo(current)) migrateBy(load(kind, version), spied, current);
      expect([...ran]).toEqual(MIGRATIONS[kind]);
      expect(MIGRATIONS[kind].map((migration) => migration.from)).toEqual(upTo(current - 1));
    });
  }
});

describe('migrating', () => {
  const table: Migration[] = [
    { from: 1, adds: 'a mood', run: (doc) => doc.getMap('meta').set('mood', 'glad') },
    {
      from: 2,
      adds: 'a mark',
      run: (doc) => doc.getMap('meta').set('mark', `${doc.getMap('meta').get('mood')}!`),
    },
  ];

  const firstVersion = () => {
    const doc = newBandDocument(BAND);
    doc.getMap('meta').set('version', 1);
    return doc;
  };

  it('goes version by version, in one transaction, and keeps all there was', () => {
    const doc = firstVersion();
    let updates = 0;
    doc.on('update', () => {
      updates += 1;
    });
    expect(migrateBy(doc, table, 3)).toEqual({ from: 1, to: 3, changed: true });
    expect(updates).toBe(1);
    expect(doc.getMap('meta').get('mark')).toBe('glad!');
    expect(readBand(doc)).toEqual({ band: BAND, broken: [], readOnly: BAND_VERSION !== 3 });
    expect(migrateBy(doc, table, 3)).toEqual({ from: 3, to: 3, changed: false });
  });

  it('leaves a newer document and an empty one as they are', () => {
    const doc = newBandDocument(BAND);
    doc.getMap('meta').set('version', 9);
    const state = Y.encodeStateAsUpdate(doc);
    expect(migrate(doc)).toEqual({ from: 9, to: 9, changed: false });
    expect(Y.encodeStateAsUpdate(doc)).toEqual(state);
    expect(readBand(doc)).toEqual({ band: BAND, broken: [], readOnly: true });
    expect(migrate(new Y.Doc())).toEqual({ from: 0, to: 0, changed: false });
  });

  it('fails loudly where a migration is missing from the table', () => {
    expect(() => migrateBy(firstVersion(), table.slice(1), 3)).toThrow('missing: migration from version 1');
  });
});

it('a document’s kind stands in its name', () => {
  expect(['song.b.s', 'band.b', 'song', 'other.b', ''].map(documentKind)).toEqual([
    'song',
    'band',
    null,
    null,
    null,
  ]);
});

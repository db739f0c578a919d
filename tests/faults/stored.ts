import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import type { Damage } from '../../server/ports';
import { inspectStore, openSqliteStore } from '../../server/store';
import { mergeNumbered, numbersIn } from './numbered';
import type { Report } from './suite';

/** What the programs of children/store.ts were told, document by document. */
export interface Said {
  readonly made: ReadonlySet<number>;
  readonly kept: ReadonlyMap<number, ReadonlySet<number>>;
  readonly closed: boolean;
}

export function readSaid(text: string): Said {
  const made = new Set<number>();
  const kept = new Map<number, Set<number>>();
  const lines = text.split('\n');
  // A line that was not finished was not said.
  for (const line of lines.slice(0, -1)) {
    const [document = '', number = ''] = line.split(' ');
    if (document === 'made') made.add(Number(number));
    else if (document !== 'closed') {
      const known = kept.get(Number(document)) ?? new Set();
      known.add(Number(number));
      kept.set(Number(document), known);
    }
  }
  return { made, kept, closed: lines.includes('closed') };
}

export const saidBeside = (file: string): string => {
  const path = join(dirname(file), 'said');
  return existsSync(path) ? readFileSync(path, 'utf8') : '';
};

/**
 * Opens a store as the next start would, and looks for everything that was called kept: whole, once, and in order.
 * Edits that were not called kept may be there or not.
 */
export async function verify(file: string, text: string, where: string, report: Report): Promise<void> {
  const said = readSaid(text);
  const damaged: Damage[] = [];
  const store = openSqliteStore(file, {
    merge: mergeNumbered,
    events: { damaged: (damage) => damaged.push(damage) },
  });
  let count = 0;
  try {
    for (const [document, kept] of said.kept) {
      const stored = await store.load(`d${document}`);
      const found = numbersIn(stored?.updates ?? []);
      const there = new Set(found);
      const missing = [...kept].filter((number) => !there.has(number));
      report.lost(
        missing.length,
        `${where}: document ${document}, updates ${missing.slice(0, 10).join(', ')}`,
      );
      count += kept.size;
      if (there.size !== found.length) report.wrong(`${where}: document ${document} holds an update twice`);
      if (found.some((number, i) => i > 0 && number < (found[i - 1] ?? 0)))
        report.wrong(`${where}: document ${document} is out of order`);
    }
    report.kept(count);
    for (const { document, place } of damaged) report.wrong(`${where}: a damaged ${place} in ${document}`);
  } finally {
    await store.close();
  }
  if (said.kept.size === 0) return;
  const { structure } = inspectStore(file, ({ damaged }) => {
    if (damaged.length > 0) report.wrong(`${where}: damaged rows`);
  });
  for (const text of structure) report.wrong(`${where}: ${text}`);
}

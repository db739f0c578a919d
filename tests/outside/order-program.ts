/**
 * The order of an evening as an integer program for highs: a unit of flow goes from place to place over pairs of neighbours, each song is
 * stood on once. Written from the cost tables alone; it shares no code with the search.
 * Source, from memory: J.-C. Picard and M. Queyranne, 'The time-dependent traveling salesman problem', 1978.
 */
import loadHighs from 'highs';
import type { CostTables } from '@/lib/sets/model';

const TOO_DEAR = 1e8;

/** @param held by place, the song held there; costs in tenths, as the tables have them */
export function orderProgram(tables: CostTables, held: ReadonlyMap<number, number>): string {
  const { count, place, link, breakLink, breakAfter, constant } = tables;
  const objective: string[] = [];
  const rows: string[] = [];
  const names: string[] = [];
  const inflow = new Map<string, string[]>();
  const outflow = new Map<string, string[]>();
  const add = (map: Map<string, string[]>, key: string, name: string) =>
    map.set(key, [...(map.get(key) ?? []), name]);
  const mayStand = (at: number, song: number) =>
    (held.get(at) ?? song) === song && [...held].every(([p, s]) => s !== song || p === at);
  const term = (cost: number, name: string) => {
    objective.push(`${cost < 0 ? '-' : '+'} ${Math.abs(cost)} ${name}`);
    names.push(name);
  };
  for (let song = 0; song < count; song++) {
    const cost = place[song] ?? 0;
    if (cost > TOO_DEAR || !mayStand(0, song)) continue;
    const name = `f_${song}`;
    term(cost, name);
    add(inflow, `0_${song}`, name);
  }
  for (let at = 0; at + 1 < count; at++) {
    for (let from = 0; from < count; from++) {
      for (let to = 0; to < count; to++) {
        if (from === to || !mayStand(at, from) || !mayStand(at + 1, to)) continue;
        const between = (breakAfter[at] ? breakLink : link)[from * count + to] ?? 0;
        const cost = between + (place[(at + 1) * count + to] ?? 0);
        if (cost > TOO_DEAR) continue;
        const name = `x_${at}_${from}_${to}`;
        term(cost, name);
        add(outflow, `${at}_${from}`, name);
        add(inflow, `${at + 1}_${to}`, name);
      }
    }
  }
  rows.push(
    ` ${(inflow.size > 0 ? names.filter((name) => name.startsWith('f_')) : ['f_0']).join(' + ')} = 1`,
  );
  for (let at = 0; at < count; at++) {
    for (let song = 0; song < count; song++) {
      const into = inflow.get(`${at}_${song}`) ?? [];
      const out = outflow.get(`${at}_${song}`) ?? [];
      if (at + 1 === count || (into.length === 0 && out.length === 0)) continue;
      rows.push(` ${[...into.map((name) => `+ ${name}`), ...out.map((name) => `- ${name}`)].join(' ')} = 0`);
    }
  }
  for (let song = 0; song < count; song++) {
    const stood = Array.from({ length: count }, (_, at) => inflow.get(`${at}_${song}`) ?? []).flat();
    rows.push(` ${stood.map((name) => `+ ${name}`).join(' ')} = 1`);
  }
  const numbered = rows.map((row, i) => ` r${i}:${row}`);
  return `Minimize\n obj: ${objective.join(' ')} + ${constant} one\nSubject To\n${numbered.join('\n')}\nBounds\n one = 1\nBinary\n ${names.join('\n ')}\nEnd\n`;
}

/** The least cost by highs, in tenths, and the time that it took. */
export async function leastByIntegers(
  tables: CostTables,
  held: ReadonlyMap<number, number> = new Map(),
): Promise<{ readonly cost: number; readonly milliseconds: number }> {
  const highs = await loadHighs();
  const program = orderProgram(tables, held);
  const start = performance.now();
  const solution = highs.solve(program, { mip_rel_gap: 0, mip_abs_gap: 0 });
  const milliseconds = performance.now() - start;
  if (solution.Status !== 'Optimal') throw new Error(`the program is ${solution.Status}`);
  return { cost: Math.round(solution.ObjectiveValue), milliseconds };
}

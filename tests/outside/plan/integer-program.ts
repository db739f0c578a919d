import { itemAt } from '../../../lib/base';
import { OPEN, type PlanModel } from '../../../lib/plan';

/**
 * A plan's model as an integer program in the LP format, for a general solver: a way from a source to a sink by way of the spaces that are
 * held, an arc (s, p) → (t, q) for 'q holds t next after p held s, all between left open', and for each choice its n-th turn
 * as a number from 0 to 1 (turns never fall in cost, so the cheaper ones are taken first: convex fairness as it is). Written from the
 * model's own words; it shares no step with the search.
 */
export function integerProgram(model: PlanModel): string {
  const spaces = model.own.length;
  const nodes: Node[] = [];
  for (let space = 0; space < spaces; space++)
    for (let holder = 1; holder <= model.players; holder++)
      if (Number.isFinite(own(model, space, holder))) nodes.push({ space, holder });
  const source: Node = { space: -1, holder: 0 };
  const sink: Node = { space: spaces, holder: 0 };
  const arcs: Arc[] = [];
  for (const from of [source, ...nodes])
    for (const to of [...nodes, sink]) {
      if (to.space <= from.space) continue;
      const cost = arcCost(model, from, to);
      if (Number.isFinite(cost)) arcs.push({ from, to, cost, name: `a${arcs.length}` });
    }
  const turns = Array.from({ length: model.players + 1 }, (_, choice) =>
    Array.from({ length: spaces }, (_, k) => ({
      name: `t${choice}_${k + 1}`,
      cost: itemAt(itemAt(model.turns, choice), k + 1),
    })),
  );
  const rows: string[] = [];
  const into = (node: Node) => arcs.filter(({ to }) => same(to, node)).map(({ name }) => name);
  const outOf = (node: Node) => arcs.filter(({ from }) => same(from, node)).map(({ name }) => name);
  rows.push(`${outOf(source).join(' + ')} = 1`);
  for (const node of nodes) {
    const terms = [...into(node), ...outOf(node).map((name) => `- ${name}`)];
    if (terms.length > 0) rows.push(`${joined(terms)} = 0`);
  }
  for (let choice = 0; choice <= model.players; choice++) {
    const weights = new Map<string, number>();
    for (const arc of arcs) {
      const count = choice === OPEN ? openBetween(model, arc) : arc.to.holder === choice ? 1 : 0;
      if (count > 0) weights.set(arc.name, count);
    }
    const taken = [...weights].map(([name, count]) => `${count} ${name}`);
    const counted = itemAt(turns, choice).map(({ name }) => `- ${name}`);
    rows.push(`${joined([...taken, ...counted])} = 0`);
  }
  const all = [...arcs, ...turns.flat()];
  return [
    'Minimize',
    ` obj: ${joined(all.map(({ name, cost }) => `${cost < 0 ? '- ' : ''}${Math.abs(cost)} ${name}`))}`,
    'Subject To',
    ...rows.map((row, i) => ` c${i}: ${row}`),
    'Bounds',
    ...turns.flat().map(({ name }) => ` 0 <= ${name} <= 1`),
    'Binary',
    ` ${arcs.map(({ name }) => name).join(' ')}`,
    'End',
  ].join('\n');
}

interface Node {
  readonly space: number;
  readonly holder: number;
}

interface Arc {
  readonly from: Node;
  readonly to: Node;
  readonly cost: number;
  readonly name: string;
}

const same = (a: Node, b: Node) => a.space === b.space && a.holder === b.holder;

function own(model: PlanModel, space: number, choice: number): number {
  return itemAt(itemAt(model.own, space), choice);
}

function arcCost(model: PlanModel, from: Node, to: Node): number {
  let cost = 0;
  for (let space = from.space + 1; space < to.space; space++) cost += own(model, space, OPEN);
  if (to.holder === 0) return cost;
  cost += own(model, to.space, to.holder);
  if (from.holder === 0) return cost;
  const next = to.space === from.space + 1;
  if (next && from.holder === to.holder && model.tooClose[to.space]?.[to.holder])
    return Number.POSITIVE_INFINITY;
  const way = Math.max(...model.relation.slice(from.space + 1, to.space + 1));
  return cost + itemAt(itemAt(itemAt(model.after, way), from.holder), to.holder);
}

function openBetween(model: PlanModel, { from, to }: Arc): number {
  let count = 0;
  for (let space = from.space + 1; space < to.space; space++) if (!itemAt(model.uncounted, space)) count += 1;
  return count;
}

function joined(terms: readonly string[]): string {
  return terms.map((term, i) => (i === 0 || term.startsWith('- ') ? term : `+ ${term}`)).join('\n ');
}

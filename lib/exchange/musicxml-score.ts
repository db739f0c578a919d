import { fail, itemAt, ok, type Result } from '../base';
import { child, childrenOf, textOf, type XmlElement } from './xml-tree';

/** A part as written: its measures in order. */
export interface ScorePart {
  readonly id: string;
  /** Null where the score gives none, or only a program's default. */
  readonly name: string | null;
  readonly measures: readonly XmlElement[];
}

export interface Score {
  readonly title: string | null;
  /** Top of the page first. */
  readonly parts: readonly ScorePart[];
  /** It was written measure by measure and was turned round. */
  readonly timewise: boolean;
}

/** Elements that say how a page looks, who made it, or how a program plays it. */
export const PASS_OVER: ReadonlySet<string> = new Set([
  'appearance',
  'beam',
  'credit',
  'defaults',
  'figured-bass',
  'frame',
  'identification',
  'midi-device',
  'midi-instrument',
  'notehead',
  'part-abbreviation',
  'print',
  'score-instrument',
  'stem',
]);

const DEFAULT_NAMES = /^(?:musicxml part|part[ _-]?\d*|instrument \d*|unnamed-?\d*|p\d+)?$/i;

/** The parts of a score, from either of the two ways in which MusicXML writes them. Source: MusicXML 4.0, score-partwise and score-timewise. */
export function scoreOf(root: XmlElement): Result<Score> {
  const timewise = root.name === 'score-timewise';
  if (!timewise && root.name !== 'score-partwise')
    return fail(
      root.name === 'opus'
        ? 'this is a list of scores, not a score'
        : `this XML is no score: it begins with "${root.name.slice(0, 60)}"`,
      'line 1',
      'export one song as MusicXML (its first element is score-partwise)',
    );
  const listed = new Map(
    childrenOf(child(root, 'part-list'), 'score-part').map((part) => [
      part.attributes.id ?? '',
      textOf(part, 'part-name')?.replace(/\s+/g, ' ') ?? '',
    ]),
  );
  const measures = new Map<string, XmlElement[]>();
  if (timewise) {
    for (const measure of childrenOf(root, 'measure')) {
      for (const part of childrenOf(measure, 'part')) {
        const own = { ...part, name: 'measure', attributes: measure.attributes };
        add(measures, part.attributes.id ?? '', [own]);
      }
    }
  } else
    for (const part of childrenOf(root, 'part'))
      add(measures, part.attributes.id ?? '', childrenOf(part, 'measure'));
  const ids = [...new Set([...listed.keys(), ...measures.keys()])];
  const parts = ids.flatMap((id): ScorePart[] => {
    const own = measures.get(id) ?? [];
    const name = listed.get(id) ?? '';
    return own.length === 0
      ? []
      : [{ id, name: DEFAULT_NAMES.test(name) ? null : name.slice(0, 60), measures: own }];
  });
  if (parts.length === 0)
    return fail('this score has no measures', 'the whole file', 'export it again with its notes');
  const title = textOf(child(root, 'work'), 'work-title') || textOf(root, 'movement-title') || null;
  return ok({ title: title?.replace(/\s+/g, ' ') ?? null, parts, timewise });
}

function add(measures: Map<string, XmlElement[]>, id: string, more: readonly XmlElement[]): void {
  const there = measures.get(id);
  if (there) there.push(...more);
  else measures.set(id, [...more]);
}

/** Says a place in a score by the offset of the element that stands there: `bar 12 of Lead`. */
export function placesOf(score: Score): (at: number) => string {
  const starts = score.parts
    .flatMap((part) =>
      part.measures.map((measure, i) => ({
        at: measure.at,
        said: `bar ${measure.attributes.number ?? i + 1}${score.parts.length > 1 ? ` of ${part.name ?? part.id}` : ''}`,
      })),
    )
    .sort((a, b) => a.at - b.at);
  return (at) => {
    let low = 0;
    let high = starts.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (itemAt(starts, middle).at <= at) low = middle + 1;
      else high = middle;
    }
    return starts[low - 1]?.said ?? 'the head of the score';
  };
}

import type { BoardPassProps } from './pass-props';
import type { Facts } from './useFacts';
import type { TalkWay } from './useTalk';
import type { WordsWay } from './useWords';

/** What a pass at rest is drawn from. What opens in it, and what is done from there, counts only while it does. */
const DRAWN_FROM = [
  'arrangement',
  'band',
  'edits',
  'you',
  'pass',
  'played',
  'name',
  'time',
  'hang',
  'onWords',
] as const satisfies readonly (keyof BoardPassProps)[];

const TOLD = [
  'playerOf',
  'breakOf',
  'instrumentOf',
  'troubleOf',
  'closed',
] as const satisfies readonly (keyof Facts)[];

/** Of a pass, what is looked at. */
export type PassNow = Pick<BoardPassProps, (typeof DRAWN_FROM)[number] | 'open'> & {
  readonly facts: Pick<Facts, (typeof TOLD)[number]>;
  readonly way: Pick<WordsWay, 'place'>;
  readonly talk: Pick<TalkWay, 'talk' | 'at'>;
  readonly backup: Pick<BoardPassProps['backup'], 'isOpen'>;
};

/**
 * Whether a pass would be drawn just as it stands: nothing is open in it, nothing was, and what it is drawn from stays. So somebody
 * who goes from space to space has two passes drawn anew, in however long a song.
 */
export function standsStill(before: PassNow, now: PassNow): boolean {
  return (
    isAtRest(before) &&
    isAtRest(now) &&
    DRAWN_FROM.every((name) => before[name] === now[name]) &&
    TOLD.every((name) => before.facts[name] === now.facts[name]) &&
    before.talk.talk === now.talk.talk
  );
}

/** Whether neither a space, nor words, nor a talk, nor the backup is open in a pass. */
function isAtRest({ pass, played, open, way, talk, backup }: PassNow): boolean {
  if (backup.isOpen || (talk.at?.kind === 'pass' && talk.at.id === played?.id)) return false;
  const talked = talk.at?.kind === 'line' ? talk.at.id : null;
  return pass.lines.every(
    (line) =>
      line.key !== talked &&
      line.key !== way.place?.lineKey &&
      (open === null || open.startTick >= line.endTick || open.endTick <= line.startTick),
  );
}

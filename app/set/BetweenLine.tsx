'use client';

import type { Between, Instead, Placed } from '../../lib/sets';
import type { SetEntry } from '../../lib/song';
import { Button } from '../ui/Button';
import { figure, moreOrLess, reasonSaid } from './rules';

/** What lies between a song and the next, in words and seconds; on wish, what it costs and what the next best would. */
export function BetweenLine({
  entry,
  between,
  placed,
  instead,
  titleOf,
  nameOf,
  isOpen,
  onToggle,
}: {
  readonly entry: SetEntry;
  readonly between: Between;
  /** The song that follows, at its place. */
  readonly placed: Placed | undefined;
  /** Null: no other order one change away; undefined: not asked. */
  readonly instead: Instead | null | undefined;
  readonly titleOf: (id: string) => string;
  readonly nameOf: (playerId: string) => string;
  readonly isOpen: boolean;
  readonly onToggle: () => void;
}) {
  const { from, to, atBreak, changes, heard, reasons, cost } = between;
  const all = [...reasons, ...(placed?.reasons ?? [])];
  return (
    <div className="my-1 border-l border-faint pl-4" data-between>
      <p className="aside flex flex-wrap items-baseline gap-x-4">
        <span>{betweenSaid(entry, between)}</span>
        {!atBreak && (
          <Button label={`Why ${titleOf(to)} follows ${titleOf(from)}`} expanded={isOpen} onPress={onToggle}>
            {isOpen ? 'less' : 'why'}
          </Button>
        )}
      </p>
      {isOpen && !atBreak && (
        <dl className="plain mb-3 grid max-w-prose gap-x-4 gap-y-1 sm:grid-cols-[max-content_1fr]">
          {changes.map(({ playerId, instrument, steps, seconds }) => (
            <Row key={playerId} term={nameOf(playerId)}>
              {instrument}: {steps.join(', ')}, {figure(seconds)} s
            </Row>
          ))}
          <Row term="the crowd hears">
            {heard.key}; {heard.tempo}
          </Row>
          <Row term="it costs">
            {all.length === 0
              ? 'nothing: nobody waits, and no key, tempo or voice comes twice running'
              : `${figure(cost + (placed?.cost ?? 0))}: ${all.map(reasonSaid).join('; ')}`}
          </Row>
          <Row term="next best">
            {instead
              ? `${titleOf(instead.songId)} after ${titleOf(from)}: the whole order would cost ${instead.more === 0 ? 'the same' : moreOrLess(instead.more)}`
              : 'no other song can follow here without moving what is held or joined'}
          </Row>
        </dl>
      )}
    </div>
  );
}

function Row({ term, children }: { readonly term: string; readonly children: React.ReactNode }) {
  return (
    <>
      <dt className="text-quiet">{term}</dt>
      <dd>{children}</dd>
    </>
  );
}

function betweenSaid({ linkBars }: SetEntry, { atBreak, seconds, steps }: Between): string {
  const changes = steps.join('; ');
  if (atBreak) return changes ? `break; meanwhile ${changes}` : 'break';
  const link =
    linkBars === null || linkBars === 0 ? '' : `, ${linkBars} link ${linkBars === 1 ? 'bar' : 'bars'}`;
  const wait = linkBars !== null && seconds > 0 ? `, ${Math.round(seconds)} s to wait` : '';
  const much = linkBars === null ? `${Math.round(seconds)} s` : `straight on${link}${wait}`;
  return changes ? `${much}: ${changes}` : much;
}

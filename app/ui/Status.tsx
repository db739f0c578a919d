'use client';

import type { DocumentStatus, Unkept } from '../sync';

/** Whether what I do here is kept, by the server's word alone; said aloud when it turns bad or good again. */
export function statusText(status: DocumentStatus): string {
  const { state, loaded, mayEdit, onDevice, unkept, merged } = status;
  if (state === 'not allowed') return status.problem?.what ?? 'You may not read this any more.';
  if (state === 'offline') {
    if (!loaded) return 'Not connected: trying again. What is shown may be out of date.';
    if (!onDevice) return 'Not connected: your edits stay on this page until it is back.';
    if (unkept === null) return 'Not connected: what you do stays on this device until it is back.';
    return `Not connected: ${edits(unkept)} on this device only, since ${timeText(unkept.since)}.`;
  }
  if (state === 'keeping') return !loaded ? 'opening …' : unkept ? 'keeping …' : 'connecting …';
  if (!mayEdit) return unkept ? `${edits(unkept)} made here not taken: you are a listener.` : 'up to date';
  return merged ? 'kept, merged with what others did meanwhile' : 'kept';
}

const edits = ({ count }: Unkept): string => (count === 1 ? 'one edit' : `${count} edits`);

/** The time of day; with the date where it was not today. */
function timeText(at: number): string {
  const then = new Date(at);
  const isToday = then.toDateString() === new Date().toDateString();
  const time = { hour: 'numeric', minute: '2-digit' } as const;
  return then.toLocaleString(undefined, isToday ? time : { day: 'numeric', month: 'long', ...time });
}

export function Status({ status }: { readonly status: DocumentStatus }) {
  const grave = status.state === 'offline' || status.state === 'not allowed';
  return (
    <>
      <span
        className={`plain text-[0.9375rem] ${grave ? 'text-accent' : 'text-quiet'}`}
        data-state={status.state}
        data-merged={status.merged ? '' : undefined}
      >
        {statusText(status)}
      </span>
      {/* 'keeping …' and 'kept' come and go at every edit: only what asks for attention is read out. */}
      <span role="status" className="sr-only">
        {grave || status.merged ? statusText(status) : ''}
      </span>
    </>
  );
}

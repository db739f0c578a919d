'use client';

import type { DocumentStatus } from '../sync';

/** Whether what I do here is kept, by the server's word alone; said aloud when it turns bad or good again. */
export function statusText(status: DocumentStatus): string {
  if (status.state === 'not allowed') return status.problem?.what ?? 'You may not read this any more.';
  if (status.state === 'offline') {
    return status.loaded
      ? 'Not connected: your edits stay on this page until it is back.'
      : 'Not connected: trying again. What is shown may be out of date.';
  }
  if (status.state === 'keeping') return status.loaded ? 'keeping …' : 'opening …';
  return status.mayEdit ? 'kept' : 'up to date';
}

export function Status({ status }: { readonly status: DocumentStatus }) {
  const grave = status.state === 'offline' || status.state === 'not allowed';
  return (
    <>
      <span
        className={`plain text-[0.9375rem] ${grave ? 'text-accent' : 'text-quiet'}`}
        data-state={status.state}
      >
        {statusText(status)}
      </span>
      {/* 'keeping …' and 'kept' come and go at every edit: only what asks for attention is read out. */}
      <span role="status" className="sr-only">
        {grave ? statusText(status) : ''}
      </span>
    </>
  );
}

'use client';

import { useEffect, useId, useState } from 'react';

/** A field in the text, kept when it is left or with Enter; what cannot be kept goes back to what was there. */
export function KeptField({
  label,
  before,
  after,
  value,
  most,
  width,
  figures = false,
  placeholder,
  onKeep,
}: {
  /** For who cannot see the page, where the words beside it do not say it. */
  readonly label?: string;
  readonly before?: string;
  readonly after?: string;
  readonly value: string;
  readonly most: number;
  readonly width: string;
  readonly figures?: boolean;
  readonly placeholder?: string;
  /** False where it cannot be kept. */
  readonly onKeep: (value: string) => boolean;
}) {
  const id = useId();
  const [draft, setDraft] = useState(value);
  useEffect(() => setDraft(value), [value]);
  const keep = () => {
    const text = draft.trim();
    if (text !== value && !onKeep(text)) setDraft(value);
  };
  return (
    <label htmlFor={id} className="plain flex max-w-full flex-wrap items-center gap-x-2">
      {before}
      <input
        id={id}
        aria-label={label}
        inputMode={figures ? 'numeric' : undefined}
        placeholder={placeholder}
        className={`min-h-(--touch) max-w-full border-0 border-edge border-b bg-transparent px-1 tabular-nums ${width}`}
        value={draft}
        maxLength={most}
        onChange={({ target }) => setDraft(target.value)}
        onBlur={keep}
        onKeyDown={({ key }) => key === 'Enter' && keep()}
      />
      {after}
    </label>
  );
}

'use client';

import { Button } from '../ui/Button';

/** What of one player's printed book is no longer as it is now. */
export interface Change {
  readonly playerId: string;
  readonly player: string;
  /** Milliseconds since 1970. */
  readonly printedAt: number;
  readonly parts: readonly { readonly name: string; readonly title: string }[];
  /** How many parts the book has. */
  readonly of: number;
}

/** Says which parts have changed since they were printed, and prints these alone. */
export function Changes({
  changes,
  disabled,
  onPrint,
}: {
  readonly changes: readonly Change[];
  readonly disabled: boolean;
  readonly onPrint: () => void;
}) {
  const any = changes.some(({ parts }) => parts.length > 0);
  return (
    <section aria-label="Since it was printed" aria-live="polite">
      {changes.map(({ playerId, player, printedAt, parts, of }) => (
        <div key={playerId}>
          <p>
            {player}, printed here on {new Date(printedAt).toISOString().slice(0, 10)}:{' '}
            {parts.length === 0
              ? 'the paper still holds.'
              : `${parts.length} of ${of} parts have changed since.`}
          </p>
          <ul className="aside list-disc pl-8">
            {parts.map(({ name, title }) => (
              <li key={name}>{title}</li>
            ))}
          </ul>
        </div>
      ))}
      {any && (
        <p>
          <Button shortcut="p" disabled={disabled} onPress={onPrint}>
            Make only what has changed
          </Button>
        </p>
      )}
    </section>
  );
}

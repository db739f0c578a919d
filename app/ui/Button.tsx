'use client';

import Link from 'next/link';
import { useRouter } from 'next/navigation';
import { type ReactNode, type Ref, useImperativeHandle, useRef } from 'react';
import { type KeyName, useOwnKey } from '../hooks/useKeys';
import { Key, shortcutFor } from './Key';

const BASE =
  'plain group inline-flex min-h-(--touch) min-w-(--touch) items-center text-left leading-tight disabled:text-quiet disabled:opacity-70';
const LOOKS = {
  /** An action in the text. */
  words: '',
  /** The one thing that most people do next: a quiet edge around it. */
  main: 'border border-ink px-4 disabled:border-faint',
} as const;
const WORDS = {
  words:
    'underline decoration-edge underline-offset-4 group-hover:decoration-ink group-disabled:decoration-faint',
  main: 'font-semibold group-hover:underline underline-offset-4',
} as const;

interface Common {
  readonly children: ReactNode;
  readonly look?: keyof typeof LOOKS;
  /** The key that does the same; shown beside it and bound while it can be pressed. */
  readonly shortcut?: KeyName;
  /** What it does, for who cannot see the page, where its words alone do not say it; holds those words too. */
  readonly label?: string;
}

export function Button({
  children,
  look = 'words',
  shortcut,
  label,
  sharedKey,
  onPress,
  disabled = false,
  submit = false,
  pressed,
  expanded,
  ref,
}: Common & {
  /** A key that many like it share, bound by what holds them all; shown beside each. */
  readonly sharedKey?: KeyName;
  readonly onPress?: () => void;
  readonly disabled?: boolean;
  readonly submit?: boolean;
  readonly pressed?: boolean;
  readonly expanded?: boolean;
  readonly ref?: Ref<HTMLButtonElement>;
}) {
  const own = useRef<HTMLButtonElement>(null);
  useImperativeHandle<HTMLButtonElement | null, HTMLButtonElement | null>(ref, () => own.current, []);
  // What a key opens comes into sight, and the focus is where it would be had the button been pressed.
  const byKey =
    onPress &&
    (() => {
      if (expanded !== undefined) own.current?.focus();
      onPress();
    });
  const isOwn = useOwnKey(shortcut, byKey, !disabled);
  const shown = shortcut ?? sharedKey;
  return (
    <button
      ref={own}
      type={submit ? 'submit' : 'button'}
      className={`${BASE} ${LOOKS[look]}`}
      disabled={disabled}
      onClick={onPress}
      aria-pressed={pressed}
      aria-expanded={expanded}
      aria-keyshortcuts={shown && isOwn ? shortcutFor(shown) : undefined}
    >
      <Words look={look} label={label}>
        {children}
      </Words>
      {shown && <Key name={shown} isTaken={!isOwn} />}
    </button>
  );
}

/** A way to another page, with its key. */
export function ActionLink({
  children,
  look = 'words',
  shortcut,
  label,
  href,
}: Common & { readonly href: string }) {
  const router = useRouter();
  const isOwn = useOwnKey(shortcut, () => router.push(href));
  return (
    <Link
      href={href}
      className={`${BASE} ${LOOKS[look]}`}
      aria-keyshortcuts={shortcut && isOwn ? shortcutFor(shortcut) : undefined}
    >
      <Words look={look} label={label}>
        {children}
      </Words>
      {shortcut && <Key name={shortcut} isTaken={!isOwn} />}
    </Link>
  );
}

/** What is shown and what is read out; the key beside it is in neither. */
function Words({
  children,
  look,
  label,
}: {
  readonly children: ReactNode;
  readonly look: keyof typeof LOOKS;
  readonly label: string | undefined;
}) {
  return (
    <>
      <span className={WORDS[look]} aria-hidden={label === undefined ? undefined : true}>
        {children}
      </span>
      {label !== undefined && <span className="sr-only">{label}</span>}
    </>
  );
}

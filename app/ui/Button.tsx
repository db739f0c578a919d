'use client';

import Link from 'next/link';
import { useRouter } from 'next/navigation';
import type { ReactNode, Ref } from 'react';
import { type KeyName, useKeys } from '../hooks/useKeys';
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
  onPress,
  disabled = false,
  submit = false,
  pressed,
  expanded,
  ref,
}: Common & {
  readonly onPress?: () => void;
  readonly disabled?: boolean;
  readonly submit?: boolean;
  readonly pressed?: boolean;
  readonly expanded?: boolean;
  readonly ref?: Ref<HTMLButtonElement>;
}) {
  useKeys(shortcut && onPress ? { [shortcut]: onPress } : {}, !disabled);
  return (
    <button
      ref={ref}
      type={submit ? 'submit' : 'button'}
      className={`${BASE} ${LOOKS[look]}`}
      disabled={disabled}
      onClick={onPress}
      aria-pressed={pressed}
      aria-expanded={expanded}
      aria-keyshortcuts={shortcut && shortcutFor(shortcut)}
    >
      <Words look={look} label={label}>
        {children}
      </Words>
      {shortcut && <Key name={shortcut} />}
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
  useKeys(shortcut ? { [shortcut]: () => router.push(href) } : {});
  return (
    <Link
      href={href}
      className={`${BASE} ${LOOKS[look]}`}
      aria-keyshortcuts={shortcut && shortcutFor(shortcut)}
    >
      <Words look={look} label={label}>
        {children}
      </Words>
      {shortcut && <Key name={shortcut} />}
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

'use client';

import { type ReactNode, type Ref, useId } from 'react';

const BOX =
  'block w-full min-h-(--touch) border-0 border-b border-edge bg-transparent px-1 py-2 font-plain hover:border-ink aria-invalid:border-accent';

interface Common {
  readonly label: string;
  /** A sentence that helps to fill it in. */
  readonly hint?: ReactNode;
  /** What is wrong with what stands in it, and how to mend it. */
  readonly problem?: string | null;
  readonly disabled?: boolean;
}

function Frame({ id, label, hint, problem, children }: Common & { id: string; children: ReactNode }) {
  return (
    <div className="my-4 max-w-md first:mt-0">
      <label htmlFor={id} className="plain font-semibold">
        {label}
      </label>
      {children}
      {hint && (
        <p id={`${id}-hint`} className="aside mt-1">
          {hint}
        </p>
      )}
      {problem && (
        <p id={`${id}-problem`} className="plain mt-1 text-accent" role="alert">
          {problem}
        </p>
      )}
    </div>
  );
}

function describedBy(id: string, hint: ReactNode, problem: string | null | undefined): string | undefined {
  return [hint ? `${id}-hint` : '', problem ? `${id}-problem` : ''].filter(Boolean).join(' ') || undefined;
}

export function Field({
  value,
  onChange,
  kind = 'text',
  most,
  autoFocus = false,
  autoComplete = 'off',
  ref,
  ...frame
}: Common & {
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly kind?: 'text' | 'number';
  /** The most signs that can be typed. */
  readonly most?: number;
  readonly autoFocus?: boolean;
  readonly autoComplete?: string;
  readonly ref?: Ref<HTMLInputElement>;
}) {
  const id = useId();
  return (
    <Frame {...frame} id={id}>
      <input
        ref={ref}
        id={id}
        type="text"
        inputMode={kind === 'number' ? 'numeric' : undefined}
        className={BOX}
        value={value}
        maxLength={most}
        disabled={frame.disabled}
        autoComplete={autoComplete}
        // biome-ignore lint/a11y/noAutofocus: only where the field is the answer to what the person just asked for
        autoFocus={autoFocus}
        aria-invalid={frame.problem ? true : undefined}
        aria-describedby={describedBy(id, frame.hint, frame.problem)}
        onChange={(event) => onChange(event.target.value)}
      />
    </Frame>
  );
}

/** One of a few, all in sight. */
export function Choice<T extends string>({
  label,
  value,
  options,
  onChange,
  hint,
  inRow = false,
}: {
  /** True: its label stands in one row with what can be chosen. */
  readonly inRow?: boolean;
  readonly label: string;
  readonly value: T;
  readonly options: readonly { readonly value: T; readonly text: string }[];
  readonly onChange: (value: T) => void;
  readonly hint?: ReactNode;
}) {
  const id = useId();
  return (
    <fieldset
      className={inRow ? 'flex flex-wrap items-center gap-x-4' : 'my-4 first:mt-0'}
      aria-describedby={hint ? `${id}-hint` : undefined}
    >
      <legend className={`plain font-semibold ${inRow ? 'float-left' : ''}`}>{label}</legend>
      <div className="flex flex-wrap gap-x-6">
        {options.map((option) => (
          <label key={option.value} className="plain flex min-h-(--touch) items-center gap-2">
            <input
              type="radio"
              name={id}
              checked={option.value === value}
              onChange={() => onChange(option.value)}
            />
            {option.text}
          </label>
        ))}
      </div>
      {hint && (
        <p id={`${id}-hint`} className="aside">
          {hint}
        </p>
      )}
    </fieldset>
  );
}

/** Any of a few, in the order in which they were chosen. */
export function Choices<T extends string>({
  label,
  values,
  options,
  onChange,
  hint,
}: {
  readonly label: string;
  readonly values: readonly T[];
  readonly options: readonly T[];
  readonly onChange: (values: readonly T[]) => void;
  readonly hint?: ReactNode;
}) {
  const id = useId();
  return (
    <fieldset className="my-4 first:mt-0" aria-describedby={hint ? `${id}-hint` : undefined}>
      <legend className="plain font-semibold">{label}</legend>
      <div className="flex flex-wrap gap-x-6">
        {options.map((option) => (
          <label key={option} className="plain flex min-h-(--touch) items-center gap-2">
            <input
              type="checkbox"
              checked={values.includes(option)}
              onChange={(event) =>
                onChange(
                  event.target.checked ? [...values, option] : values.filter((value) => value !== option),
                )
              }
            />
            {option}
          </label>
        ))}
      </div>
      {hint && (
        <p id={`${id}-hint`} className="aside">
          {hint}
        </p>
      )}
    </fieldset>
  );
}

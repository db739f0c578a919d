import { type ReactNode, useId } from 'react';

/** A stretch of a page under its heading; where the page is wide, the heading stands in the margin. */
export function Passage({
  heading,
  children,
  rule = true,
}: {
  readonly heading: string;
  readonly children: ReactNode;
  /** A thin line above, to part it from what came before. */
  readonly rule?: boolean;
}) {
  const id = useId();
  return (
    <section aria-labelledby={id} className={`passage ${rule ? 'border-t border-faint' : ''}`}>
      <h2 id={id}>{heading}</h2>
      <div>{children}</div>
    </section>
  );
}

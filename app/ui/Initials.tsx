/** The ink of a player as a CSS colour. */
export const inkOf = (ink: number): string => `var(--ink-${Math.max(0, Math.min(7, Math.trunc(ink)))})`;

/** A player as the band writes them: a pencil mark of their initials, in their ink. */
export function Initials({
  initials,
  ink,
  name,
}: {
  readonly initials: string;
  readonly ink: number;
  /** Read out in place of the initials, and shown where one points. */
  readonly name?: string;
}) {
  return (
    <span className="font-words italic whitespace-nowrap" style={{ color: inkOf(ink) }} title={name}>
      <span aria-hidden={name !== undefined}>{initials}</span>
      {name !== undefined && <span className="sr-only">{name}</span>}
    </span>
  );
}

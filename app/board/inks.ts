/** A player as far as a line shows them. */
export interface Inks {
  readonly initials: string;
  readonly ink: number;
  readonly name: string;
}

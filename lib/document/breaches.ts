import { compare } from './order';

/** What is in a document and cannot be shown, though nobody removed it: sentences by part, each part's own in order. */
export class Breaches {
  readonly #byPart = new Map<string, readonly string[]>();

  /** Takes the place of what the part said before. */
  say(part: string, unread: Iterable<string>, more: readonly string[] = []): void {
    const sentences = [...[...unread].map((id) => `${part} ${id} cannot be read`), ...more];
    this.#byPart.set(part, sentences.sort(compare));
  }

  all(): readonly string[] {
    return [...this.#byPart.values()].flat();
  }
}

import type { Song } from '../../lib/song';
import type { Answer, Ask, Question, Reply, Seat } from '../workers/offers';

/**
 * Where fills are worked out beside the page: questions to one worker, answered in order. What is no longer wanted is stopped with the
 * worker, and the next question starts another.
 */
export class Desk {
  #worker: Worker | null = null;
  #song: Song | null = null;
  #asked = 0;
  readonly #waiting = new Map<number, (answer: Answer | null) => void>();

  /** The song that all questions from now on are about. */
  takeSong(song: Song): void {
    if (this.#song === song) return;
    this.#song = song;
    if (this.#worker) this.#post({ kind: 'song', song });
  }

  /** The answer, of the kind of the question; null where it was stopped before it came. */
  ask(seat: Seat, ask: Ask): Promise<Answer | null> {
    return new Promise((resolve) => {
      this.#asked += 1;
      this.#waiting.set(this.#asked, resolve);
      this.#post({ kind: 'ask', number: this.#asked, seat, ask });
    });
  }

  /** Ends what is being worked out. */
  stop(): void {
    this.#worker?.terminate();
    this.#worker = null;
    for (const resolve of this.#waiting.values()) resolve(null);
    this.#waiting.clear();
  }

  #post(question: Question): void {
    if (!this.#worker) {
      this.#worker = new Worker(new URL('../workers/offers.ts', import.meta.url), { type: 'module' });
      this.#worker.addEventListener('message', (event: MessageEvent<Reply>) => {
        this.#waiting.get(event.data.number)?.(event.data.answer);
        this.#waiting.delete(event.data.number);
      });
      if (this.#song && question.kind !== 'song')
        this.#worker.postMessage({ kind: 'song', song: this.#song });
    }
    this.#worker.postMessage(question);
  }
}

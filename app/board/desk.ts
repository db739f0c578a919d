import type { Song } from '../../lib/song';
import type { Answer, Ask, Question, Reply, Seat } from '../workers/offers';

/** A worker, and the song that it was told of last. */
interface Told {
  readonly worker: Worker;
  readonly song: Song | null;
}

/** Starting a worker takes longer than most answers: one that has nothing to do is kept for the next desk. */
let spare: Told | null = null;

/**
 * Where fills are worked out beside the page: questions to one worker, answered in order. What is no longer wanted is stopped with the
 * worker, and the next question starts another.
 */
export class Desk {
  #worker: Worker | null = null;
  #song: Song | null = null;
  /** The song that the worker has. */
  #told: Song | null = null;
  #asked = 0;
  readonly #waiting = new Map<number, (answer: Answer | null) => void>();

  /** The song that all questions from now on are about. It goes to the worker with the next of them. */
  takeSong(song: Song): void {
    this.#song = song;
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
    const worker = this.#worker;
    if (worker && this.#waiting.size === 0 && spare === null) spare = { worker, song: this.#told };
    else worker?.terminate();
    this.#worker = null;
    for (const resolve of this.#waiting.values()) resolve(null);
    this.#waiting.clear();
  }

  #post(question: Question): void {
    const worker = this.#worker ?? this.#begin();
    if (this.#song && this.#song !== this.#told) {
      this.#told = this.#song;
      worker.postMessage({ kind: 'song', song: this.#song } satisfies Question);
    }
    worker.postMessage(question);
  }

  #begin(): Worker {
    const { worker, song } = spare ?? start();
    spare = null;
    worker.onmessage = ({ data }: MessageEvent<Reply>) => {
      this.#waiting.get(data.number)?.(data.answer);
      this.#waiting.delete(data.number);
    };
    this.#worker = worker;
    this.#told = song;
    return worker;
  }
}

const start = (): Told => ({
  worker: new Worker(new URL('../workers/offers.ts', import.meta.url), { type: 'module' }),
  song: null,
});

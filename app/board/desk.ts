import type { Song } from '../../lib/song';
import type { Answer, Ask, Question, Reply, Seat } from '../workers/offers';

/** A worker, the song that it was told of last, and how many questions it has not answered yet. */
interface Told {
  readonly worker: Worker;
  readonly song: Song | null;
  pending: number;
}

/**
 * Starting a worker, and telling it the song, takes longer than most answers: the worker of a desk that is left is kept for the next one,
 * which takes it over if it is done by then.
 */
let spare: Told | null = null;

/**
 * Where fills are worked out beside the page: questions to one worker, answered in order. What is stopped is stopped with the worker, and
 * the next question starts another.
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
    this.#part(this.#waiting.size === 0);
  }

  /** Nobody wants an answer from here any longer: what is being worked out may go on to its end, for nobody. */
  leave(): void {
    this.#part(true);
  }

  #part(isKept: boolean): void {
    const worker = this.#worker;
    if (worker && isKept && spare === null) {
      const kept: Told = { worker, song: this.#told, pending: this.#waiting.size };
      worker.onmessage = () => {
        kept.pending -= 1;
      };
      spare = kept;
    } else worker?.terminate();
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
    const { worker, song } = takeSpare() ?? start();
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
  pending: 0,
});

function takeSpare(): Told | null {
  const kept = spare;
  spare = null;
  if (kept === null || kept.pending === 0) return kept;
  kept.worker.terminate();
  return null;
}

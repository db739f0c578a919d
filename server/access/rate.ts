import type { Clock } from '../ports';

interface Bucket {
  readonly tokens: number;
  readonly at: number;
}

/** Addresses that are remembered before those that are full again are forgotten, and at most. */
const MANY = 10_000;
const MOST = 100_000;
/** How often it is worth looking for them, in milliseconds. */
const LOOK_AGAIN = 5_000;

/** So many at once, so many a minute on the long run, for each address. Forgets addresses that are full again. */
export class RateLimit {
  readonly #atOnce: number;
  readonly #eachMinute: number;
  readonly #clock: Clock;
  /** The one that asked last stands last. */
  readonly #buckets = new Map<string, Bucket>();
  #lookedAt = Number.NEGATIVE_INFINITY;

  constructor(atOnce: number, eachMinute: number, clock: Clock) {
    this.#atOnce = atOnce;
    this.#eachMinute = eachMinute;
    this.#clock = clock;
  }

  /** How many addresses are remembered. */
  get size(): number {
    return this.#buckets.size;
  }

  /** Whether one more is allowed; counts it if so. */
  take(address: string): boolean {
    const now = this.#clock();
    const before = this.#buckets.get(address);
    const tokens = before === undefined ? this.#atOnce : this.#filled(before, now);
    this.#buckets.delete(address);
    this.#makeRoom(now);
    this.#buckets.set(address, { tokens: tokens < 1 ? tokens : tokens - 1, at: now });
    return tokens >= 1;
  }

  #filled(bucket: Bucket, now: number): number {
    // A clock that is set back takes nothing away.
    const minutes = Math.max(0, now - bucket.at) / 60_000;
    return Math.min(this.#atOnce, bucket.tokens + minutes * this.#eachMinute);
  }

  #makeRoom(now: number): void {
    if (this.#buckets.size < MANY) return;
    if (Math.abs(now - this.#lookedAt) >= LOOK_AGAIN) {
      this.#lookedAt = now;
      for (const [address, bucket] of this.#buckets)
        if (this.#filled(bucket, now) >= this.#atOnce) this.#buckets.delete(address);
    }
    if (this.#buckets.size < MOST) return;
    // A flood from everywhere: whoever has been quiet longest is forgotten.
    for (const address of this.#buckets.keys()) {
      this.#buckets.delete(address);
      return;
    }
  }
}

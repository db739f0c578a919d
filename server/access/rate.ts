import type { Clock } from '../ports';

interface Bucket {
  tokens: number;
  at: number;
}

/** So many at once, so many a minute on the long run, for each address. Forgets addresses that are full again. */
export class RateLimit {
  readonly #atOnce: number;
  readonly #eachMinute: number;
  readonly #clock: Clock;
  readonly #buckets = new Map<string, Bucket>();

  constructor(atOnce: number, eachMinute: number, clock: Clock) {
    this.#atOnce = atOnce;
    this.#eachMinute = eachMinute;
    this.#clock = clock;
  }

  /** Whether one more is allowed; counts it if so. */
  take(address: string): boolean {
    const now = this.#clock();
    if (this.#buckets.size > 10_000) this.#forget(now);
    const bucket = this.#buckets.get(address) ?? { tokens: this.#atOnce, at: now };
    bucket.tokens = this.#filled(bucket, now);
    bucket.at = now;
    this.#buckets.set(address, bucket);
    if (bucket.tokens < 1) return false;
    bucket.tokens -= 1;
    return true;
  }

  #filled(bucket: Bucket, now: number): number {
    return Math.min(this.#atOnce, bucket.tokens + ((now - bucket.at) / 60_000) * this.#eachMinute);
  }

  #forget(now: number): void {
    for (const [address, bucket] of this.#buckets) {
      if (this.#filled(bucket, now) >= this.#atOnce) this.#buckets.delete(address);
    }
  }
}

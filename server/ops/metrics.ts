import { Counter, collectDefaultMetrics, Gauge, Histogram, Registry } from 'prom-client';
import type { StoreEvents } from '../ports';

/** What is looked up when the numbers are asked for. */
export interface Counted {
  readonly rooms: () => number;
  readonly sockets: () => number;
}

/** The numbers of one server: how much, how fast, how often it went wrong; never who or what. */
export class Metrics {
  readonly registry = new Registry();
  readonly #updates = this.#counter('breathmark_updates_kept_total', 'Updates committed to the store');
  readonly #commit = new Histogram({
    name: 'breathmark_commit_seconds',
    help: 'How long one commit took',
    buckets: [0.0005, 0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5, 2],
    registers: [this.registry],
  });
  readonly #together = new Histogram({
    name: 'breathmark_commit_updates',
    help: 'How many updates one commit held',
    buckets: [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000],
    registers: [this.registry],
  });
  readonly #refused = this.#counter(
    'breathmark_updates_refused_total',
    'Updates that could not be committed',
  );
  readonly #compactions = this.#counter('breathmark_compactions_total', 'Snapshots made');
  readonly #damaged = this.#counter('breathmark_damaged_rows_total', 'Rows set aside as damaged');
  readonly #faults = this.#counter('breathmark_faults_total', 'What went wrong on the side of the server');
  readonly #requests = new Counter({
    name: 'breathmark_requests_total',
    help: 'HTTP requests answered',
    labelNames: ['kind', 'status'] as const,
    registers: [this.registry],
  });

  #counter(name: string, help: string): Counter {
    return new Counter({ name, help, registers: [this.registry] });
  }

  readonly store: StoreEvents = {
    committed: (updates, milliseconds) => {
      this.#updates.inc(updates);
      this.#commit.observe(milliseconds / 1000);
      this.#together.observe(updates);
    },
    refused: (updates) => this.#refused.inc(updates),
    compacted: () => this.#compactions.inc(),
    damaged: () => this.#damaged.inc(),
  };

  request(kind: string, status: number): void {
    this.#requests.inc({ kind, status: `${Math.floor(status / 100)}xx` });
  }

  fault(): void {
    this.#faults.inc();
  }

  /** Adds what has to be looked up. */
  count({ rooms, sockets }: Counted): void {
    const gauge = (name: string, help: string, look: () => number) =>
      new Gauge({
        name,
        help,
        registers: [this.registry],
        collect() {
          this.set(look());
        },
      });
    gauge('breathmark_rooms', 'Documents that are open', rooms);
    gauge('breathmark_sockets', 'Sockets that are open', sockets);
  }

  /** Adds those of the process: memory, processor, event loop. For the rest of its life. */
  ofProcess(): void {
    collectDefaultMetrics({ register: this.registry });
  }
}

import Database from 'better-sqlite3';

export interface Life {
  /** What it is at now; it begins with `open`. */
  work: string;
  /** One of the places of that work where it may end. */
  pass(work: string): void;
}

/**
 * Lets a program end itself with SIGKILL in the midst of its work: `append 17` at the 17th place of the work `append`.
 * Every statement that a store runs has a place before and one after it, also those that begin and commit; so has every
 * checksum that a migration works out.
 */
export function endAt(plan: string): Life {
  const [endIn = 'none', at = '0'] = plan.split(' ');
  let left = Number(at);
  const life: Life = {
    work: 'open',
    pass(work) {
      if (work !== endIn) return;
      left -= 1;
      if (left <= 0) process.kill(process.pid, 'SIGKILL');
    },
  };
  const statements: Record<'run' | 'get' | 'all', (...args: unknown[]) => unknown> = Object.getPrototypeOf(
    new Database(':memory:').prepare('SELECT 1'),
  );
  for (const name of ['run', 'get', 'all'] as const) {
    const real = statements[name];
    statements[name] = function counted(...args) {
      life.pass(life.work);
      const result = real.apply(this, args);
      life.pass(life.work);
      return result;
    };
  }
  const { exec, function: define } = Database.prototype;
  Database.prototype.exec = function counted(sql) {
    life.pass(life.work);
    return exec.call(this, sql);
  };
  Database.prototype.function = function counted(name: string, options: unknown, does?: unknown) {
    if (typeof does !== 'function') return Reflect.apply(define, this, [name, options]);
    // SQLite asks the function itself how many values it takes.
    const counting = (of: unknown, bytes: unknown): unknown => {
      life.pass(life.work);
      return Reflect.apply(does, null, [of, bytes]);
    };
    return Reflect.apply(define, this, [name, options, counting]);
  };
  return life;
}

import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker, type WorkerOptions } from 'node:worker_threads';

/**
 * A thread that runs a module. From the sources the module is a source too, and the thread has to be taught to read
 * those first: Node passes `--import` on to no worker.
 */
export function startThread(module: URL, options: WorkerOptions = {}): Worker {
  if (!module.pathname.endsWith('.ts')) return new Worker(module, { execArgv: [], ...options });
  const tsx = createRequire(import.meta.url)
    .resolve('tsx/esm/api')
    .replace(/\.cjs$/, '.mjs');
  const teacher = JSON.stringify(pathToFileURL(tsx).href);
  const source = JSON.stringify(module.href);
  const code = `import(${teacher}).then((tsx) => { tsx.register(); return import(${source}); })`;
  return new Worker(code, { execArgv: [], ...options, eval: true });
}

/**
 * The command line: the same answers as the pages, for scripts and checks. This file only wires it to the process; the
 * verbs are in `run`.
 */
import { once } from 'node:events';
import { run } from './run';

// A reader that has seen enough (`| head`) closes the pipe: that is no mistake.
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

process.exitCode = await run(process.argv.slice(2), {
  async line(text) {
    if (!process.stdout.write(`${text}\n`)) await once(process.stdout, 'drain');
  },
  note(text) {
    process.stderr.write(`${text}\n`);
  },
});

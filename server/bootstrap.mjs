// Installs what is missing, before anything else runs: Node's own modules only. With --tests, Chromium too.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const forTests = process.argv.includes('--tests');

if (Number(process.versions.node.split('.')[0]) < 20) {
  stop(
    `Breathmark needs Node 20 or newer; this is ${process.version}. Install a newer Node and run it again.`,
  );
}
if (!packagesAreFresh()) install();
if (!storeLoads()) rebuildStore();
if (forTests) findChromium();

/** Whether every package of the lock file lies in node_modules in its version, by npm's own list of what it installed. */
function packagesAreFresh() {
  const wanted = readJson('package-lock.json')?.packages;
  const installed = readJson('node_modules/.package-lock.json')?.packages;
  if (!wanted) stop('package-lock.json is missing or damaged. Take a fresh copy of the project.');
  if (!installed) return false;
  return Object.entries(wanted).every(([path, { version, optional, devOptional }]) => {
    if (!path.startsWith('node_modules/')) return true;
    const there = installed[path];
    return there ? there.version === version : optional === true || devOptional === true;
  });
}

function readJson(name) {
  try {
    return JSON.parse(readFileSync(join(root, name), 'utf8'));
  } catch {
    return null;
  }
}

function install() {
  console.log('Installing what Breathmark needs, by the lock file (about a minute) …');
  if (npm(['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error']) !== 0) {
    stop('npm could not install the packages; the lines above say why. With a network, run it again.');
  }
}

/** The store's native part has to fit this Node; a change of Node, or install scripts held back, leave it missing. */
function storeLoads() {
  try {
    const Database = createRequire(join(root, 'package.json'))('better-sqlite3');
    new Database(':memory:').close();
    return true;
  } catch {
    return false;
  }
}

function rebuildStore() {
  console.log('Building the store for this Node …');
  const status = npm(['rebuild', 'better-sqlite3', '--ignore-scripts=false', '--foreground-scripts']);
  // In a process of its own: this one remembers that it did not load.
  const loads = spawnSync(process.execPath, ['-e', "new (require('better-sqlite3'))(':memory:').close()"], {
    cwd: root,
    stdio: 'ignore',
  });
  if (status !== 0 || loads.status !== 0) {
    stop(
      'better-sqlite3 could not be built. It wants Python 3, make and a C++ compiler (Debian: apt-get install python3 make g++); install them and run it again.',
    );
  }
}

/** npm as a fresh shell would run it: what an outer npm or a production environment has set does not leak in. */
function npm(args) {
  const env = { ...process.env };
  for (const name of Object.keys(env)) {
    const plain = name.toLowerCase();
    if (plain === 'node_env' || /^npm_config_(omit|include|production|only|dev)$/.test(plain))
      delete env[name];
  }
  const script = process.env.npm_execpath;
  const [command, before] =
    script?.endsWith('.js') || script?.endsWith('.cjs') ? [process.execPath, [script]] : ['npm', []];
  return spawnSync(command, [...before, ...args], { cwd: root, env, stdio: 'inherit' }).status ?? 1;
}

function findChromium() {
  const named = process.env.CHROMIUM_PATH;
  if (named) {
    if (!existsSync(named))
      stop(`CHROMIUM_PATH names ${named}, and nothing is there. Name Chromium's own file.`);
    return;
  }
  if (existsSync('/usr/bin/chromium')) return;
  if (process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
    console.log('Installing Chromium for the tests, from the system’s packages …');
    const apt = (...args) =>
      spawnSync('apt-get', ['-o', 'DPkg::Lock::Timeout=300', ...args], {
        stdio: ['ignore', 'ignore', 'inherit'],
        env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
      }).status === 0;
    const packages = ['chromium', 'abcmidi', 'libxml2-utils', 'poppler-utils'];
    apt('update');
    if (apt('install', '-y', ...packages) && existsSync('/usr/bin/chromium')) return;
  }
  stop(
    'The tests want Chromium: install it (Debian: sudo apt-get install chromium abcmidi libxml2-utils poppler-utils), or set CHROMIUM_PATH to its file.',
  );
}

function stop(line) {
  console.error(line);
  process.exit(1);
}

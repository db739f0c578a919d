import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { z } from 'zod';
import { itemAt } from '../../../lib/base';
import { writeBandFile } from '../../../lib/exchange';
import { type Band, NEW_BAND, playersFileSchema, playersOf } from '../../../lib/song';
import { run } from '../../../server/command/run';

const ROOT = join(import.meta.dirname, '../../..');
const TUNES = join(ROOT, 'tests/tunes');
/** The folder holds a page that explains them, their counts, and a folder beside the songs. */
const SONGS = readdirSync(TUNES).filter((name) => /\.(?!md$|json$)\w+$/.test(name)).length;
const tune = (name: string) => join(TUNES, name);

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'command-'));
});
afterAll(() => {
  rmSync(folder, { recursive: true, force: true });
});

function put(name: string, text: string | Uint8Array): string {
  const file = join(folder, name);
  writeFileSync(file, text);
  return file;
}

/** One call in this process: its lines, what it noted beside them, and its end. */
async function call(...args: string[]): Promise<{ lines: string[]; notes: string[]; code: number }> {
  const lines: string[] = [];
  const notes: string[] = [];
  const code = await run(args, {
    line: async (text) => void lines.push(text),
    note: (text) => void notes.push(text),
  });
  return { lines, notes, code };
}

const spacesShape = z.strictObject({
  file: z.string(),
  title: z.string(),
  key: z.string(),
  meter: z.string(),
  tempo: z.number(),
  bars: z.number(),
  notes: z.number(),
  phrases: z.array(
    z.strictObject({
      voice: z.string(),
      firstNote: z.int(),
      lastNote: z.int(),
      startTick: z.int(),
      endTick: z.int(),
      words: z.string(),
      why: z.array(z.strictObject({ rule: z.string(), weight: z.number(), detail: z.string() })).min(1),
    }),
  ),
  spaces: z.array(
    z.strictObject({
      id: z.string(),
      startTick: z.int(),
      endTick: z.int(),
      beats: z.number(),
      seconds: z.number(),
      bar: z.int(),
      beat: z.number(),
      kind: z.enum(['opening', 'between', 'under-tail', 'half-open', 'instrumental', 'closing']),
      after: z.strictObject({ voice: z.string(), note: z.int() }).nullable(),
      chords: z.array(z.strictObject({ tick: z.int(), symbol: z.string() })),
      guardTicks: z.int(),
      tailTicks: z.int(),
    }),
  ),
  warnings: z.array(z.string()),
});
const read = (line: string | undefined) => spacesShape.parse(JSON.parse(line ?? ''));

describe('spaces', () => {
  it('answers a folder file by file in name order, one object a line', async () => {
    const { lines, code } = await call('spaces', TUNES, '--json');
    expect(code).toBe(0);
    const files = lines.map((line) => read(line).file);
    expect(files).toHaveLength(SONGS);
    expect(files).toEqual([...files].sort());
  });

  it('gives the worked case to the tick, with its chords and the note before it', async () => {
    const { lines } = await call('spaces', tune('five-beats.abc'), '--json');
    const answer = read(lines[0]);
    expect(answer).toMatchObject({
      title: 'Half Past Five',
      key: 'G',
      meter: '4/4',
      tempo: 100,
      bars: 8,
      notes: 18,
    });
    // Bar 3, beat 2: nine quarters in; five beats long.
    expect(answer.spaces[0]).toMatchObject({
      startTick: 9 * 960,
      endTick: 14 * 960,
      beats: 5,
      bar: 3,
      beat: 2,
    });
    expect(answer.spaces[0]?.after?.voice).toBe('Lead');
    const ends = answer.phrases.map((phrase) => phrase.endTick);
    expect(ends).toContain(9 * 960);
  });

  it('gives the same ids every time, and others for other files only where the notes differ', async () => {
    const once = await call('spaces', TUNES, '--json');
    expect((await call('spaces', TUNES, '--json')).lines).toEqual(once.lines);
  });

  it('lists the top voice first, and one voice alone by name or number', async () => {
    const all = read((await call('spaces', tune('two-voices.abc'), '--json')).lines[0]);
    expect([...new Set(all.phrases.map((phrase) => phrase.voice))]).toEqual(['Lead', 'Tenor']);
    const byName = read(
      (await call('spaces', tune('two-voices.abc'), '--voice', 'tenor', '--json')).lines[0],
    );
    const byNumber = read((await call('spaces', tune('two-voices.abc'), '--voice', '2', '--json')).lines[0]);
    expect(byName).toEqual(byNumber);
    expect(byName.notes).toBe(18);
    expect(new Set(byName.phrases.map((phrase) => phrase.voice))).toEqual(new Set(['Tenor']));
    const none = await call('spaces', tune('two-voices.abc'), '--voice', '3', '--json');
    expect(none.code).toBe(1);
    expect(JSON.parse(itemAt(none.lines, 0)).error.mend).toContain('1 Lead, 2 Tenor');
  });

  it('leaves out what is shorter than asked, and can do without the words', async () => {
    const long = read(
      (await call('spaces', tune('known-spaces.abc'), '--min-beats', '3', '--json')).lines[0],
    );
    expect(long.spaces.map((space) => space.beats)).toEqual([3, 4, 6]);
    const deaf = read((await call('spaces', tune('known-spaces.abc'), '--ignore-words', '--json')).lines[0]);
    const rules = deaf.phrases.flatMap((phrase) => phrase.why.map((why) => why.rule));
    for (const rule of ['stop', 'comma', 'capital', 'line end']) expect(rules).not.toContain(rule);
  });

  it('warns once that there is no tempo mark', async () => {
    const file = put('plain.abc', 'X:1\nT:Plain\nM:4/4\nL:1/4\nK:G\nG A B z | z4 | G4 |]\n');
    const answer = read((await call('spaces', file, '--json')).lines[0]);
    expect(answer.tempo).toBe(100);
    expect(answer.warnings.filter((warning) => warning.includes('tempo'))).toHaveLength(1);
  });

  it('says where it says nothing: a table for people', async () => {
    const { lines } = await call('spaces', tune('five-beats.abc'));
    expect(lines[0]).toContain('bar 3, beat 2  5 beats  3 s');
  });
});

describe('an input that cannot be answered', () => {
  it('has its own line, the others are answered, and the run ends with 1', async () => {
    const junk = put('junk.abc', new Uint8Array([0, 1, 2, 255, 254, 0, 0, 9]));
    const names = [
      tune('pickup.abc'),
      join(folder, 'none.abc'),
      junk,
      put('notes.pdf', 'x'),
      tune('crooked.abc'),
    ];
    const { lines, code } = await call('spaces', ...names, '--json');
    expect(code).toBe(1);
    const answers = lines.map((line) => JSON.parse(line));
    expect(answers.map((answer) => answer.file)).toEqual(names);
    expect(answers.map((answer) => 'error' in answer)).toEqual([false, true, true, true, false]);
    for (const { error } of answers.filter((answer) => answer.error)) {
      expect(Object.keys(error).sort()).toEqual(['mend', 'what', 'where']);
      for (const text of Object.values(error)) expect(text).not.toBe('');
    }
  });

  it('may be a folder without songs', async () => {
    const empty = join(folder, 'empty');
    mkdirSync(empty);
    const { lines, code } = await call('spaces', empty, '--json');
    expect(code).toBe(1);
    expect(JSON.parse(itemAt(lines, 0))).toMatchObject({
      file: empty,
      error: { what: 'the folder holds no song files' },
    });
  });
});

describe('free', () => {
  const players = {
    players: [
      { id: 'ann', instruments: ['guitar'], sings: 'lead' },
      { id: 'bo', name: 'Bo', instruments: ['banjo'], sings: 'tenor' },
      { id: 'cy', instruments: ['fiddle'] },
      { id: 'di', instruments: ['voice'] },
    ],
  };
  const playersFile = (name: string, more: object = {}) => put(name, JSON.stringify({ ...players, ...more }));
  const ids = (list: { player: string }[]) => list.map((each) => each.player);

  it('says for every space who is free and who not, each with reasons', async () => {
    const { lines, code } = await call(
      'free',
      tune('two-voices.abc'),
      '--players',
      playersFile('p.json'),
      '--json',
    );
    expect(code).toBe(0);
    const answer = JSON.parse(itemAt(lines, 0));
    const [halfOpen, between] = answer.spaces;
    expect(ids(halfOpen.free)).toEqual(['ann', 'cy']);
    expect(ids(halfOpen.notFree)).toEqual(['bo', 'di']);
    expect(ids(between.free)).toEqual(['ann', 'bo', 'cy']);
    for (const space of answer.spaces) {
      for (const each of [...space.free, ...space.notFree]) expect(each.reasons.length).toBeGreaterThan(0);
    }
  });

  it('counts what is settled', async () => {
    const told = read((await call('spaces', tune('known-spaces.abc'), '--json')).lines[0]);
    const space = itemAt(told.spaces, 0);
    const notes = [{ tick: space.startTick, ticks: 17 * 960 }];
    const file = playersFile('s.json', { settled: [{ space: space.id, holder: 'cy', notes }] });
    const { lines } = await call('free', tune('known-spaces.abc'), '--players', file, '--json');
    const second = JSON.parse(itemAt(lines, 0)).spaces[1];
    expect(second.id).toBe(itemAt(told.spaces, 1).id);
    const cy = second.notFree.find((each: { player: string }) => each.player === 'cy');
    expect(cy.reasons[0].detail).toBe('has the fill in bar 4, beat 3');
  });

  it('knows that the band plays around one microphone, from a players file and from a band file', async () => {
    // Ten seconds each way: whoever does not stand there already has no time in any space.
    const oneMicrophone = { inSeconds: 10, outSeconds: 10, places: ['cy', 'ann'] };
    const band: Band = {
      ...{ id: 'band', name: 'Weir Street', songs: [], sets: [] },
      ...NEW_BAND,
      ...{ oneMicrophone: true, microphoneInSeconds: 10, microphoneOutSeconds: 10 },
      players: playersOf(playersFileSchema.parse(players)),
    };
    const files = [
      playersFile('mic.json', { oneMicrophone }),
      put('mic-band.json', writeBandFile({ band, songs: [] })),
    ];
    for (const file of files) {
      const { lines, code } = await call('free', tune('known-spaces.abc'), '--players', file, '--json');
      expect(code).toBe(0);
      for (const space of JSON.parse(itemAt(lines, 0)).spaces) {
        const cy = space.notFree.find((each: { player: string }) => each.player === 'cy');
        expect(cy.reasons[0].rule).toBe('microphone');
        expect(cy.reasons[0].detail).toContain('to come in to the microphone');
      }
    }
    const wrong = playersFile('mic-wrong.json', { oneMicrophone: { places: ['nobody'] } });
    const { lines, code } = await call('free', tune('known-spaces.abc'), '--players', wrong, '--json');
    expect(code).toBe(1);
    expect(JSON.parse(itemAt(lines, 0)).error.what).toContain('one of the players');
  });

  it.each([
    ['no file', null],
    ['no JSON', '{'],
    ['another shape', '{"players": 3}'],
    ['one id twice', '{"players":[{"id":"a","instruments":[]},{"id":"a","instruments":[]}]}'],
    ['an instrument that nobody plays', '{"players":[{"id":"a","instruments":["lute"]}]}'],
    ['a space that is not there', '{"players":[],"settled":[{"space":"none","holder":null}]}'],
  ])('says what is wrong with a players file: %s', async (name, text) => {
    const file = text === null ? join(folder, 'missing.json') : put(`${name}.json`, text);
    const { lines, code } = await call('free', tune('pickup.abc'), '--players', file, '--json');
    expect(code).toBe(1);
    expect(Object.keys(JSON.parse(itemAt(lines, 0)).error).sort()).toEqual(['mend', 'what', 'where']);
  });
});

describe('offers', () => {
  interface Note {
    readonly tick: number;
    readonly ticks: number;
    readonly midi: number;
    readonly string: number;
    readonly fret: number;
  }

  it('stay inside the space, and print frets from the capo but the fifth string from its own nut', async () => {
    const told = read((await call('spaces', tune('five-beats.abc'), '--json')).lines[0]);
    const space = itemAt(told.spaces, 0);
    const args = [
      'offers',
      tune('five-beats.abc'),
      '--space',
      space.id,
      '--player',
      'banjo',
      '--capo',
      '2',
      '--json',
    ];
    const { lines, code } = await call(...args);
    expect(code).toBe(0);
    const [only] = JSON.parse(itemAt(lines, 0)).spaces;
    expect(only.offers.length).toBeGreaterThanOrEqual(3);
    const notes: Note[] = only.offers.flatMap((offer: { notes: Note[] }) => offer.notes);
    // Source, from memory: open G, the first string first; the fifth begins at the fifth fret.
    const open = [62, 59, 55, 50, 67];
    for (const note of notes) {
      expect(note.tick).toBeGreaterThanOrEqual(space.startTick);
      expect(note.tick + note.ticks).toBeLessThanOrEqual(space.endTick);
      const capo = note.string === 5 ? 0 : 2;
      expect(note.midi).toBe(itemAt(open, note.string - 1) + capo + note.fret);
    }
    expect(notes.some((note) => note.string === 5)).toBe(true);
  });

  it('are given for all spaces at once, and for none that is not there', async () => {
    const args = ['offers', tune('chords-inside.abc'), '--player', 'guitar', '--count', '1', '--json'];
    const all = JSON.parse(itemAt((await call(...args, '--space', 'all')).lines, 0));
    expect(all.spaces.length).toBeGreaterThanOrEqual(2);
    for (const space of all.spaces) expect(space.offers.length).toBeLessThanOrEqual(1);
    const none = await call(...args, '--space', 'nowhere');
    expect(none.code).toBe(1);
  });
});

describe('a wrong call', () => {
  it.each([
    [[]],
    [['dance']],
    [['spaces']],
    [['spaces', 'x.abc', '--loud']],
    [['spaces', 'x.abc', '--min-beats', 'two']],
    [['spaces', 'x.abc', '--voice']],
    [['free', 'x.abc']],
    [['offers', 'x.abc', '--space', 'all']],
    [['offers', 'x.abc', '--space', 'all', '--player', 'lute']],
    [['offers', 'x.abc', '--space', 'all', '--player', 'guitar', '--tuning', 'none']],
    [['offers', 'x.abc', '--space', 'all', '--player', 'fiddle', '--capo', '2']],
    [['strokes']],
    [['strokes', '4', 'x']],
    [['strokes', '4', '--rule', 'sideways']],
  ])('ends with 2 and one line that says why: %j', async (args) => {
    const { lines, notes, code } = await call(...args);
    expect(code).toBe(2);
    expect(lines).toEqual([]);
    expect(notes).toHaveLength(1);
    expect(notes[0]).not.toContain('\n');
  });
});

describe('help', () => {
  it('names every verb, and each verb its options and files', async () => {
    const { lines, code } = await call('--help');
    expect(code).toBe(0);
    for (const verb of ['spaces', 'free', 'offers', 'strokes']) {
      expect(lines[0]).toContain(verb);
      expect((await call(verb, '--help')).lines[0]).toContain('--json');
    }
    const free = (await call('free', '--help')).lines[0];
    for (const field of ['comfortEighthsPerMinute', 'settled', 'holder', 'openShare', '"resonator guitar"']) {
      expect(free).toContain(field);
    }
  });
});

/** The program as it is started from a shell. */
function start(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(
    process.execPath,
    ['--import', 'tsx', 'server/command/main.ts', ...args],
    { cwd: ROOT, encoding: 'utf8' },
  );
  return { status, stdout, stderr };
}

describe('the program', () => {
  // Source: the band's trade rules, common practice without a source: eight eighths of a roll over 4-3-2.
  it('prints the strokes of a roll', () => {
    expect(start('strokes', ...'43243243')).toEqual({
      status: 0,
      stdout: 'down down up down down up down up\n',
      stderr: '',
    });
  });

  it('ends with 0, 1 and 2, answers on one stream and complaints on the other', () => {
    const good = start('spaces', 'tests/tunes', '--json');
    expect(good.status).toBe(0);
    expect(good.stdout.trim().split('\n')).toHaveLength(SONGS);
    const bad = start('spaces', 'tests/tunes/none.abc');
    expect(bad.status).toBe(1);
    expect(bad.stderr).toBe('');
    const wrong = start('dance');
    expect(wrong.status).toBe(2);
    expect(wrong.stdout).toBe('');
    expect(wrong.stderr).toContain("there is no verb 'dance'");
  });
});

import { expect, test } from 'vitest';
import { strumBackup } from '../../lib/fills';
import { plainSetup } from '../../lib/instruments';
import { generatedSong, timelineOf } from '../unit/fills/songs';
import { chordTones, fretFromNut, NECKS, openMidi } from './checker/facts';

/*
 * Backup for songs made by chance, judged by the checker's own tunings, chord tones and fret distances.
 * Source: Common practice, no source, but for what tests/outside/checker/facts.ts names beside each table.
 */
const SPAN = 115;

test.each(['guitar', 'mandolin', 'banjo', 'resonator guitar'] as const)(
  'the %s keeps to the chords, the neck and the hand',
  (name) => {
    const open = openMidi(name, 'standard', 0, null);
    const { scale = 0, frets = 0 } = NECKS[name] ?? {};
    const faults: string[] = [];
    const refused: string[] = [];
    let count = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const timeline = timelineOf(generatedSong(seed));
      const request = {
        timeline,
        startTick: 0,
        endTick: timeline.endTick,
        setup: plainSetup(name),
        away: [],
      };
      const notes = strumBackup(request);
      if (!notes.ok) {
        refused.push(`${seed}: ${notes.error.what}, ${notes.error.where}`);
        continue;
      }
      for (const note of notes.value) {
        count += 1;
        const where = `song ${seed}, tick ${note.tick}, string ${note.string}`;
        const chord = timeline.chords.find((each) => each.startTick <= note.tick && each.endTick > note.tick);
        if (!chordTones(chord?.symbol ?? '')?.has(note.midi % 12)) faults.push(`${where}: outside the chord`);
        if ((open.get(note.string) ?? 0) + note.fret !== note.midi) faults.push(`${where}: not its pitch`);
        if (note.fret < 0 || note.fret > frets || note.ticks <= 0)
          faults.push(`${where}: no such fret or length`);
        const together = notes.value.filter(
          (each) => each.tick === note.tick && each.fret > 0 && note.fret > 0,
        );
        for (const other of together)
          if (Math.abs(fretFromNut(scale, other.fret) - fretFromNut(scale, note.fret)) > SPAN + 1)
            faults.push(`${where}: too wide`);
        if (notes.value.filter((each) => each.tick === note.tick && each.string === note.string).length > 1)
          faults.push(`${where}: twice at once`);
      }
    }
    console.log(
      `backup on ${name}: ${count} notes, ${refused.length} of 60 songs refused ${refused.join('; ')}`,
    );
    expect(faults).toEqual([]);
    expect(refused).toEqual([]);
    expect(count).toBeGreaterThan(300);
  },
);

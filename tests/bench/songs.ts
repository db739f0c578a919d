/**
 * Songs of any length for measuring, written as ABC by rule from a seed: eight-bar verses with words, chords in every
 * bar, a rest of two to six beats after each line. Ours alone; nothing is quoted.
 */
import { itemAt, randomFrom } from '../../lib/base';

const SYLLABLES = ['la', 'lo', 'mi', 'ra', 'to', 'ne', 'so', 'fa'];
const CHORDS = ['G', 'C', 'D', 'G', 'Em', 'C', 'D7', 'G'];
const PITCHES = ['G', 'A', 'B', 'c', 'd', 'e', 'd', 'B'];

/** Four bars of 4/4: seven sung quarters, four rests (with a pickup of one), twice. */
export function benchSong(bars: number, seed = 1): string {
  const random = randomFrom(seed);
  const pick = <T>(items: readonly T[]): T => itemAt(items, Math.floor(random() * items.length));
  const lines = ['X:1', `T:Bench of ${bars} bars`, 'M:4/4', 'L:1/4', 'Q:1/4=110', 'K:G'];
  for (let bar = 0; bar < bars; bar += 4) {
    const music: string[] = [];
    const words: string[] = [];
    for (let pair = 0; pair < 2; pair++) {
      const rests = 2 + Math.floor(random() * 3);
      const sung = 8 - rests;
      const notes = Array.from({ length: sung }, () => pick(PITCHES));
      const cells = [...notes, ...Array.from({ length: rests }, () => 'z')];
      const chord = (i: number) => `"${itemAt(CHORDS, (bar + pair * 2 + i) % CHORDS.length)}"`;
      music.push(`${chord(0)}${cells.slice(0, 4).join(' ')} | ${chord(1)}${cells.slice(4).join(' ')} |`);
      const line = notes.map(() => pick(SYLLABLES));
      line[0] = `L${itemAt(line, 0)}`;
      words.push(`${line.join(' ')}${pair === 0 ? ',' : '.'}`);
    }
    lines.push(music.join(' '), `w: ${words.join(' ')}`);
  }
  return `${lines.join('\n')}\n`;
}

import { syllable } from 'syllable';
import { itemAt } from '../base';

/** A syllable of a line of words, with the columns that it takes up in the line (from 0, the end not inside). */
export interface LineSyllable {
  readonly text: string;
  readonly joins: boolean;
  readonly from: number;
  readonly to: number;
  /** 2: stressed, 1: weakly, 0: not. */
  readonly stress: 0 | 1 | 2;
}

/** How the syllables of a song's words are told. */
export interface Tongue {
  /** Counted as English words are; else by groups of vowels. */
  readonly english: boolean;
}

/** Little words that English verse leaves unstressed. Common practice, no source. */
const LITTLE = new Set(
  `a an the and or but nor so as if than that of to in on at by for from with up into out off over under o'er i you he she it we they
me him her us them my your his its our their is am are was were be been has have had do does did will would shall should can could
may might must not no when where who there this these those what i'm i've i'll it's don't won't can't he's she's they're we're`.split(
    /\s+/,
  ),
);

/** Prefixes that take no stress in English words of two syllables. Common practice, no source. */
const UNSTRESSED_FIRST =
  /^(?:a(?!n[gkt]|[pm]ple|u)|be|re|de|un|con(?!ker)|com(?:e$)?|de|di[sv]|en|em|ex|for(?=g|b|l)|in(?=s|v|c)|pre(?!a)|pro(?=v|c|l)|to(?=d|n|m|w|g)|with)/;
const VOWELS = /[aeiouyæœøаеёиоуыэюяіїєαεηιουω]/;

/**
 * Whether a text is English, as far as its syllables go: one word in twelve and more is one of the commonest little words of
 * English. Common practice, no source.
 */
export function tongueOf(words: string): Tongue {
  const all = words.toLowerCase().match(/\p{L}[\p{L}'’]*/gu) ?? [];
  const little = all.filter((word) => LITTLE.has(word.replace(/’/g, "'"))).length;
  return { english: all.length > 0 && little * 12 >= all.length };
}

/**
 * The syllables of a line of words, in order. English words are counted by the `syllable` package and divided by a rule of our own
 * (one consonant goes to the vowel after it, of several the first stays; digraphs stay whole; `-ing` is kept whole); words of other
 * tongues in Latin, Greek or Cyrillic letters have one for each group of vowels; Chinese, Japanese and Korean words one for each sign;
 * of other scripts a word counts as one. Hyphens as written divide too; a hyphen that stands alone only joins.
 *
 * @param column the column of each sign of the line
 */
export function syllablesOf(
  line: string,
  column: (index: number) => number,
  tongue: Tongue,
): readonly LineSyllable[] {
  const found: LineSyllable[] = [];
  for (const word of line.matchAll(/\S+/g)) {
    const start = word.index;
    if (!/[\p{L}\p{N}]/u.test(word[0])) {
      const before = found[found.length - 1];
      if (!before) continue;
      const joins = /^[-–_]+$/.test(word[0]);
      found[found.length - 1] = joins
        ? { ...before, joins: /^[-–]+$/.test(word[0]) }
        : { ...before, text: `${before.text} ${word[0]}` };
      continue;
    }
    const texts = dividedWord(word[0], tongue);
    const stresses = stressesOf(word[0], texts.length, tongue);
    let at = start;
    texts.forEach((text, i) => {
      const joins = i + 1 < texts.length;
      found.push({
        text,
        joins,
        from: column(at),
        to: column(at + text.length),
        stress: itemAt(stresses, i),
      });
      at += text.length;
    });
  }
  const last = found[found.length - 1];
  if (last) found[found.length - 1] = { ...last, joins: false };
  return found;
}

/** A word of the line as its syllables, with all its signs. */
function dividedWord(word: string, tongue: Tongue): string[] {
  if (word.length > 100) return [word];
  if (/[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}]/u.test(word))
    return (
      word.match(
        /[^\p{L}]*\p{L}[\u3041\u3043\u3045\u3047\u3049\u3063\u3083\u3085\u3087\u30a1\u30a3\u30a5\u30a7\u30a9\u30c3\u30e3\u30e5\u30e7\u30fc]*[^\p{L}]*/gu,
      ) ?? [word]
    );
  const parts = word.split(/(?<=[\p{L}\p{N}][-–]+)(?=[\p{L}\p{N}])/u);
  return parts.flatMap((part) => (isAlphabetic(part) ? divided(part, tongue) : [part]));
}

function isAlphabetic(word: string): boolean {
  return !/[^\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}\p{Script=Common}\p{Script=Inherited}]/u.test(
    word,
  );
}

/** Letters without their accents, in lower case, one for one with the word's own. */
function plainLetters(word: string): string {
  return [...word]
    .map((sign) =>
      sign.length > 1 ? '?'.repeat(sign.length) : (sign.normalize('NFD').toLowerCase()[0] ?? '?'),
    )
    .join('');
}

interface Nucleus {
  readonly from: number;
  readonly to: number;
}

function divided(word: string, tongue: Tongue): string[] {
  const letters = plainLetters(word);
  const groups = nucleiOf(letters);
  const core = letters
    .replace(/[^\p{L}'’]/gu, '')
    .replace(/’/g, "'")
    .replace(/^'+|'+$/g, '');
  const wanted = tongue.english && core !== '' ? englishCount(core) : Math.max(1, groups.length);
  const nuclei = fitNuclei(letters, groups, wanted);
  const cuts: number[] = [];
  for (let i = 0; i + 1 < nuclei.length; i++)
    cuts.push(cutBetween(letters, itemAt(nuclei, i), itemAt(nuclei, i + 1)));
  return [...cuts, word.length].map((cut, i) => word.slice(cuts[i - 1] ?? 0, cut));
}

function nucleiOf(letters: string): Nucleus[] {
  const nuclei: Nucleus[] = [];
  for (let i = 0; i < letters.length; ) {
    if (!isVowel(letters, i)) {
      i += 1;
      continue;
    }
    let to = i + 1;
    while (to < letters.length && isVowel(letters, to)) to += 1;
    nuclei.push({ from: i, to });
    i = to;
  }
  return nuclei;
}

/** First parts of compound words that end in a silent `e`: `home-ward`, `fire-side`. Common practice, no source. */
const COMPOUND =
  /^(home|life|fire|grave|bride|side|lone|wire|pine|stone|whole|fore|shore|tide|time|cave|lake|smoke|snake|rope|line|place|horse|house|love|hope|care|grape|ice|more|wheel|white|blue|apple|bone|cane|lime|mine|whale|some|gate|there|where|here)([bcdfghjklmnpqrstvwz][a-z]*[aeiouy][a-z]*)$/;

/** As the package counts, after spellings that it is known to count one too many for: `large`, `tongue`, `marriage`, `o'er`. */
function englishCount(letters: string): number {
  const plain = letters.replace(/'(?:s|d|ll|m|re|ve|t)$/, '').replace(/'/g, '');
  if (/^[a-z]*'(?:n|r|er|rs|ns|st|ry|rous)$/.test(letters)) return Math.max(1, nucleiOf(plain).length);
  const compound = COMPOUND.exec(plain);
  if (compound && !/^(?:somer|hopele|iced|homel|forever)/.test(plain))
    return 1 + Math.max(1, syllable(compound[2] ?? ''));
  return Math.max(
    1,
    syllable(
      plain
        .replace(/iage$/, 'idge')
        .replace(/(r|an)ge$/, '$1g')
        .replace(/ngue(s?)$/, 'ng$1'),
    ),
  );
}

/** `y` before a vowel is a consonant, but after a consonant a vowel (`dy-ing`); `u` after `q` is a consonant. */
function isVowel(letters: string, i: number): boolean {
  const letter = letters.charAt(i);
  if (!VOWELS.test(letter)) return false;
  if (letter === 'y' && VOWELS.test(letters.charAt(i + 1) || '-'))
    return i > 0 && /[a-z]/.test(letters.charAt(i - 1)) && !VOWELS.test(letters.charAt(i - 1));
  return !(letter === 'u' && letters.charAt(i - 1) === 'q');
}

/** As many nuclei as the count wants, where letters allow it: silent `e` is passed over, two vowels are parted. */
function fitNuclei(letters: string, groups: readonly Nucleus[], wanted: number): Nucleus[] {
  const nuclei = [...groups];
  while (nuclei.length > wanted) {
    const silent = nuclei.findLastIndex(({ from, to }) => to - from === 1 && letters.charAt(from) === 'e');
    nuclei.splice(silent > 0 ? silent : nuclei.length - 1, 1);
  }
  while (nuclei.length < wanted) {
    const long = nuclei.findLastIndex(({ from, to }) => to - from >= 2);
    if (long < 0) break;
    const { from, to } = itemAt(nuclei, long);
    nuclei.splice(long, 1, { from, to: from + 1 }, { from: from + 1, to });
  }
  return nuclei;
}

const TOGETHER = /^(?:ch|sh|th|ph|wh|[bcfgkpst]l|[bcdfgkpt]r|qu|tw|sw|thr|shr|str|spr|scr|spl|s[ckmnpt])$/;

function cutBetween(letters: string, before: Nucleus, after: Nucleus): number {
  const between = letters.slice(before.to, after.from);
  const end = letters.slice(after.from);
  const doubled = /([a-z])\1/.exec(between);
  if (doubled) return before.to + doubled.index + 1;
  if (/^ing\b/.test(end) && between !== '' && !/thing\b/.test(letters)) return after.from;
  const apostrophe = between.search(/['’]/);
  if (apostrophe >= 0) return before.to + apostrophe;
  if (between.length <= 1) return between === 'x' ? after.from : before.to;
  if (/^(?:ck|ng)$/.test(between)) return after.from;
  if (TOGETHER.test(between)) return before.to + (/^s[ckmnpt]$/.test(between) ? 1 : 0);
  for (let keep = 1; keep < between.length; keep++)
    if (TOGETHER.test(between.slice(keep))) return before.to + keep;
  // Before a final `-le` its consonant goes with it: `can-dle`.
  if (/^le\b/.test(letters.slice(after.from - 1))) return after.from - 2;
  return after.from - 1;
}

/** Where an English word is stressed, by a rough rule; other tongues: everywhere alike. Common practice, no source. */
export function stressesOf(word: string, count: number, tongue: Tongue): (0 | 1 | 2)[] {
  if (!tongue.english) return Array.from({ length: count }, () => 1 as const);
  const plain = word
    .toLowerCase()
    .replace(/’/g, "'")
    .replace(/^[^\p{L}]+|[^\p{L}']+$/gu, '');
  if (count === 1) return [LITTLE.has(plain) ? 0 : 2];
  if (LITTLE.has(plain)) return Array.from({ length: count }, (_, i) => (i === count - 1 ? 1 : 0));
  const late = /(?:[ts]ion|ic|ity|ian)s?$/.test(plain) && count > 2;
  const first = late
    ? count - (/ity$/.test(plain) ? 3 : 2)
    : UNSTRESSED_FIRST.test(plain) || /^a-/.test(plain)
      ? 1
      : 0;
  return Array.from({ length: count }, (_, i) =>
    i === first ? 2 : i > first && (i - first) % 2 === 0 ? 1 : 0,
  );
}

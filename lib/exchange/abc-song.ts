import { itemAt, type MakeId, must } from '../base';
import {
  type Bar,
  type ChordMark,
  type Pass,
  type Section,
  type Song,
  type SungNote,
  UNDECIDED,
  type Voice,
  type VoicePart,
} from '../song';
import { parseChord } from '../theory';
import { barTicks, type Meter, type Ticks, ticksOf } from '../time';
import { type AlignedVoices, placeOfTick } from './abc-align';
import { planSections, type Run, runByOrder, runByRepeats, type SectionPlan } from './abc-sections';
import { joinTies } from './abc-ties';
import type { RawNote, ScannedTune, VoiceBar, VoiceText } from './abc-types';
import type { Findings } from './report';

export interface VoiceRead {
  readonly text: Pick<VoiceText, 'id' | 'name'>;
  readonly bars: readonly VoiceBar[];
}

/** Sections in which nobody sings, by their names. */
const NOBODY_SINGS = /\b(?:break|kick-?off|intro|solo|turnaround|instrumental|interlude|outro)\b/i;

/** Puts a song together from the bars of its voices. */
export function buildSong(
  tune: Pick<ScannedTune, 'key' | 'tempo' | 'order' | 'swing'>,
  voices: readonly VoiceRead[],
  aligned: AlignedVoices,
  title: string,
  makeId: MakeId,
  findings: Findings,
): Song {
  const songId = makeId();
  const { bars } = aligned;
  const plans = planSections(bars);
  const sung = stanzasBySection(voices, aligned, plans, findings);
  const anyWords = sung.some((count) => count > 0);
  const names = nameSections(plans, sung, anyWords);
  const barIds = bars.map(() => makeId());
  const sections: Section[] = plans.map((plan, i) => ({
    id: makeId(),
    name: itemAt(names, i),
    bars: sectionBars(plan, bars, barIds, i === 0),
  }));
  const songVoices = nameVoices(voices, makeId);
  const notes: SungNote[] = [];
  voices.forEach((voice, v) => {
    const places = itemAt(aligned.places, v);
    const onTwo = (note: RawNote) =>
      findings.guessed(`two syllables under tied notes are sung on one (${findings.sayPlace(note.at)})`);
    for (const note of joinTies(voice.bars, onTwo)) {
      const { bar, offset } = placeOfTick(itemAt(places, note.bar), note.offset, bars);
      notes.push({
        id: makeId(),
        voiceId: itemAt(songVoices, v).id,
        barId: itemAt(barIds, bar),
        offset,
        ticks: note.ticks,
        midi: note.midi,
        syllables: note.syllables.some((syllable) => syllable !== null) ? note.syllables.slice(0, 60) : [],
        stanzas: [],
        breath: note.breath,
        fermata: note.fermata,
      });
    }
  });
  const order = tune.order ? runByOrder(tune.order.text, plans, tune.order.at, findings) : null;
  if (tune.order && !order)
    findings.leftOut(`an order of parts without such parts in the tune: "${tune.order.text}"`, tune.order.at);
  return {
    id: songId,
    title,
    key: bars[0]?.key ?? must(tune.key.key, 'the key'),
    tempo: bars[0]?.tempo ?? tune.tempo,
    feel: { ratio: tune.swing },
    sections,
    passes: makePasses(order, plans, sections, sung, anyWords, makeId),
    voices: songVoices,
    notes,
    chords: placeChords(voices, aligned, barIds, makeId, findings),
    settings: [],
    settled: [],
    proposals: [],
    votes: [],
    comments: [],
    ...UNDECIDED,
  };
}

function sectionBars(
  plan: SectionPlan,
  bars: readonly VoiceBar[],
  ids: readonly string[],
  first: boolean,
): Bar[] {
  return bars.slice(plan.from, plan.to).map((bar, i) => {
    const index = plan.from + i;
    const meter = bar.meter === 'free' ? meterOf(bar.ticks) : bar.meter;
    const before = bars[index - 1];
    const short = bar.meter !== 'free' && bar.ticks < barTicks(meter);
    const leads = first || (before !== undefined && before.ticks < barTicks(meter));
    return {
      id: itemAt(ids, index),
      meter,
      ticks: bar.ticks,
      pickup: i === 0 && short && leads && plan.to - plan.from > 1,
      endings: itemAt(plan.endings, i),
      key: index === 0 ? null : bar.key,
      tempo: index === 0 ? null : bar.tempo,
    };
  });
}

/** A bar without meter is counted in quarters, or in the largest unit that fills it evenly. */
function meterOf(ticks: Ticks): Meter {
  for (const unit of [4, 8, 16, 32]) {
    const count = ticks / ticksOf(1, unit);
    if (Number.isInteger(count) && count <= 64) return { count, unit };
  }
  for (const unit of [2, 1]) {
    const count = ticks / ticksOf(1, unit);
    if (Number.isInteger(count) && count <= 64) return { count, unit };
  }
  return { count: 4, unit: 4 };
}

/**
 * How many stanzas each section has words for. Where most of a section has several and one line has one only, that line
 * is sung in all of them.
 */
function stanzasBySection(
  voices: readonly VoiceRead[],
  aligned: AlignedVoices,
  plans: readonly SectionPlan[],
  findings: Findings,
): number[] {
  const sectionOfBar: number[] = [];
  plans.forEach((plan, i) => {
    for (let bar = plan.from; bar < plan.to; bar++) sectionOfBar[bar] = i;
  });
  const counts = plans.map(() => 0);
  voices.forEach((voice, v) => {
    const groups = new Map<number, RawNote[]>();
    for (const note of voice.bars.flatMap((bar) => bar.notes)) {
      const { bar } = placeOfTick(itemAt(itemAt(aligned.places, v), note.bar), note.offset, aligned.bars);
      const section = sectionOfBar[bar] ?? 0;
      const group = groups.get(section);
      if (group) group.push(note);
      else groups.set(section, [note]);
    }
    for (const [section, notes] of groups) {
      const count = Math.min(60, wordsOf(notes));
      counts[section] = Math.max(counts[section] ?? 0, count);
      fillShared(notes, count, findings);
    }
  });
  return counts;
}

function wordsOf(notes: readonly RawNote[]): number {
  let count = 0;
  for (const { syllables } of notes)
    for (let i = syllables.length - 1; i >= count; i--) if (syllables[i]) count = i + 1;
  return count;
}

function fillShared(notes: readonly RawNote[], count: number, findings: Findings): void {
  const shared = count > 1 ? notes.filter((note) => note.syllables.length === 1 && note.syllables[0]) : [];
  for (const note of shared) {
    const syllable = note.syllables[0] ?? null;
    while (note.syllables.length < count) note.syllables.push(syllable);
  }
  const first = shared[0];
  if (first)
    findings.guessed(
      `words written once among ${count} stanzas are sung in all of them (first at ${findings.sayPlace(first.at)})`,
    );
}

const SHORT_NAMES: Readonly<Record<string, string>> = { V: 'Verse', C: 'Chorus', B: 'Bridge', I: 'Intro' };

/** Names as the file gives them; `V` is Verse, and beside it `C` Chorus, `B` Bridge, `I` Intro. */
function nameSections(plans: readonly SectionPlan[], sung: readonly number[], anyWords: boolean): string[] {
  const hasVerse = plans.some((plan) => /^(?:V|Verse)$/i.test(plan.label ?? ''));
  const anyLabel = plans.some((plan) => plan.label !== null);
  const used = new Map<string, number>();
  let letter = 0;
  return plans.map((plan, i) => {
    if (plan.label === null) {
      if (anyLabel) return itemAt(sung, i) > 0 ? 'Verse' : 'Intro';
      if (plans.length === 1) return anyWords ? 'Verse' : 'Tune';
      letter += 1;
      return letter <= 26 ? String.fromCharCode(64 + letter) : `Section ${letter}`;
    }
    const short = hasVerse ? SHORT_NAMES[plan.label.toUpperCase()] : undefined;
    const name = (short ?? plan.label).slice(0, 70);
    const parts = plan.continued ? (used.get(name) ?? 1) + 1 : 1;
    used.set(name, parts);
    return parts > 1 ? `${name}, part ${parts}` : name;
  });
}

/**
 * The roadmap: the header's order of parts, or the tune with its repeats, run through as often as it takes to sing every
 * stanza. A section counts its own passes; each takes the next stanza that the section has words for.
 */
function makePasses(
  order: readonly Run[] | null,
  plans: readonly SectionPlan[],
  sections: readonly Section[],
  sung: readonly number[],
  anyWords: boolean,
  makeId: MakeId,
): Pass[] {
  const once = order ?? runByRepeats(plans);
  const often = plans.map((_, i) => once.filter((run) => run.section === i).length);
  const through = order
    ? 1
    : Math.max(1, ...plans.map((_, i) => (often[i] ? Math.ceil((sung[i] ?? 0) / itemAt(often, i)) : 1)));
  const count = plans.map(() => 0);
  const passes: Pass[] = [];
  for (let round = 0; round < through; round++) {
    for (const { section, time } of once) {
      const stanzas = sung[section] ?? 0;
      const silent = stanzas === 0 && NOBODY_SINGS.test(itemAt(sections, section).name);
      const nth = itemAt(count, section);
      count[section] = nth + 1;
      passes.push({
        id: makeId(),
        sectionId: itemAt(sections, section).id,
        stanza: silent ? null : anyWords && stanzas > 0 ? (nth % stanzas) + 1 : 1,
        ending: time,
        name: '',
        roles: {},
      });
    }
  }
  return passes;
}

function nameVoices(voices: readonly VoiceRead[], makeId: MakeId): Voice[] {
  const said = voices.map(({ text }) => partOf(`${text.name ?? ''} ${text.id}`));
  const lead = Math.max(0, said.indexOf('lead'));
  return voices.map(({ text }, i) => ({
    id: makeId(),
    name: (text.name ?? (voices.length === 1 ? 'Lead' : text.id)).slice(0, 80),
    part: i === lead ? 'lead' : saidOrBy(said[i] ?? null, i),
    playerId: null,
    range: null,
  }));
}

const BY_ORDER: readonly VoicePart[] = ['tenor', 'tenor', 'baritone'];

function saidOrBy(said: VoicePart | null, index: number): VoicePart {
  return said !== null && said !== 'lead' ? said : (BY_ORDER[index] ?? 'other');
}

function partOf(name: string): VoicePart | null {
  if (/\b(?:lead|melody|sopran\w*)\b/i.test(name)) return 'lead';
  if (/\btenor\b/i.test(name)) return 'tenor';
  if (/\bbaritone?\b/i.test(name)) return 'baritone';
  return /\b(?:alto|bass|guitar|banjo|fiddle|violin|mandolin|piano)\b/i.test(name) ? 'other' : null;
}

/** Chord symbols of all voices; where two stand at one place, the upper voice's. */
function placeChords(
  voices: readonly VoiceRead[],
  aligned: AlignedVoices,
  barIds: readonly string[],
  makeId: MakeId,
  findings: Findings,
): ChordMark[] {
  const found = new Map<string, { bar: number; offset: Ticks; symbol: string }>();
  voices.forEach((voice, v) => {
    voice.bars.forEach((voiceBar, b) => {
      for (const chord of voiceBar.chords) {
        const place = placeOfTick(itemAt(itemAt(aligned.places, v), b), chord.offset, aligned.bars);
        const key = `${place.bar} ${place.offset}`;
        if (found.has(key)) continue;
        found.set(key, { ...place, symbol: chord.symbol });
        if (parseChord(chord.symbol) === null && !/^\(?n\.? ?c\.?\)?$/i.test(chord.symbol))
          findings.warn(
            `the chord symbol "${chord.symbol}" is not understood; it is kept as written (${findings.sayPlace(chord.at)})`,
          );
      }
    });
  });
  return [...found.values()]
    .sort((a, b) => a.bar - b.bar || a.offset - b.offset)
    .map(({ bar, offset, symbol }) => ({ id: makeId(), barId: itemAt(barIds, bar), offset, symbol }));
}

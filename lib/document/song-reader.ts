import type * as Y from 'yjs';
import {
  type Bar,
  type ChordMark,
  feelSchema,
  keySchema,
  type PlayerSetting,
  type Section,
  type Song,
  type SungNote,
  settingSchema,
  tempoSchema,
  type Vote,
} from '../song';
import { mapOf, SONG_VERSION, type SongMap, splitKey, versionOf } from './layout';
import { byPosition, compare } from './order';
import { byTime, standing } from './settled';
import { type Read, Shelf, share, shareFields } from './shelf';
import * as items from './song-items';
import { SungNotes } from './sung-notes';

/** A song as it was read: what cannot be read is left out and listed, and nothing is deleted for it. */
export interface SongReading {
  readonly song: Song;
  /** A sentence for each thing that is in the document and not in the song, though nobody removed it. */
  readonly broken: readonly string[];
  /** True where this program must not write: the document is of another version, or nothing has been put into it yet. */
  readonly readOnly: boolean;
}

/** The order of the bars, and what hangs on each. */
interface BarPlace {
  readonly index: number;
  readonly ticks: number;
}

/** Reads one document again and again: only what changed is read anew, the rest keeps its identity. */
export class SongReader {
  readonly #doc: Y.Doc;
  readonly #meta;
  readonly #sections;
  readonly #bars;
  readonly #voices;
  readonly #passes;
  readonly #notes: SungNotes;
  readonly #chords;
  readonly #settings;
  readonly #settled;
  readonly #proposals;
  readonly #votes;
  readonly #comments;
  #last: SongReading | undefined;
  /** The broken things of each part of the last reading. */
  #breaches = new Map<string, readonly string[]>();
  #barPlaces: ReadonlyMap<string, BarPlace> = new Map();

  constructor(doc: Y.Doc) {
    this.#doc = doc;
    const shelf = <T>(name: SongMap, read: (raw: unknown, key: string) => Read<T>) =>
      new Shelf(mapOf(doc, name), read);
    this.#meta = shelf('meta', items.readRaw);
    this.#sections = shelf('sections', items.readSection);
    this.#bars = shelf('bars', items.readBar);
    this.#voices = shelf('voices', items.readVoice);
    this.#passes = shelf('passes', items.readPass);
    this.#notes = new SungNotes(doc);
    this.#chords = shelf('chords', items.readChord);
    this.#settings = shelf('settings', items.readRaw);
    this.#settled = shelf('settled', items.readAnswer);
    this.#proposals = shelf('proposals', items.readAnswer);
    this.#votes = shelf('votes', items.readVote);
    this.#comments = shelf('comments', items.readComment);
  }

  /** The song as it is now; the very same object where nothing changed. Not for use inside a transaction. */
  read(): SongReading {
    const first = this.#last === undefined;
    const old = this.#last?.song;
    const meta = this.#meta.refresh() || first;
    const bars = [this.#sections.refresh(), this.#bars.refresh(), first].includes(true);
    const voices = this.#voices.refresh() || first;
    const passes = [this.#passes.refresh(), bars].includes(true);
    const notes = [this.#notes.refresh(), bars, voices].includes(true);
    const chords = [this.#chords.refresh(), bars].includes(true);
    const settings = this.#settings.refresh() || first;
    const answers = [this.#settled.refresh(), this.#proposals.refresh(), first].includes(true);
    const votes = [this.#votes.refresh(), answers].includes(true);
    const comments = this.#comments.refresh() || first;

    const head = meta || !old ? this.#readHead(old) : old;
    const sections = bars || !old ? this.#readSections(old) : old.sections;
    const { settled, proposals } = answers || !old ? this.#readAnswers(old) : old;
    const song: Song = {
      id: head.id,
      title: head.title,
      key: head.key,
      tempo: head.tempo,
      feel: head.feel,
      sections,
      passes: passes || !old ? this.#readPasses(old) : old.passes,
      voices: voices || !old ? this.#readVoices(old) : old.voices,
      notes: notes || !old ? this.#readNotes(old) : old.notes,
      chords: chords || !old ? this.#readChords(old) : old.chords,
      settings: settings || !old ? this.#readSettings(old) : old.settings,
      settled,
      proposals,
      votes: votes || !old ? this.#readVotes(old, proposals) : old.votes,
      comments: comments || !old ? this.#readComments(old) : old.comments,
    };
    const broken = share(this.#last?.broken, [...this.#breaches.values()].flat());
    const readOnly = versionOf(this.#doc) !== SONG_VERSION;
    this.#last = shareFields(this.#last, { song: shareFields(old, song), broken, readOnly });
    return this.#last;
  }

  #note(part: string, unread: Iterable<string>, more: readonly string[] = []): void {
    this.#breaches.set(
      part,
      [...[...unread].map((id) => `${part} ${id} cannot be read`), ...more].sort(compare),
    );
  }

  #readHead(old: Song | undefined): Pick<Song, 'id' | 'title' | 'key' | 'tempo' | 'feel'> {
    const meta = this.#meta.values;
    const breaches: string[] = [];
    const field = <T>(key: string, usual: T, parse: (value: unknown) => T | undefined): T => {
      const value = parse(meta.get(key));
      if (value === undefined && meta.size > 0) breaches.push(`the song's ${key} cannot be read`);
      return value ?? usual;
    };
    const text = (value: unknown) => (typeof value === 'string' ? value.slice(0, 200) : undefined);
    const key = field<Song['key']>(
      'key',
      { tonic: 'C', mode: 'major' },
      (value) => keySchema.safeParse(value).data,
    );
    const feel = field('feel', { ratio: 1 }, (value) => feelSchema.safeParse(value).data);
    const tempo = tempoSchema.nullable().safeParse(meta.get('tempo') ?? null);
    if (!tempo.success) breaches.push("the song's tempo cannot be read");
    const head = {
      id: field('id', '', text),
      title: field('title', '', text),
      key: old ? shareFields(old.key, key) : key,
      tempo: tempo.data ?? null,
      feel: old ? shareFields(old.feel, feel) : feel,
    };
    this.#breaches.set('song', breaches);
    return head;
  }

  #readSections(old: Song | undefined): readonly Section[] {
    const before = new Map(old?.sections.map((section) => [section.id, section]));
    const inSection = new Map<string, Bar[]>();
    const lost: string[] = [];
    for (const bar of [...this.#bars.values.values()].sort(byPosition)) {
      if (this.#sections.removed.has(bar.sectionId)) continue;
      const there = inSection.get(bar.sectionId);
      if (there) there.push(bar.value);
      else inSection.set(bar.sectionId, [bar.value]);
      if (!this.#sections.values.has(bar.sectionId)) lost.push(`bar ${bar.id} has no section`);
    }
    this.#note('section', this.#sections.broken);
    this.#note('bar', this.#bars.broken, lost);
    const sections = [...this.#sections.values.values()].sort(byPosition).map(({ id, value }) => {
      const was = before.get(id);
      return shareFields(was, { id, name: value.name, bars: share(was?.bars, inSection.get(id) ?? []) });
    });
    const all = sections.flatMap((section) => section.bars);
    this.#barPlaces = new Map(all.map((bar, index) => [bar.id, { index, ticks: bar.ticks }]));
    return share(old?.sections, sections);
  }

  #readVoices(old: Song | undefined) {
    this.#note('voice', this.#voices.broken);
    return share(
      old?.voices,
      [...this.#voices.values.values()].sort(byPosition).map((voice) => voice.value),
    );
  }

  #readPasses(old: Song | undefined) {
    const lost: string[] = [];
    const passes = [...this.#passes.values.values()].sort(byPosition).filter(({ id, value }) => {
      if (this.#sections.values.has(value.sectionId)) return true;
      if (!this.#sections.removed.has(value.sectionId)) lost.push(`pass ${id} has no section`);
      return false;
    });
    this.#note('pass', this.#passes.broken, lost);
    return share(
      old?.passes,
      passes.map((pass) => pass.value),
    );
  }

  /** Where something hangs; null where it is hidden with its bar (or broken, and then listed). */
  #barOf(
    hung: { readonly barId: string; readonly offset: number },
    name: string,
    lost: string[],
  ): BarPlace | null {
    const place = this.#barPlaces.get(hung.barId);
    if (place && hung.offset < place.ticks) return place;
    if (place) {
      lost.push(`${name} lies behind the end of its bar`);
      return null;
    }
    const section = this.#bars.values.get(hung.barId)?.sectionId;
    const hidden =
      this.#bars.removed.has(hung.barId) || (section !== undefined && this.#sections.removed.has(section));
    if (!hidden) lost.push(`${name} has no bar`);
    return null;
  }

  #readNotes(old: Song | undefined): readonly SungNote[] {
    const lost: string[] = [];
    const voices = new Map(
      [...this.#voices.values.values()].sort(byPosition).map(({ id }, index) => [id, index]),
    );
    const rows: { readonly bar: number; readonly voice: number; readonly note: SungNote }[] = [];
    for (const note of this.#notes.all()) {
      const bar = this.#barOf(note, `note ${note.id}`, lost);
      if (!bar) continue;
      const voice = voices.get(note.voiceId);
      if (voice === undefined) {
        if (!this.#voices.removed.has(note.voiceId)) lost.push(`note ${note.id} has no voice`);
        continue;
      }
      rows.push({ bar: bar.index, voice, note });
    }
    this.#note('note', this.#notes.brokenNotes, lost);
    this.#note('word', this.#notes.brokenWords);
    rows.sort(
      (a, b) =>
        a.bar - b.bar || a.note.offset - b.note.offset || a.voice - b.voice || compare(a.note.id, b.note.id),
    );
    return share(
      old?.notes,
      rows.map((row) => row.note),
    );
  }

  #readChords(old: Song | undefined): readonly ChordMark[] {
    const lost: string[] = [];
    const rows: { readonly bar: number; readonly chord: ChordMark }[] = [];
    for (const chord of this.#chords.values.values()) {
      const bar = this.#barOf(chord, `chord ${chord.id}`, lost);
      if (bar) rows.push({ bar: bar.index, chord });
    }
    this.#note('chord', this.#chords.broken, lost);
    rows.sort((a, b) => a.bar - b.bar || a.chord.offset - b.chord.offset || compare(a.chord.id, b.chord.id));
    return share(
      old?.chords,
      rows.map((row) => row.chord),
    );
  }

  #readSettings(old: Song | undefined): readonly PlayerSetting[] {
    const before = new Map(old?.settings.map((setting) => [setting.playerId, setting]));
    const byPlayer = new Map<string, Record<string, unknown>>();
    const unread: string[] = [];
    for (const [key, value] of this.#settings.values) {
      const parts = splitKey(key);
      if (!parts) unread.push(key);
      else byPlayer.set(parts[0], { ...byPlayer.get(parts[0]), [parts[1]]: value });
    }
    const settings: PlayerSetting[] = [];
    for (const [playerId, fields] of [...byPlayer].sort((a, b) => compare(a[0], b[0]))) {
      if (fields.instrument === undefined) continue;
      const setting = settingSchema.safeParse({ ...usualSetting, ...fields, playerId });
      if (setting.success) settings.push(shareFields(before.get(playerId), setting.data));
      else unread.push(playerId);
    }
    this.#note('setting of', unread);
    return share(old?.settings, settings);
  }

  #readAnswers(old: Song | undefined) {
    const { standing: settled, overruled } = standing(this.#settled.values.values());
    const put = [...this.#proposals.values.values()].filter(({ id }) => !this.#settled.values.has(id));
    this.#note('settled answer', this.#settled.broken);
    this.#note('proposal', this.#proposals.broken);
    return {
      settled: share(old?.settled, settled),
      proposals: share(old?.proposals, [...put, ...overruled].sort(byTime)),
    };
  }

  #readVotes(old: Song | undefined, proposals: Song['proposals']): readonly Vote[] {
    const before = new Map(old?.votes.map((vote) => [`${vote.proposalId} ${vote.playerId}`, vote]));
    const open = new Set(proposals.map((proposal) => proposal.id));
    const votes: Vote[] = [];
    const unread = [...this.#votes.broken];
    for (const [key, yes] of [...this.#votes.values].sort((a, b) => compare(a[0], b[0]))) {
      const parts = splitKey(key);
      if (!parts) unread.push(key);
      if (!parts || !open.has(parts[0])) continue;
      const vote = { proposalId: parts[0], playerId: parts[1], yes };
      votes.push(shareFields(before.get(`${vote.proposalId} ${vote.playerId}`), vote));
    }
    this.#note('vote', unread);
    return share(old?.votes, votes);
  }

  #readComments(old: Song | undefined) {
    this.#note('comment', this.#comments.broken);
    return share(old?.comments, [...this.#comments.values.values()].sort(byTime));
  }
}

/** What a player's setting has where nobody said otherwise; the instrument is always said. */
export const usualSetting = { tuning: 'standard', capo: 0, fifthCapo: null, rule: null } as const;

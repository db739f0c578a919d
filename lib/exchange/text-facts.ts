import { type Key, parseKey } from '../theory';
import { beatTicks, type Meter, parseMeter, TICKS_PER_QUARTER } from '../time';

/** What a line in plain English at the top of a song says. */
export type Fact =
  | { readonly kind: 'title'; readonly title: string }
  | { readonly kind: 'key'; readonly key: Key }
  | { readonly kind: 'capo'; readonly capo: number }
  | { readonly kind: 'tempo'; readonly beatsPerMinute: number }
  | { readonly kind: 'meter'; readonly meter: Meter }
  | { readonly kind: 'swing'; readonly ratio: number }
  | { readonly kind: 'unheld'; readonly what: string }
  | { readonly kind: 'unread'; readonly what: string };

/** The facts that a line says, each set apart by wide gaps, commas, semicolons or bars; null where something else stands in it. */
export function readFacts(line: string): readonly Fact[] | null {
  if (line.length > 400) return null;
  const whole = readFact(line.trim());
  if (whole && whole.kind !== 'unread') return [whole];
  const pieces = line
    .split(/\s{2,}|\t|[,;|•·]/)
    .map((piece) => piece.trim())
    .filter((piece) => piece !== '');
  if (pieces.length < 2) return whole ? [whole] : null;
  const facts = pieces.map(readFact);
  return facts.every((fact) => fact !== null) ? facts : whole ? [whole] : null;
}

function readFact(text: string): Fact | null {
  const named = /^([A-Za-z][A-Za-z ]{0,24}?)\s*[:=]\s*(.+)$/.exec(text);
  const name = (named?.[1] ?? '').toLowerCase();
  const value = (named?.[2] ?? '').trim();
  if (/^(?:title|song|name)$/.test(name)) return { kind: 'title', title: value };
  if (/^(?:song |original )?key$/.test(name)) return keyFact(value, text);
  if (name === 'capo') return capoFact(value, text);
  if (/^(?:tempo|bpm|speed)$/.test(name)) return tempoFact(value, text);
  if (/^(?:time|meter|metre|time signature|signature)$/.test(name)) return meterFact(value, text);
  if (/^(?:feel|groove)$/.test(name)) return feelFact(value, text);
  if (UNHELD.test(name) || /^(?:by|words (?:and music )?by|music by|written by|©|copyright)\s/i.test(text))
    return { kind: 'unheld', what: `a line about the song: "${text.slice(0, 80)}"` };
  const key = /^(?:(?:in )?(?:the )?key (?:of )?|in )([A-G][#b♯♭]?(?:m|\s+[a-z]+)?)$/i.exec(text);
  if (key && parseKey(key[1] ?? '')) return keyFact(key[1] ?? '', text);
  if (/^no capo$/i.test(text)) return { kind: 'capo', capo: 0 };
  const capo = /^capo\s+(.+)$/i.exec(text);
  if (capo && /\d/.test(text)) return capoFact(capo[1] ?? '', text);
  const tempo = /^(?:tempo\s+)?(?:♩\s*=\s*)?(\d{2,3}(?:\.\d+)?)\s*(bpm|beats (?:a|per) minute)?$/i.exec(text);
  if (tempo && (tempo[2] || /^(?:tempo|♩)/i.test(text))) return tempoFact(tempo[1] ?? '', text);
  if (/^\d{1,2}\/\d{1,2}(?: time)?$/.test(text)) return meterFact(text.replace(/ time$/, ''), text);
  if (/^(?:in )?waltz(?: time)?$/i.test(text)) return { kind: 'meter', meter: { count: 3, unit: 4 } };
  return /^(?:swing|swung|straight)(?: feel)?$/i.test(text) ? feelFact(text, text) : null;
}

const UNHELD =
  /^(?:by|author|writers?|artist|composer|lyrics|words|music|words and music|tuning|source|from|album|copyright|year|date|notes?|strumming|strum|difficulty|transcribed by|tabbed by)$/;

const unread = (text: string): Fact => ({
  kind: 'unread',
  what: `a line about the song that cannot be read: "${text.slice(0, 80)}"`,
});

function keyFact(value: string, text: string): Fact {
  const key = parseKey(value.replace(/\s*\(.*\)$/, ''));
  return key ? { kind: 'key', key } : unread(text);
}

function capoFact(value: string, text: string): Fact {
  const match = /^(?:on |at )?(?:the )?(?:fret )?(\d{1,2})(?:st|nd|rd|th)?(?: fret)?$|^(none|no|open)$/i.exec(
    value,
  );
  const capo = match ? Number(match[1] ?? 0) : 12;
  return capo <= 11 ? { kind: 'capo', capo } : unread(text);
}

function tempoFact(value: string, text: string): Fact {
  const match =
    /^(?:about |around |ca?\.? ?|~)?(?:♩\s*=\s*)?(\d{1,3}(?:\.\d{1,3})?)(?:\s*(?:bpm|beats (?:a|per) minute))?$/i.exec(
      value,
    );
  const beatsPerMinute = match ? Number(match[1]) : 0;
  return beatsPerMinute >= 10 && beatsPerMinute <= 400 ? { kind: 'tempo', beatsPerMinute } : unread(text);
}

function meterFact(value: string, text: string): Fact {
  const meter = /^waltz/i.test(value) ? { count: 3, unit: 4 } : parseMeter(value.replace(/ time$/, ''));
  return meter ? { kind: 'meter', meter } : unread(text);
}

function feelFact(value: string, text: string): Fact {
  if (/^straight/i.test(value)) return { kind: 'swing', ratio: 1 };
  return /^(?:swing|swung)/i.test(value) ? { kind: 'swing', ratio: 2 } : unread(text);
}

/** Quarter notes a minute for beats a minute of a meter. */
export function quartersPerMinute(beatsPerMinute: number, meter: Meter): number {
  return (beatsPerMinute * beatTicks(meter)) / TICKS_PER_QUARTER;
}

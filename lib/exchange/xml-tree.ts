import { SaxesParser } from 'saxes';
import { fail, ok, type Result } from '../base';

/** An element of an XML document, as far as it is kept. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: XmlElement[];
  text: string;
  /** Offset in the document's text, just after the start tag. */
  readonly at: number;
}

/** A score of a song has some ten thousand elements, a large one for an orchestra a million. */
const MOST_ELEMENTS = 2_000_000;
const DEEPEST = 60;

/**
 * Reads an XML document, by the `saxes` parser (no external parts, no entities but XML's own five and character numbers). Elements
 * named in `passOver` are left out with all that they hold.
 *
 * @returns a problem where it is no well-formed XML (with its place), defines entities of its own, or is beyond two million elements
 */
export function readXml(text: string, passOver: ReadonlySet<string>): Result<XmlElement> {
  const parser = new SaxesParser({ position: true });
  const stack: XmlElement[] = [];
  let root: XmlElement | null = null;
  let count = 0;
  let skipped = 0;
  parser.on('error', (error) => {
    throw new Refused(
      'this XML is broken',
      `line ${parser.line}, column ${parser.column + 1}`,
      `save or export it again; the reader says: ${error.message.replace(/^\d+:\d+: /, '').slice(0, 160)}`,
    );
  });
  parser.on('doctype', (doctype) => {
    if (/<!ENTITY/i.test(doctype))
      throw new Refused(
        'this XML defines entities of its own, which are not expanded',
        'the document type at its start',
        'save it without a document type, or with the plain one of MusicXML',
      );
  });
  parser.on('opentag', (tag) => {
    count += 1;
    if (count > MOST_ELEMENTS || stack.length > DEEPEST)
      throw new Refused(
        count > MOST_ELEMENTS
          ? `this XML has more than ${MOST_ELEMENTS} elements`
          : `this XML is nested more than ${DEEPEST} deep`,
        `line ${parser.line}`,
        'check that it is the score of one song',
      );
    if (skipped > 0 || passOver.has(tag.name)) {
      skipped += 1;
      return;
    }
    const attributes = tag.attributes as Record<string, string>;
    const element: XmlElement = { name: tag.name, attributes, children: [], text: '', at: parser.position };
    const parent = stack[stack.length - 1];
    if (parent) parent.children.push(element);
    else root = element;
    stack.push(element);
  });
  parser.on('closetag', () => {
    if (skipped > 0) skipped -= 1;
    else stack.pop();
  });
  const onText = (piece: string) => {
    const element = stack[stack.length - 1];
    if (skipped === 0 && element && element.text.length < 10_000) element.text += piece;
  };
  parser.on('text', onText);
  parser.on('cdata', onText);
  try {
    parser.write(text).close();
  } catch (error) {
    if (error instanceof Refused) return fail(error.what, error.where, error.mend);
    throw error;
  }
  return root ? ok(root) : fail('there is no XML in it', 'the whole file', 'save or export it again');
}

class Refused extends Error {
  constructor(
    readonly what: string,
    readonly where: string,
    readonly mend: string,
  ) {
    super(what);
  }
}

export const child = (element: XmlElement | null | undefined, name: string): XmlElement | null =>
  element?.children.find((each) => each.name === name) ?? null;

export const childrenOf = (element: XmlElement | null | undefined, name: string): readonly XmlElement[] =>
  element?.children.filter((each) => each.name === name) ?? [];

export const textOf = (element: XmlElement | null | undefined, name: string): string | null =>
  child(element, name)?.text.trim() ?? null;

/** The number in a child element; null where there is none. */
export function numberOf(element: XmlElement | null | undefined, name: string): number | null {
  const text = textOf(element, name);
  if (text === null || text === '') return null;
  const value = Number(text);
  return Number.isFinite(value) ? value : null;
}

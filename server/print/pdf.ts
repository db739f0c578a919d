import PDFDocument from 'pdfkit';
import type { Instruction, Measure, Paper, Sheet } from '../../lib/parts';
import { PAPER_SIZES } from '../../lib/parts';
import { type FontRun, runsOf, widthOf } from './fonts';

/** CSS pixels to points. */
const POINTS = 72 / 96;
const INK = '#000000';
const QUIET = '#333333';
const FAINT = '#808080';

/** How wide texts are in the fonts of the print. */
export const measure: Measure = (text, size, face) =>
  runsOf(text, face, () => {}).reduce((sum, run) => sum + widthOf(run, size), 0);

/** A song's pages, and what it is called in the bookmarks. */
export interface PdfPart {
  readonly title: string;
  readonly sheets: readonly Sheet[];
}

export interface PdfRequest {
  readonly title: string;
  readonly author: string;
  readonly paper: Paper;
  /** By song: what the bookmarks are made from. Taken one at a time, so that a long book need not be held whole. */
  readonly parts: Iterable<PdfPart>;
  /** Stamped into the file. */
  readonly madeAt: Date;
}

export interface Pdf {
  readonly bytes: Uint8Array;
  readonly pages: number;
  /** Signs of the words that no font here has, drawn as question marks. */
  readonly missing: readonly string[];
}

/** Paints sheets as a PDF: vectors, fonts embedded, bookmarks for songs and their passes. */
export async function paintPdf({ title, author, paper, parts, madeAt }: PdfRequest): Promise<Pdf> {
  const { width, height } = PAPER_SIZES[paper];
  const doc = new PDFDocument({
    autoFirstPage: false,
    size: [width * POINTS, height * POINTS],
    margin: 0,
    pdfVersion: '1.7',
    lang: 'en',
    displayTitle: true,
    info: { Title: title, Author: author, Creator: 'Breathmark', CreationDate: madeAt, ModDate: madeAt },
  });
  const chunks: Buffer[] = [];
  const ended = new Promise<void>((done, broken) => {
    doc.on('data', (chunk: Buffer) => chunks.push(chunk));
    doc.on('end', () => done());
    doc.on('error', broken);
  });
  const missing = new Set<string>();
  const names = new Map<FontRun['file'], string>();
  const nameOf = (file: FontRun['file']): string => {
    let name = names.get(file);
    if (name === undefined) {
      name = `font ${names.size + 1}`;
      names.set(file, name);
      doc.registerFont(name, file.bytes);
    }
    return name;
  };
  let pages = 0;
  for (const part of parts) {
    let bookmark: PDFKit.PDFOutline | null = null;
    for (const sheet of part.sheets) {
      doc.addPage();
      pages += 1;
      bookmark ??= doc.outline.addItem(part.title);
      for (const mark of sheet.marks) bookmark.addItem(mark.text);
      doc.save().scale(POINTS);
      for (const instruction of sheet.drawing) paint(doc, instruction, nameOf, (sign) => missing.add(sign));
      doc.restore();
    }
  }
  if (pages === 0) doc.addPage();
  doc.end();
  await ended;
  return { bytes: new Uint8Array(Buffer.concat(chunks)), pages, missing: [...missing] };
}

function paint(
  doc: PDFKit.PDFDocument,
  one: Instruction,
  nameOf: (file: FontRun['file']) => string,
  missing: (sign: string) => void,
): void {
  switch (one.kind) {
    case 'line':
      doc
        .moveTo(one.x1, one.y1)
        .lineTo(one.x2, one.y2)
        .lineWidth(one.pen === 'faint' ? 0.9 : 1.1)
        .stroke(one.pen === 'faint' ? FAINT : INK);
      return;
    case 'arc':
      doc
        .moveTo(one.x1, one.y)
        .quadraticCurveTo((one.x1 + one.x2) / 2, one.y - 2 * one.height, one.x2, one.y)
        .lineWidth(1)
        .stroke(INK);
      return;
    case 'text': {
      const runs = runsOf(one.text, one.face, missing);
      const width = runs.reduce((sum, run) => sum + widthOf(run, one.size), 0);
      let x = one.x - (one.anchor === 'start' ? 0 : one.anchor === 'middle' ? width / 2 : width);
      if (one.clear > 0)
        doc.rect(one.x - one.clear / 2, one.y - one.size * 0.74, one.clear, one.size * 0.78).fill('#ffffff');
      for (const run of runs) {
        doc
          .font(nameOf(run.file))
          .fontSize(one.size * run.grow)
          .fillColor(one.tone === 'ink' ? INK : QUIET)
          .text(run.text, x, one.y - run.raise * one.size, { lineBreak: false, baseline: 'alphabetic' });
        x += widthOf(run, one.size);
      }
    }
  }
}

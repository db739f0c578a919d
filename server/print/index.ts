/**
 * Parts and evening books as PDF, without a browser: paints the pages that lib/parts lays out, with the fonts of the pages, embedded. It
 * decides nothing about what stands where.
 */

export { type BookRequest, EveningBooks } from './book';
export { fileNameOf, freeName } from './file-name';
export { type PrintRequest, printCrib, printPart, printStudent } from './part';
export { measure, type Pdf, type PdfPart, type PdfRequest, paintPdf } from './pdf';

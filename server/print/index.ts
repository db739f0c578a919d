/**
 * Parts as PDF, without a browser: paints the pages that lib/parts lays out, with the fonts of the pages, embedded. It decides
 * nothing about what stands where.
 */

export { type PrintRequest, printPart } from './part';
export { measure, type Pdf, type PdfRequest, paintPdf } from './pdf';

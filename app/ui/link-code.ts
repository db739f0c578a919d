import { encode } from 'uqr';

/** A link as a square of dark and light fields, ready to be drawn. */
export interface LinkCode {
  /** Fields along an edge, with the light ones around it. */
  readonly edge: number;
  /** The dark fields as an SVG path, one field to a unit, each row's neighbours as one. */
  readonly path: string;
}

/**
 * Light fields around the code. Source, from memory: ISO/IEC 18004 (QR Code), which asks for a quiet zone of four fields.
 */
const QUIET = 4;

/** The QR Code of a link, at level M: it is read where up to 15 % of it cannot be seen. */
export function linkCode(link: string): LinkCode {
  const { data, size } = encode(link, { ecc: 'M', border: QUIET });
  return { edge: size, path: data.flatMap((row, y) => runsOf(row).map((run) => field(run, y))).join('') };
}

interface Run {
  readonly from: number;
  readonly length: number;
}

function runsOf(row: readonly boolean[]): readonly Run[] {
  const starts = row.flatMap((dark, x) => (dark && row[x - 1] !== true ? [x] : []));
  return starts.map((from) => {
    const end = row.indexOf(false, from);
    return { from, length: (end < 0 ? row.length : end) - from };
  });
}

const field = ({ from, length }: Run, y: number): string => `M${from} ${y}h${length}v1h-${length}z`;

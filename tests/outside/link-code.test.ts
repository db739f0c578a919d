import fc from 'fast-check';
import jsQR from 'jsqr';
import { describe, expect, it } from 'vitest';
import { type LinkCode, linkCode } from '../../app/ui/link-code';

/** Pixels along the edge of a field. */
const SCALE = 3;

/** The path drawn dark on light, as red, green, blue, alpha. */
function painted({ edge, path }: LinkCode) {
  const width = edge * SCALE;
  const pixels = new Uint8ClampedArray(width * width * 4).fill(255);
  for (const [, x, y, length] of path.matchAll(/M(\d+) (\d+)h(\d+)v1h-\d+z/g)) {
    for (let row = 0; row < SCALE; row++) {
      const from = (Number(y) * SCALE + row) * width + Number(x) * SCALE;
      for (let i = 0; i < Number(length) * SCALE; i++) pixels.fill(0, (from + i) * 4, (from + i) * 4 + 3);
    }
  }
  return { pixels, width };
}

function read(code: LinkCode): string | null {
  const { pixels, width } = painted(code);
  return jsQR(pixels, width, width, { inversionAttempts: 'dontInvert' })?.data ?? null;
}

describe('a link as a code', () => {
  // Reference library: jsQR, a reader of QR codes that has nothing to do with what draws ours.
  it('is read by another library as the same link, whatever its secret and wherever the server is', () => {
    const sign = fc.constantFrom(...'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_');
    const secret = fc.string({ unit: sign, minLength: 16, maxLength: 64 });
    const origin = fc.oneof(
      fc.constantFrom('http://localhost:3000', 'https://band.example', 'http://[::1]:8080'),
      fc.webAuthority().map((authority) => `https://${authority}`),
    );
    fc.assert(
      fc.property(origin, secret, (from, key) => {
        const link = `${from}/enter#${key}`;
        expect(read(linkCode(link))).toBe(link);
      }),
      { numRuns: 100 },
    );
  });

  // Source, from memory: ISO/IEC 18004: a quiet zone of four fields; symbols of 21, 25, 29 … 177 fields to an edge, and a finder
  // pattern in three of their corners: rows of 7, 1 1, 1 3 1, 1 3 1, 1 3 1, 1 1, 7 dark fields.
  it('has the light edge and the three finders that a camera looks for', () => {
    const code = linkCode('https://band.example/enter#AAAAAAAAAAAAAAAAAAAAAA');
    const inner = code.edge - 8;
    expect((inner - 21) % 4).toBe(0);
    const dark = new Set(
      [...code.path.matchAll(/M(\d+) (\d+)h(\d+)/g)].flatMap(([, x, y, length]) =>
        Array.from({ length: Number(length) }, (_, i) => `${Number(x) + i} ${y}`),
      ),
    );
    const finder = ['1111111', '1000001', '1011101', '1011101', '1011101', '1000001', '1111111'];
    const at = (left: number, top: number) =>
      finder.map((row, y) =>
        [...row].map((_, x) => (dark.has(`${left + x} ${top + y}`) ? '1' : '0')).join(''),
      );
    expect(at(4, 4)).toEqual(finder);
    expect(at(4 + inner - 7, 4)).toEqual(finder);
    expect(at(4, 4 + inner - 7)).toEqual(finder);
    for (const key of dark) {
      for (const place of key.split(' ').map(Number)) {
        expect(place).toBeGreaterThanOrEqual(4);
        expect(place).toBeLessThan(4 + inner);
      }
    }
  });
});

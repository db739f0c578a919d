/**
 * Drawing instructions: the one layout that every painter (the page's SVG, the printed page) follows.
 * Lengths are CSS pixels (96 to the inch), y grows downward.
 */
export type Face = 'plain' | 'strong' | 'words' | 'italic' | 'music';

export type Instruction =
  | {
      readonly kind: 'line';
      readonly x1: number;
      readonly y1: number;
      readonly x2: number;
      readonly y2: number;
      readonly pen: 'faint' | 'ink';
    }
  | {
      readonly kind: 'arc';
      readonly x1: number;
      readonly x2: number;
      /** Where it begins and ends; it bows upward by `height`. */
      readonly y: number;
      readonly height: number;
    }
  | {
      readonly kind: 'text';
      readonly x: number;
      readonly y: number;
      readonly text: string;
      readonly size: number;
      readonly anchor: 'start' | 'middle' | 'end';
      readonly face: Face;
      readonly tone: 'ink' | 'quiet';
      /** Width of paper to clear behind it, so that a line does not run through a number; 0: none. */
      readonly clear: number;
    };

export type Drawing = readonly Instruction[];

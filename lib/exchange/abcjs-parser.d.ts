/** The part of abcjs that reads music code; the package types only its drawing side. */
declare module 'abcjs/src/parse/abc_parse.js' {
  export interface AbcjsPitch {
    /** Steps of the staff above middle C. */
    readonly pitch: number;
    readonly accidental?: string;
    readonly startTie?: object;
    readonly startSlur?: readonly { readonly label: number }[];
    readonly endSlur?: readonly number[];
  }
  export interface AbcjsElement {
    readonly startSlur?: readonly { readonly label: number }[];
    readonly endSlur?: readonly number[];
    readonly el_type: string;
    readonly startChar?: number;
    readonly endChar?: number;
    /** Of a bar: `bar_thin`, `bar_right_repeat`, … */
    readonly type?: string;
    readonly startEnding?: string;
    /** In whole notes; a tuplet's notes as written. */
    readonly duration?: number;
    readonly pitches?: readonly AbcjsPitch[];
    readonly rest?: { readonly type: string; readonly text?: number };
    readonly gracenotes?: readonly object[];
    readonly decoration?: readonly string[];
    readonly startTriplet?: number;
  }
  export interface AbcjsTune {
    readonly lines: readonly {
      readonly staff?: readonly { readonly voices: readonly (readonly AbcjsElement[])[] }[];
    }[];
  }
  export interface AbcjsWarning {
    readonly message: string;
    readonly startChar: number;
  }
  export default class Parse {
    parse(text: string, switches: object, startPosition: number): void;
    getTune(): AbcjsTune;
    getWarningObjects(): readonly AbcjsWarning[] | undefined;
  }
}

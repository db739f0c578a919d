/** What the tests use of verovio, which comes without types. */
declare module 'verovio/wasm' {
  export default function createVerovioModule(): Promise<object>;
}
declare module 'verovio/esm' {
  export interface TimemapEntry {
    readonly qstamp: number;
    readonly on?: readonly string[];
    readonly off?: readonly string[];
    readonly tempo?: number;
  }
  export class VerovioToolkit {
    constructor(module: object);
    setOptions(options: object): void;
    loadData(data: string): number | boolean;
    renderToTimemap(options: object): readonly TimemapEntry[];
    getMIDIValuesForElement(id: string): { readonly pitch: number };
  }
}

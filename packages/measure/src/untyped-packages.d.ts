// The part of fft.js that goodgate uses; the package comes without types.
declare module "fft.js" {
  export default class FFT {
    constructor(size: number);
    readonly size: number;
    /** `out` and `data` hold real and imaginary parts in turn. */
    transform(out: Float64Array, data: Float64Array): void;
    inverseTransform(out: Float64Array, data: Float64Array): void;
  }
}
declare module "fluent-ffmpeg" {
  interface Command {
    input(source: string): Command;
    inputOptions(options: readonly string[]): Command;
    outputOptions(options: readonly string[]): Command;
    setFfmpegPath(path: string): Command;
    output(target: import("node:stream").Writable, options: { readonly end: boolean }): Command;
    output(target: string): Command;
    on(event: "error", listener: (error: Error) => void): Command;
    on(event: "stderr", listener: (line: string) => void): Command;
    on(event: "end" | "start", listener: () => void): Command;
    /** What the program can write and encode; asked of the program itself unless given. */
    availableFormats: (
      told: (error: null, formats: Readonly<Record<string, { readonly canMux: boolean }>>) => void,
    ) => void;
    availableEncoders: (told: (error: null, encoders: Readonly<Record<string, never>>) => void) => void;
    run(): void;
    kill(signal: string): void;
  }
  interface Ffmpeg {
    (input: string, options?: { readonly stdoutLines?: number }): Command;
    (options: { readonly stdoutLines?: number }): Command;
  }
  const ffmpeg: Ffmpeg;
  export default ffmpeg;
}

// The parts goodgate uses of two packages that come without types.
declare module "fluent-ffmpeg" {
  interface Command {
    ffprobe(
      index: number,
      options: string[],
      callback: (error: Error | null | undefined, answer: unknown) => void,
    ): void;
  }
  interface Ffmpeg {
    (input: string): Command;
    setFfprobePath(path: string): void;
  }
  const ffmpeg: Ffmpeg;
  export default ffmpeg;
}
declare module "ffprobe-static" {
  const bundled: { readonly path: string };
  export default bundled;
}

import type { ClipOutline } from "./measurement.ts";

/** Width of the two small pictures of each frame. */
export const smallWidth = 256;
/** Width of the piece of each frame that is kept at the camera's own resolution. */
export const pieceWidth = 512;
/** Its height. */
export const pieceHeight = 256;
/** The piece moves on after this many frames, so that two neighbours always show the same place. */
const framesPerPlace = 2;
/** A run of frames is summed up and let go after this much time, so that memory does not grow with the clip. */
const runSeconds = 10;
/** Of each run this much is looked at closely (motion of every frame, mixes, noise, blur). */
const closeSeconds = 2;
/** Frames of a run at most, whatever the stated rate. */
const mostRunFrames = 4096;
/** Runs from which pieces that nobody looks at are kept back: half an hour. Each takes room on ffmpeg's command line. */
const mostThriftyRuns = 180;

/**
 * What ffmpeg hands over of each frame, as one grey picture 512 wide: the whole frame made small twice, side by side (by
 * area, for motion and brightness; by picking pixels, whose codes are the camera's own), and under them a piece at full
 * resolution from one of four places in turn; the piece is left out where nothing is looked at closely. One decode serves
 * all; luma is never converted in range.
 */
export interface FrameLayout {
  readonly smallHeight: number;
  /** Frames of a run, and how many of its first ones are looked at closely. */
  readonly runFrames: number;
  readonly closeFrames: number;
  /** Size of the piece that holds picture; smaller than the room for it only for very small clips. */
  readonly heldWidth: number;
  readonly heldHeight: number;
  readonly samplesPerFrame: number;
  readonly bytesPerSample: 1 | 2;
  readonly bitDepth: 8 | 10 | 12;
  readonly filterGraph: string;
}

/** The layout for a clip, with the graph that ffmpeg needs for it: `[o]` is handed over, `[k]` goes nowhere. */
export function frameLayout(about: ClipOutline): FrameLayout {
  const { width, height, frameRate } = about;
  const smallHeight = Math.min(256, Math.max(16, 2 * Math.round((smallWidth * height) / width / 2)));
  const heldWidth = Math.min(pieceWidth, width);
  const heldHeight = Math.min(pieceHeight, height);
  const bitDepth = about.bitDepth === undefined || about.bitDepth <= 8 ? 8 : about.bitDepth <= 10 ? 10 : 12;
  const [gapX, gapY] = [width - heldWidth, height - heldHeight];
  const pad = heldWidth < pieceWidth || heldHeight < pieceHeight ? `,pad=${pieceWidth}:${pieceHeight}` : "";
  const format = bitDepth === 8 ? "gray" : `gray${bitDepth}le`;
  const runFrames = Math.max(8, Math.min(mostRunFrames, Math.round(runSeconds * frameRate)));
  // A rate may be absurdly low: some frame is always looked at, and commands begin behind it.
  const closeFrames = Math.max(1, Math.round(closeSeconds * frameRate));
  const whole = smallHeight + pieceHeight;
  const commands = heights({ runFrames, closeFrames }, smallHeight, whole);
  const luma = `extractplanes=y,format=${format}`;
  const piece = `crop=${heldWidth}:${heldHeight}`;
  // Each branch takes what it needs of the whole picture: copying all of its luma first cost a twentieth of decoding.
  const filterGraph = [
    `[0:v:0]scale=${asIs(about.fullRange === true)},format=${planarLuma(format, bitDepth === 8 ? "" : `${bitDepth}le`)},split=4[a][b][c][d]`,
    `[a]scale=${smallWidth}:${smallHeight}:flags=area:${asIs()},format=${format}[p]`,
    `[b]scale=${smallWidth}:${smallHeight}:flags=neighbor:${asIs()},format=${format}[q]`,
    `[c]${piece}:${place(framesPerPlace, gapX)}:${place(2 * framesPerPlace, gapY)}:exact=1,${luma}${pad}[r]`,
    // Combing is asked of ffmpeg's own filter, which tells its counts at the end; only rows at full resolution show it.
    // Behind it, the numbers of the frames that are coded without others are printed.
    `[d]${piece}:exact=1,${luma},idet=intl_thres=${combedRatio},setpts=N,select='eq(pict_type,I)',crop=16:16,showinfo[k]`,
    `[p][q]hstack[s]`,
    // From here on a frame lasts a hundred seconds: the commands count frames, and no rate is so low that two share a time.
    `[s][r]vstack,settb=${secondsPerFrame},setpts=N,sendcmd=c='${commands}',crop@piece=${pieceWidth}:${whole}:0:0[o]`,
  ].join(";");
  return {
    smallHeight,
    runFrames,
    closeFrames,
    heldWidth,
    heldHeight,
    samplesPerFrame: pieceWidth * (smallHeight + pieceHeight),
    bytesPerSample: bitDepth === 8 ? 1 : 2,
    bitDepth,
    filterGraph,
  };
}

const secondsPerFrame = 100;

/** Commands that leave the piece away behind the close part of each run, and bring it back for the next run. */
function heights(
  { runFrames, closeFrames }: Pick<FrameLayout, "runFrames" | "closeFrames">,
  without: number,
  whole: number,
): string {
  const before = (frame: number): number => (frame - 0.5) * secondsPerFrame;
  return Array.from(
    { length: mostThriftyRuns },
    (_, run) =>
      `${before(run * runFrames + closeFrames)} crop@piece h ${without};${before((run + 1) * runFrames)} crop@piece h ${whole}`,
  ).join(";");
}

/** Whether the piece of frame `n` of a run of ffmpeg comes with it. */
export const bringsPiece = ({ runFrames, closeFrames }: FrameLayout, n: number): boolean =>
  n % runFrames < closeFrames || n >= mostThriftyRuns * runFrames;

/**
 * Formats of one depth whose luma is a plane of its own, as nearly all cameras write; others are converted to one of
 * these, in the range the clip states. Filters agree on formats only while all have one depth.
 */
const planarLuma = (gray: string, depth: string): string =>
  ["420", "422", "444"]
    .map((chroma) => `yuv${chroma}p${depth}`)
    .concat(depth === "" ? ["yuvj420p", "yuvj422p", "yuvj444p"] : [], gray)
    .join("|");

/**
 * How much better the rows of neighbouring frames have to fit one way than the other. The filter's own 1.04 takes some
 * moving patterns of whole frames for woven ones (found on a test picture that moves four pixels a frame).
 */
const combedRatio = 1.4;

/** Some versions stretch grey from narrow to full range on their own when the clip says it is narrow. */
const asIs = (fullRange = true): string => {
  const range = fullRange ? "pc" : "tv";
  return `in_range=${range}:out_range=${range}`;
};

/** Place of the piece in one direction, as ffmpeg counts frames: a sixth of the gap in, then five sixths. */
const place = (frames: number, gap: number): string =>
  `'${Math.floor(gap / 6)}+mod(floor(n/${frames}),2)*${Math.floor((gap * 2) / 3)}'`;

/** Samples of one frame as ffmpeg hands them over. */
export type Samples = Uint8Array | Uint16Array;

/** Whether frames `n` and `n + 1` of a run of ffmpeg show the same piece. */
export const samePiece = (n: number): boolean => n % framesPerPlace === 0;

// Clips in the shapes that public footage comes in, made by the encoder the packages ship. They stand in for files of
// others, which this project cannot carry.
import { mkdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { inTurns, keyOf, madeOnce } from "../../fixtures/made-once.ts";
import { encode, findEncoder } from "../ffmpeg.ts";

/** Encodes side by side. */
const atOnce = 2;

/** One clip: its name and what the encoder is told. Steps before the last write files whose names begin with `step`. */
export interface ClipRecipe {
  readonly name: string;
  readonly steps: readonly (readonly string[])[];
}

const words = (text: string): readonly string[] => text.split(" ").filter((word) => word !== "");
const picture = (rate: string, seconds = "2", size = "320x180"): readonly string[] =>
  words(`-f lavfi -i testsrc2=s=${size}:r=${rate}:d=${seconds}`);
const tone = (seconds = "2", hertz = 48000): readonly string[] => words(`-f lavfi -i sine=r=${hertz}:d=${seconds}`);
const small = words("-preset veryfast -crf 40 -pix_fmt yuv420p -threads 1");
const h264 = [...words("-c:v libx264"), ...small];
const hevc = [...words("-c:v libx265 -x265-params log-level=none:pools=1"), ...small];
const one = (name: string, ...parts: readonly (readonly string[] | string)[]): ClipRecipe => ({
  name,
  steps: [[...parts.flatMap((part) => (typeof part === "string" ? words(part) : part)), name]],
});

/** Every clip, named after what is special in it. */
export const clipRecipes: readonly ClipRecipe[] = [
  // Clocks and rates.
  one("clock-600.mov", picture("30000/1001"), h264, "-video_track_timescale 600"),
  one("clock-600-film.mov", picture("24000/1001"), h264, "-video_track_timescale 600"),
  one("clock-1000.mp4", picture("60000/1001"), h264, "-video_track_timescale 1000"),
  one("clock-90000.mp4", picture("24000/1001"), h264, "-video_track_timescale 90000"),
  one("clock-90000-2997.mp4", picture("30000/1001"), hevc, "-video_track_timescale 90000 -tag:v hvc1"),
  one("rate-48.mp4", picture("48"), h264),
  one("rate-100.mp4", picture("100", "1"), h264),
  one("rate-119.88.mp4", picture("120000/1001", "1"), hevc, "-tag:v hvc1"),
  one("rate-240.mov", picture("240", "1"), h264),
  one("rate-15.mp4", picture("15"), h264),
  one("rate-12.5.mp4", picture("25/2"), h264),
  // Reordering, dropped frames, lengths of one and two pictures.
  one("reordered.mp4", picture("25"), h264, "-bf 3 -b_strategy 0 -refs 4 -sc_threshold 0"),
  one("reordered-long.mov", picture("60000/1001"), h264, "-bf 8 -b_strategy 0 -x264-params b-pyramid=normal"),
  one("dropped-one.mp4", picture("30"), "-vf select=not(eq(n\\,20)) -vsync vfr", h264),
  one("dropped-many.mp4", picture("30"), "-vf select=not(eq(mod(n\\,7)\\,3)) -vsync vfr", h264),
  one("one-picture.mp4", picture("25", "0.04"), h264),
  one("two-pictures.mp4", picture("25", "0.08"), h264, "-bf 0"),
  one("three-pictures.mov", picture("30000/1001", "0.1"), h264, "-bf 0"),
  // Layouts.
  one("fragments.mp4", picture("30000/1001"), tone(), h264, "-c:a aac -movflags +frag_keyframe+empty_moov -g 15"),
  one(
    "fragments-signed.mp4",
    picture("25"),
    h264,
    "-bf 2 -g 25 -movflags +frag_keyframe+empty_moov+delay_moov+default_base_moof+negative_cts_offsets",
  ),
  one("fragments-index.mp4", picture("50"), h264, "-g 50 -movflags +dash+frag_keyframe+global_sidx"),
  one("fragments-moov.mov", picture("24"), h264, "-g 12 -movflags +frag_keyframe"),
  one("front-index.mp4", picture("50"), tone(), h264, "-c:a aac -movflags +faststart"),
  // Edit lists.
  {
    name: "cut-by-edit-list.mp4",
    steps: [
      [...picture("25", "4"), ...tone("4"), ...h264, ...words("-g 50 -bf 2 -c:a aac step-a.mp4")],
      words("-ss 1.3 -i step-a.mp4 -c copy -t 2 cut-by-edit-list.mp4"),
    ],
  },
  {
    name: "cut-by-edit-list.mov",
    steps: [
      [...picture("30000/1001", "4"), ...h264, ...words("-g 60 step-b.mov")],
      words("-ss 0.9 -i step-b.mov -c copy cut-by-edit-list.mov"),
    ],
  },
  one("late-sound.mp4", picture("25"), "-itsoffset 0.5", tone("1.5"), h264, "-c:a aac -map 0:v -map 1:a"),
  // Sound.
  one("sound-pcm.mov", picture("25"), tone(), h264, "-c:a pcm_s16le"),
  one("sound-pcm24.mov", picture("25"), tone("2", 96000), h264, "-c:a pcm_s24le -ac 2"),
  one("sound-ac3.mp4", picture("25"), tone(), h264, "-c:a ac3"),
  one("sound-alac.mov", picture("25"), tone(), h264, "-c:a alac"),
  one("sound-mp3.mp4", picture("25"), tone("2", 44100), h264, "-c:a libmp3lame"),
  one("sound-opus.mp4", picture("25"), tone(), h264, "-c:a libopus -strict -2"),
  one("sound-two-tracks.mov", picture("25"), tone(), h264, "-c:a aac -map 0 -map 1 -map 1"),
  // Picture codecs.
  one("vp9.mp4", picture("25", "1"), "-c:v libvpx-vp9 -b:v 200k -deadline realtime -cpu-used 8 -threads 1"),
  one("av1.mp4", picture("25", "0.4", "160x90"), "-c:v libaom-av1 -strict -2 -cpu-used 8 -crf 50 -b:v 0 -threads 1"),
  one("mpeg4.mp4", picture("30000/1001"), "-c:v mpeg4 -q:v 20 -bf 2"),
  one("mpeg4.mov", picture("25"), "-c:v mpeg4 -q:v 20"),
  one("mjpeg.mov", picture("25", "1"), "-c:v mjpeg -q:v 20 -pix_fmt yuvj422p"),
  one("intra-422.mov", picture("24000/1001", "1"), "-c:v prores_ks -profile:v 2 -pix_fmt yuv422p10le"),
  one("intra-4444.mov", picture("25", "0.5"), "-c:v prores_ks -profile:v 4 -pix_fmt yuva444p10le"),
  one("vc3.mov", picture("25", "0.4", "640x360"), "-c:v dnxhd -profile:v dnxhr_sq -pix_fmt yuv422p"),
  one("mpeg2.mov", picture("30000/1001"), "-c:v mpeg2video -q:v 20"),
  one("ten-bit.mov", picture("25"), "-c:v libx264 -preset veryfast -crf 40 -threads 1 -pix_fmt yuv422p10le"),
  one("hev1.mp4", picture("50"), hevc, "-tag:v hev1"),
  one(
    "hlg.mp4",
    picture("50"),
    "-c:v libx265 -preset veryfast -crf 40 -pix_fmt yuv420p10le -tag:v hvc1",
    "-x265-params log-level=none:pools=1:colorprim=bt2020:transfer=arib-std-b67:colormatrix=bt2020nc",
    "-color_primaries bt2020 -color_trc arib-std-b67 -colorspace bt2020nc -movflags +write_colr",
  ),
  one(
    "bt709-in-header.mov",
    picture("25"),
    h264,
    "-color_primaries bt709 -color_trc bt709 -colorspace bt709 -color_range pc",
  ),
  one("smpte170m.mp4", picture("25"), h264, "-color_primaries smpte170m -color_trc smpte170m -colorspace smpte170m"),
  // Fields.
  one("fields-top.mp4", picture("50"), "-vf tinterlace=4,fieldorder=tff", h264, "-flags +ildct+ilme -x264opts tff=1"),
  one("fields-bottom.mov", picture("60000/1001"), "-vf tinterlace=5", h264, "-flags +ildct+ilme -x264opts bff=1"),
  one("fields-intra.mov", picture("50", "1"), "-vf tinterlace=4", "-c:v prores_ks -flags +ildct -top 1"),
  // Turned pictures.
  ...[90, 180, 270].map((turn) => ({
    name: `turned-${turn}.mp4`,
    steps: [
      [...picture("25"), ...h264, `step-${turn}.mp4`],
      words(`-i step-${turn}.mp4 -c copy -metadata:s:v rotate=${turn} turned-${turn}.mp4`),
    ],
  })),
  // Timecode.
  one("timecode.mov", picture("25"), h264, "-timecode 10:11:12:13"),
  one("timecode-drop.mov", picture("30000/1001"), h264, "-timecode 00:59:58;20"),
  one("timecode-drop-60.mp4", picture("60000/1001"), h264, "-timecode 01:00:00;00"),
  one("timecode-film.mov", picture("24000/1001", "1"), "-c:v prores_ks -timecode 23:59:59:10"),
  // Pixel aspect.
  one("aspect-16-11.mp4", picture("25", "2", "352x288"), h264, "-vf setsar=16/11"),
  one("aspect-anamorphic.mov", picture("24", "2", "320x180"), h264, "-vf setsar=4/3"),
  one("odd-raster.mp4", picture("25", "2", "318x178"), h264),
  one("four-k.mp4", picture("30000/1001", "0.2", "3840x2160"), h264),
  // Text.
  {
    name: "chapters-and-text.mp4",
    steps: [
      [
        ...picture("25"),
        ...words("-f lavfi -i sine=d=2 -c:v libx264 -preset veryfast -crf 40 -pix_fmt yuv420p -c:a aac"),
        ...words("-metadata title=clip -metadata location=+12.3456-045.6789/ chapters-and-text.mp4"),
      ],
    ],
  },
  // Containers that ffprobe reads for goodgate.
  one("plain.mkv", picture("30000/1001"), tone(), h264, "-c:a flac"),
  one("hevc.mkv", picture("60000/1001"), hevc),
  one("vp8.webm", picture("25", "1"), tone("1"), "-c:v libvpx -b:v 200k -cpu-used 8 -threads 1 -c:a libopus"),
  one("vp9.webm", picture("60", "1"), "-c:v libvpx-vp9 -b:v 200k -deadline realtime -cpu-used 8 -threads 1"),
  one("h264.ts", picture("30000/1001"), tone(), h264, "-c:a aac"),
  one("hevc.ts", picture("50"), hevc),
  one("mpeg2-fields.ts", picture("50"), "-vf tinterlace=4 -c:v mpeg2video -q:v 20 -flags +ildct+ilme -top 1"),
  one("h264.m2ts", picture("24000/1001"), h264, "-f mpegts -mpegts_m2ts_mode 1"),
  one("mjpeg.avi", picture("30"), tone(), "-c:v mjpeg -q:v 20 -pix_fmt yuvj420p -c:a pcm_s16le"),
  one("mpeg4.avi", picture("30000/1001"), "-c:v mpeg4 -q:v 20"),
  one("mpeg2.mxf", picture("25"), tone(), "-c:v mpeg2video -q:v 20 -c:a pcm_s16le -timecode 10:00:00:00"),
  one("vc3.mxf", picture("25", "0.4", "1920x1080"), "-c:v dnxhd -b:v 36M -pix_fmt yuv422p"),
];

/** Makes all clips in the folder, once. Returns whether they were made now. */
export function makeClips(folder: string): Promise<boolean> {
  return madeOnce(folder, keyOf(["scripts/agreement/clips.ts", "scripts/ffmpeg.ts"]), async (into) => {
    const encoder = await findEncoder();
    const step = (name: string): boolean => name.startsWith("step-");
    const jobs = clipRecipes.map(({ steps }) => async () => {
      for (const args of steps) {
        const inside = args.map((arg, place) =>
          step(arg) || place === args.length - 1 ? join(into, step(arg) ? "steps" : "", arg) : arg,
        );
        await encode(encoder, inside);
      }
    });
    mkdirSync(join(into, "steps"));
    await inTurns(jobs, atOnce);
    rmSync(join(into, "steps"), { recursive: true });
  });
}

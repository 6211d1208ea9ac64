import { z } from "zod";

const count = z.number().int().min(0).max(Number.MAX_SAFE_INTEGER);
const words = z.record(z.string(), z.string());
const flag = z.number().int();

const stream = z.object({
  index: count,
  codec_type: z.string().optional(),
  codec_name: z.string().optional(),
  codec_tag_string: z.string().optional(),
  profile: z.union([z.string(), z.number()]).optional(),
  width: count.max(1 << 20).optional(),
  height: count.max(1 << 20).optional(),
  sample_aspect_ratio: z.string().optional(),
  pix_fmt: z.string().optional(),
  field_order: z.string().optional(),
  color_range: z.string().optional(),
  color_space: z.string().optional(),
  color_transfer: z.string().optional(),
  color_primaries: z.string().optional(),
  r_frame_rate: z.string().optional(),
  avg_frame_rate: z.string().optional(),
  time_base: z.string().optional(),
  start_pts: z.number().int().optional(),
  start_time: z.string().optional(),
  duration: z.string().optional(),
  nb_frames: z.string().optional(),
  bits_per_raw_sample: z.string().optional(),
  sample_rate: z.string().optional(),
  channels: count.optional(),
  disposition: z.record(z.string(), flag).optional(),
  tags: words.optional(),
  side_data_list: z
    .array(z.looseObject({ side_data_type: z.string().optional(), rotation: z.number().optional() }))
    .optional(),
});

const answer = z.object({
  streams: z.array(stream).max(1000),
  format: z.object({
    format_name: z.string(),
    start_time: z.string().optional(),
    duration: z.string().optional(),
    size: z.string().optional(),
    bit_rate: z.string().optional(),
    tags: words.optional(),
  }),
});

/** One stream as ffprobe describes it; every field may be missing. Field names are ffprobe's own. */
export type ProbedStream = z.infer<typeof stream>;
/** An answer of `ffprobe -of json -show_format -show_streams`. */
export type ProbeAnswer = z.infer<typeof answer>;

/** Checks the JSON text before anything of it is used; a fault is one sentence. */
export function parseAnswer(text: string): ProbeAnswer | { readonly fault: string } {
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    return { fault: "its answer is not JSON" };
  }
  const checked = answer.safeParse(value);
  if (checked.success) return checked.data;
  const issue = checked.error.issues[0];
  return { fault: `its answer is not as expected at ${issue?.path.join(".") || "the top"}` };
}

/** The first picture stream that is not a cover image. */
export const pictureStream = (of: ProbeAnswer): ProbedStream | undefined =>
  of.streams.find((stream) => stream.codec_type === "video" && stream.disposition?.["attached_pic"] !== 1);

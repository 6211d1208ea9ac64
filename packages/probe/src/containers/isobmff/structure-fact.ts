import { damaged, type Origin, read, type Reading } from "@goodgate/model";
import type { Fault } from "./boxes.ts";
import type { Layout } from "./layout.ts";
import type { Movie } from "./movie.ts";
import type { TrackSamples } from "./track-samples.ts";

type At = (place: string) => Origin;

const repair = "a repair needs a healthy clip of the same camera in the same mode";
const sized = (bytes: number): string =>
  bytes < 1e6 ? `${bytes} bytes` : bytes < 1e9 ? `${(bytes / 1e6).toFixed(1)} MB` : `${(bytes / 1e9).toFixed(2)} GB`;

/** What is wrong with a file that has no index that can be read. */
export function noIndex(layout: Layout, fileBytes: number, at: At): Reading<"whole"> {
  const { mediaBytes, movieFault, faults, openMedia, fragments } = layout;
  if (movieFault !== undefined) {
    const why = `the index is cut: ${movieFault.why} at byte ${movieFault.at}; ${sized(mediaBytes)} of picture data, ${repair}`;
    return damaged(why, at(movieFault.place));
  }
  if (fragments.length > 0) {
    return damaged(`${fragments.length} fragments and no movie header: ${repair}`, at("moof"));
  }
  if (mediaBytes > 0 || openMedia) {
    const cut = faults.find(({ place }) => place === "mdat");
    const how = cut === undefined ? "recording never closed" : "recording never closed, or its copy was cut";
    const detail = cut === undefined ? "" : ` (${cut.why})`;
    return damaged(`${how}: ${sized(mediaBytes)} of picture data and no index${detail}; ${repair}`, at("mdat"));
  }
  const fault = faults[0];
  const why = fault === undefined ? "" : `: ${fault.why} at byte ${fault.at}`;
  return damaged(`the file of ${fileBytes} bytes has neither index nor picture data${why}`, at("file"));
}

const secondsText = (ticks: number, timescale: number): string => `${Number((ticks / timescale).toFixed(2))} s`;

/** What the facts of structure are judged from. */
export interface StructureEvidence {
  readonly layout: Layout;
  readonly movie: Movie;
  readonly picture?: TrackSamples;
  /** Samples of all tracks that were looked at, with the track's place. */
  readonly tracks: readonly { readonly place: string; readonly samples: TrackSamples }[];
  readonly fileBytes: number;
}

/** Whether every box and every sample lies inside the file; if not, what is missing, worst first. */
export function structureOf(evidence: StructureEvidence, at: At): Reading<"whole"> {
  const { layout, movie, picture, tracks, fileBytes } = evidence;
  const times = picture?.times;
  if (picture !== undefined && times !== undefined && picture.usableTicks !== undefined) {
    const all = secondsText(times.mediaTicks, times.timescale);
    const inside = secondsText(picture.usableTicks, times.timescale);
    const why = `the index lists ${all} up to byte ${picture.extent.endByte}, the file ends at byte ${fileBytes}: ${inside} lie inside it`;
    return damaged(why, at(picture.place));
  }
  const fault: Fault | undefined =
    layout.faults[0] ?? movie.faults[0] ?? tracks.flatMap((one) => one.samples.faults)[0];
  if (fault !== undefined) {
    const usable =
      times === undefined
        ? ""
        : `; ${secondsText(times.mediaTicks, times.timescale)} of pictures are listed and inside the file`;
    return damaged(`${fault.why} at byte ${fault.at}${usable}`, at(fault.place));
  }
  const outside = tracks.find(({ samples }) => samples.extent.endByte > fileBytes);
  if (outside !== undefined) {
    const why = `samples reach to byte ${outside.samples.extent.endByte}, the file ends at byte ${fileBytes}`;
    return damaged(why, at(outside.place));
  }
  if (layout.segments !== undefined && layout.segments.endByte > fileBytes) {
    const why = `the segment index reaches to byte ${layout.segments.endByte}, the file ends at byte ${fileBytes}`;
    return damaged(why, at("sidx"));
  }
  if (movie.fragmentDefaults !== undefined && picture !== undefined && picture.count === 0) {
    return damaged("the movie header announces fragments and none follows: recording never closed", at("moov/mvex"));
  }
  return read("whole", at("file"));
}

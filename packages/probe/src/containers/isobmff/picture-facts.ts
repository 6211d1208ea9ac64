import {
  absent,
  damaged,
  type Mastering,
  matrixName,
  type Origin,
  primariesName,
  rate,
  ratio,
  read,
  type Reading,
  transferName,
  unspecifiedColour,
} from "@goodgate/model";
import type { ColourBox } from "./colour.ts";
import type { OpenFacts } from "./open-facts.ts";
import type { PictureEntry } from "./picture-entry.ts";
import type { StreamHeader } from "./stream-header.ts";

type At = (place: string) => Origin;

/**
 * Facts of the picture itself. `header` is what the codec's own header says, which may come from the first sample;
 * `headerPlace` names where it stood.
 */
export function addPictureFacts(
  facts: OpenFacts,
  entry: PictureEntry,
  header: StreamHeader,
  headerPlace: string,
  place: string,
  at: At,
): void {
  const stsd = `${place}/${entry.entry}`;
  const here = at(stsd);
  const inHeader = at(headerPlace);
  facts.sampleEntry = read(entry.entry, here);
  facts.codec =
    entry.codec === undefined ? absent(`sample entry "${entry.entry}" is not known here`) : read(entry.codec, here);
  const fault = entry.faults[0];
  const missing = <T>(what: string): Reading<T> =>
    fault === undefined
      ? absent(`no codec header states the ${what}`)
      : damaged(`${fault.why} at byte ${fault.at}`, at(fault.place));
  facts.profile = header.profile === undefined ? missing("profile") : read(header.profile, inHeader);
  facts.bitDepth = header.bitDepth === undefined ? missing("bit depth") : read(header.bitDepth, inHeader);
  facts.chroma = header.chroma === undefined ? missing("chroma format") : read(header.chroma, inHeader);
  facts.codecRate =
    header.rate === undefined ? missing("frame rate") : read(rate(header.rate[0], header.rate[1]), inHeader);
  facts.width = side(entry.width, header.width, here, inHeader);
  facts.height = side(entry.height, header.height, here, inHeader);
  facts.pixelAspect = pixelAspectOf(entry, header, at(`${stsd}/pasp`), inHeader);
  facts.cleanAperture = cleanApertureOf(entry, at(`${stsd}/clap`));
  facts.scan = scanOf(entry, header, at(`${stsd}/fiel`), inHeader);
  addColour(facts, entry.colour, header, at(`${stsd}/colr`), inHeader);
  facts.mastering = masteringOf(entry.light, header, at(`${stsd}/mdcv, clli`), inHeader);
}

/** Width or height: the sample entry's, with the codec header as witness; the latter where the entry holds 0. */
function side(stated: number, coded: number | undefined, here: Origin, inHeader: Origin): Reading<number> {
  const usable = coded !== undefined && coded > 0 ? coded : undefined;
  if (stated === 0) return usable === undefined ? absent("the sample entry holds 0") : read(usable, inHeader);
  const reading = read(stated, here);
  return usable === undefined || usable === stated
    ? reading
    : { ...reading, witnesses: [{ value: usable, origin: inHeader, agrees: false }] };
}

function pixelAspectOf(entry: PictureEntry, header: StreamHeader, pasp: Origin, inHeader: Origin): Reading<Ratio> {
  const coded = header.pixelAspect === undefined ? undefined : ratio(header.pixelAspect[0], header.pixelAspect[1]);
  if (entry.pixelAspect === undefined) {
    return coded === undefined ? absent("no box and no codec header state the pixel aspect") : read(coded, inHeader);
  }
  const [across, down] = entry.pixelAspect;
  if (across === 0 || down === 0) return damaged(`a pixel aspect of ${across}:${down}`, pasp);
  const stated = ratio(across, down);
  const reading = read(stated, pasp);
  if (coded === undefined) return reading;
  const agrees = coded.numerator === stated.numerator && coded.denominator === stated.denominator;
  return { ...reading, witnesses: [{ value: coded, origin: inHeader, agrees }] };
}

type Ratio = ReturnType<typeof ratio>;

function cleanApertureOf(entry: PictureEntry, clap: Origin): Reading<{ width: Ratio; height: Ratio }> {
  if (entry.cleanAperture === undefined) return absent("no clean aperture box");
  const [width, widthUnder, height, heightUnder] = entry.cleanAperture;
  if (widthUnder === 0 || heightUnder === 0) return damaged("a clean aperture over zero", clap);
  const aperture = { width: ratio(width, widthUnder), height: ratio(height, heightUnder) };
  // More than the raster cannot be the clean part of it; a raster of 0 tells nothing.
  const tooWide = entry.width > 0 && width > entry.width * widthUnder;
  const tooHigh = entry.height > 0 && height > entry.height * heightUnder;
  return tooWide || tooHigh || width === 0 || height === 0
    ? damaged("the clean aperture is not inside the picture", clap)
    : read(aperture, clap);
}

/** Field orders of `fiel` (QuickTime file format, "Field/frame information"): which field is shown first. */
const fieldOrders: Readonly<Record<number, string>> = {
  0: "interlaced",
  1: "top field first",
  6: "bottom field first",
  9: "bottom field first",
  14: "top field first",
};

function scanOf(entry: PictureEntry, header: StreamHeader, fiel: Origin, inHeader: Origin): Reading<string> {
  const coded = header.scan;
  if (entry.fields === undefined) {
    return coded === undefined ? absent("nothing states whether frames or fields are coded") : read(coded, inHeader);
  }
  const [count, order] = entry.fields;
  const stated = count === 1 ? "progressive" : count === 2 ? fieldOrders[order] : undefined;
  if (stated === undefined) return damaged(`${count} fields in order ${order} are not defined`, fiel);
  const reading = read(stated, fiel);
  if (coded === undefined) return reading;
  const agrees = (coded === "progressive") === (stated === "progressive");
  return { ...reading, witnesses: [{ value: coded, origin: inHeader, agrees }] };
}

/** The box overrides the codec's own words; a difference is kept as a witness that contradicts. */
function addColour(
  facts: OpenFacts,
  box: ColourBox | undefined,
  header: StreamHeader,
  colr: Origin,
  inHeader: Origin,
): void {
  const word = (
    what: string,
    nameOf: (code: number) => string | undefined,
    inBox: number | undefined,
    coded: number | undefined,
  ): Reading<string> => {
    const codedName = coded === undefined || coded === unspecifiedColour ? undefined : nameOf(coded);
    if (inBox !== undefined && inBox !== unspecifiedColour) {
      const name = nameOf(inBox);
      if (name === undefined) return damaged(`${what} ${inBox} is not defined`, colr);
      const reading = read(name, colr);
      if (codedName === undefined) return reading;
      return { ...reading, witnesses: [{ value: codedName, origin: inHeader, agrees: codedName === name }] };
    }
    if (codedName !== undefined) return read(codedName, inHeader);
    if (coded !== undefined && coded !== unspecifiedColour) return damaged(`${what} ${coded} is not defined`, inHeader);
    return absent(`${what} are not stated`);
  };
  facts.primaries = word("colour primaries", primariesName, box?.primaries, header.primaries);
  facts.transfer = word("transfer characteristics", transferName, box?.transfer, header.transfer);
  facts.matrix = word("matrix coefficients", matrixName, box?.matrix, header.matrix);
  if (box?.fullRange === undefined) {
    facts.fullRange =
      header.fullRange === undefined ? absent("the range is not stated") : read(header.fullRange, inHeader);
    return;
  }
  const reading = read(box.fullRange, colr);
  const coded = header.fullRange;
  facts.fullRange =
    coded === undefined
      ? reading
      : { ...reading, witnesses: [{ value: coded, origin: inHeader, agrees: coded === box.fullRange }] };
}

const lightOf = ({
  maximumNits,
  minimumNits,
  maximumContentNits,
  maximumFrameAverageNits,
}: StreamHeader): Mastering => ({
  ...(maximumNits === undefined ? {} : { maximumNits }),
  ...(minimumNits === undefined ? {} : { minimumNits }),
  ...(maximumContentNits === undefined ? {} : { maximumContentNits }),
  ...(maximumFrameAverageNits === undefined ? {} : { maximumFrameAverageNits }),
});

function masteringOf(light: StreamHeader, header: StreamHeader, boxes: Origin, inHeader: Origin): Reading<Mastering> {
  const inBoxes = lightOf(light);
  const coded = lightOf(header);
  if (Object.keys(inBoxes).length > 0) return read({ ...coded, ...inBoxes }, boxes);
  return Object.keys(coded).length > 0 ? read(coded, inHeader) : absent("no light levels are stated");
}

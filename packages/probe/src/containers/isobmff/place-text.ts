import type { Position } from "@goodgate/model";

/** Degrees, minutes and seconds run together: 2 (3) digits of degrees, then 2 of minutes, then 2 of seconds. */
function degreesOf(text: string, degreeDigits: number): number | undefined {
  const [whole = "", fraction = ""] = text.slice(1).split(".");
  const tail = fraction === "" ? 0 : Number(`0.${fraction}`);
  const sign = text.startsWith("-") ? -1 : 1;
  const part = (from: number, to: number): number => Number(whole.slice(from, to));
  const degrees = part(0, degreeDigits);
  switch (whole.length - degreeDigits) {
    case 0:
      return sign * (degrees + tail);
    case 2: {
      const minutes = part(degreeDigits, degreeDigits + 2) + tail;
      return minutes < 60 ? sign * (degrees + minutes / 60) : undefined;
    }
    case 4: {
      const minutes = part(degreeDigits, degreeDigits + 2);
      const secs = part(degreeDigits + 2, degreeDigits + 4) + tail;
      return minutes < 60 && secs < 60 ? sign * (degrees + minutes / 60 + secs / 3600) : undefined;
    }
    default:
      return undefined;
  }
}

/**
 * Reads a position in the text form of ISO 6709, annex H: `±DD.DDDD±DDD.DDDD[±AAA.AAA][CRS…]/`, also with minutes and
 * seconds. Undefined for text of another form or a place off the globe; the altitude may be missing.
 */
export function parsePosition(text: string): Position | undefined {
  const form =
    /^([+-]\d{2,6}(?:\.\d{1,12})?)([+-]\d{3,7}(?:\.\d{1,12})?)([+-]\d{1,6}(?:\.\d{1,12})?)?(?:CRS[^/]{0,40})?\/?$/;
  const match = form.exec(text.trim());
  if (match === null) return undefined;
  const latitudeDegrees = degreesOf(match[1] ?? "", 2);
  const longitudeDegrees = degreesOf(match[2] ?? "", 3);
  if (latitudeDegrees === undefined || longitudeDegrees === undefined) return undefined;
  if (Math.abs(latitudeDegrees) > 90 || Math.abs(longitudeDegrees) > 180) return undefined;
  return {
    latitudeDegrees,
    longitudeDegrees,
    ...(match[3] === undefined ? {} : { altitudeMetres: Number(match[3]) }),
  };
}

import { absent, type Origin, read, type Reading, seconds, type Still } from "@goodgate/model";

const origin: Origin = { kind: "still", file: "example", place: "example" };
const maybe = <T>(value: T | undefined): Reading<T> =>
  value === undefined ? absent("not in the example") : read(value, origin);

/** A still of an example: shutter as one over, seconds after a start, focal length, paths of its files. */
export function exampleStill(
  name: string,
  given: {
    readonly shutter?: number;
    readonly focal?: number;
    readonly at?: number;
    readonly files?: readonly string[];
  },
): Still {
  const { shutter, focal, at, files = [name] } = given;
  return {
    name,
    files: files.map((path) => ({ path, bytes: 1000, modifiedMilliseconds: 0, role: "original" })),
    takenAt: maybe(
      at === undefined
        ? undefined
        : { text: "example", zone: "unknown" as const, epochMilliseconds: 1_714_557_600_000 + Math.round(at * 1000) },
    ),
    shutterSeconds: maybe(shutter === undefined ? undefined : seconds(1, shutter)),
    focalLength35mm: maybe(focal),
    iso: maybe<number>(undefined),
    fNumber: maybe<number>(undefined),
    exposureBias: maybe<number>(undefined),
    width: maybe<number>(undefined),
    height: maybe<number>(undefined),
    rotationDegrees: maybe<number>(undefined),
    location: absent("not in the example"),
    cost: { bytes: 0, calls: 0, milliseconds: 0 },
  };
}

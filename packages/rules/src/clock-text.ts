/** Longest text taken for a clock; a full one has some 40 characters. */
const longestClock = 100;

/** Dates with any of `-`, `/`, `.`, `:` between the numbers, a time, thousandths, and a zone or none. */
const written =
  /^\s*(\d{4})[-/.:](\d{1,2})[-/.:](\d{1,2})[T ]+(\d{1,2}):(\d{2}):(\d{2})(?:[.,](\d{1,6}))?\s*(Z|[+-]\d{2}:?\d{2})?\s*$/;

/**
 * A clock as telemetry writes it, in milliseconds since 1970; without a zone it is taken as UTC. Undefined for any other
 * text. No locale and no time zone of this machine is involved.
 */
export function clockMilliseconds(text: string): number | undefined {
  const match = text.length > longestClock ? null : written.exec(text);
  if (match === null) return undefined;
  const [year, month, day, hour, minute, second] = match.slice(1, 7).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  if (month < 1 || month > 12 || day < 1 || day > 31 || hour > 23 || minute > 59 || second > 60) return undefined;
  const fraction = Number(`0.${match[7] ?? "0"}`) * 1000;
  const zone = match[8] ?? "Z";
  const sign = zone.startsWith("-") ? -1 : 1;
  const digits = zone.replace(/\D/g, "");
  const offset = digits === "" ? 0 : sign * (Number(digits.slice(0, 2)) * 60 + Number(digits.slice(2, 4)));
  return Date.UTC(year, month - 1, day, hour, minute, second) + fraction - offset * 60_000;
}

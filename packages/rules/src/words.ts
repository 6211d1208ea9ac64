import {
  type Cadence,
  decimalText,
  type Rate,
  rateLabel,
  type Ratio,
  type Seconds,
  shutterLabel,
  toNumber,
} from "@goodgate/model";

/** A number with at most `digits` after the point and no trailing zeros; the same on every machine. */
export const short = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));

/** `1 stop`, `2.3 stops`, always without sign. */
export function stopsText(stops: number): string {
  const text = short(Math.abs(stops));
  return `${text} ${text === "1" ? "stop" : "stops"}`;
}

/** `1/50 s`. */
export const shutterText = (time: Seconds): string => `${shutterLabel(time)} s`;
/** `25 fps`. */
export const rateText = (rate: Rate): string => `${rateLabel(rate)} fps`;
/** An angle to one degree, as the sentence prints it: `173°`. */
export const angleText = (degrees: Ratio | number): string =>
  `${Math.round(typeof degrees === "number" ? degrees : toNumber(degrees))}°`;
/** A share of one as a percentage with at most one decimal: `12.5 %`. */
export const shareText = (share: number): string => `${short(share * 100)} %`;
/** A percentage to a hundredth, from ten up to a whole one: `0.35 %`, `101 %`. */
export const percentText = (percent: number): string => `${short(percent, percent < 10 ? 2 : 0)} %`;
/** Seconds to a tenth, to a hundredth below one: `41.7 s`, `0.25 s`. */
export const secondsText = (value: number): string => `${short(value, Math.abs(value) < 1 ? 2 : 1)} s`;

/** `2nd`, `3rd`, `11th`. */
export function ordinal(value: number): string {
  const teen = value % 100 >= 11 && value % 100 <= 13;
  const ending = teen ? "th" : value % 10 === 1 ? "st" : value % 10 === 2 ? "nd" : value % 10 === 3 ? "rd" : "th";
  return `${value}${ending}`;
}

/** `1 clip`, `3 clips`. */
export const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;

/** At most `most` names, and how many more there are. */
export function listText(names: readonly string[], most = 3): string {
  const shown = names.slice(0, most).join(", ");
  return names.length > most ? `${shown} and ${names.length - most} more` : shown;
}

/** A name with its middle left out when it is longer than `most` characters; the hole is shown. */
export function shortened(name: string, most: number): string {
  if (name.length <= most) return name;
  const end = Math.floor((most - 1) / 2);
  return `${name.slice(0, most - 1 - end)}…${name.slice(name.length - end)}`;
}

/** The last part of a path, its middle left out when it is longer than `most` characters. */
export const nameText = (path: string, most = 32): string => shortened(path.slice(path.lastIndexOf("/") + 1), most);

/** Longest sentence of a finding or an unknown. */
export const longestSentence = 139;

/**
 * A text that fits a sentence without being broken off: whole, else its first clauses, else its first words, as many as
 * `most` characters hold. The whole text stands in the reading it comes from.
 */
export function fitted(text: string, most = longestSentence): string {
  if (text.length <= most) return text;
  const start = text.slice(0, most + 1);
  const clauses = [...start.matchAll(/[:;,](?= )/g)].at(-1)?.index ?? 0;
  const words = start.lastIndexOf(" ");
  return start.slice(0, clauses > most / 2 ? clauses : words > 0 ? words : most);
}

/** The first of some wordings, the fullest first, that fits a sentence. */
export const firstFitting = (...wordings: readonly [string, ...string[]]): string =>
  wordings.find((text) => text.length <= longestSentence) ?? fitted(wordings[wordings.length - 1] ?? wordings[0]);

/** A sentence as it goes on after a colon: a word at its start in lower case, names such as ISO as they are. */
export const midSentence = (text: string): string =>
  text.replace(/^[A-Z](?=[a-z]+\b(?![.\d_]))/, (letter) => letter.toLowerCase());

/** A cadence in plain words, as it will play once the retime of a near miss is set. */
export function cadenceText(of: Cadence): string {
  const back = `pattern returns after ${decimalText(of.periodSeconds, 2)} s`;
  const perSecond = short(toNumber(of.oddPerSecond));
  switch (of.kind) {
    case "one for one":
      return "one frame for one frame";
    case "every nth":
      return `every ${ordinal(of.count)} frame, even`;
    case "held":
      return `each frame shown ${of.count} times, even`;
    case "near":
      return of.count === 1
        ? "one frame for one frame after the retime"
        : of.counts === "source frames per timeline frame"
          ? `every ${ordinal(of.count)} frame, even after the retime`
          : `each frame shown ${of.count} times, even after the retime`;
    case "uneven skip":
      return `${of.least} and ${of.most} frames in turn, ${perSecond} odd ${perSecond === "1" ? "step" : "steps"} a second, ${back}`;
    case "uneven hold":
      return `frames shown ${of.least} and ${of.most} times in turn, ${perSecond} odd ${perSecond === "1" ? "hold" : "holds"} a second, ${back}`;
  }
}

/** Printed by every page beside anything that asks to fly again. */
export const flyingCaution =
  "Refly only if the rules at this place, airspace, daylight, weather, people below and battery allow; " +
  "this tool does not know them and local flying rules come first.";

/** A number of bytes in decimal units, as cards are sold: `1.2 GB`. */
export function sizeText(bytes: number): string {
  if (bytes >= 1e9) return `${short(bytes / 1e9)} GB`;
  if (bytes >= 1e6) return `${short(bytes / 1e6)} MB`;
  return bytes >= 1e3 ? `${short(bytes / 1e3)} kB` : `${bytes} bytes`;
}

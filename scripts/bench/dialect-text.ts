// Not run by itself: subtitle files of every dialect of text telemetry, one cue a frame, for the speed of reading them.
import { cueFile } from "./cue-text.ts";

/** Cues between two fixes of the satellite receiver, which is slower than the picture. */
const cuesPerFix = 5;
/** Cues the exposure stays as it is. */
const cuesPerSetting = 40;
const flightStart = Date.UTC(2024, 4, 5, 8, 7, 8);

/** What a cue says, the same in every dialect. */
interface Moment {
  readonly place: number;
  readonly clock: string;
  readonly iso: number;
  readonly shutter: number;
  readonly bias: string;
  readonly latitude: string;
  readonly longitude: string;
  readonly height: string;
  readonly distance: string;
}

function moment(place: number, framesPerSecond: number, everyCue: boolean): Moment {
  const fix = everyCue ? place : Math.floor(place / cuesPerFix);
  const setting = everyCue ? place : Math.floor(place / cuesPerSetting);
  return {
    place,
    clock: new Date(flightStart + Math.round((place * 1000) / framesPerSecond)).toISOString(),
    iso: 100 + 10 * (setting % 7),
    shutter: 200 + 25 * (setting % 5),
    bias: (((setting % 3) - 1) * 0.3).toFixed(1),
    latitude: (12.345678 + fix * 3e-6).toFixed(6),
    longitude: (-45.678901 + fix * 2e-6).toFixed(6),
    height: (20 + 15 * Math.sin(fix / 200)).toFixed(2),
    distance: (fix * 0.01).toFixed(2),
  };
}

const spaced = (at: Moment): string =>
  `<font size="36">FrameCnt : ${at.place + 1}, DiffTime : 20ms\n` +
  `${at.clock.slice(0, 10)} ${at.clock.slice(11, 19)},${at.clock.slice(20, 23)},456\n` +
  `[iso : ${at.iso}] [shutter : 1/${at.shutter}.0] [fnum : 280] [ev : ${at.bias}] [ct : 5500] [color_md : default] ` +
  `[focal_len : 240] [latitude : ${at.latitude}] [longtitude : ${at.longitude}] [altitude: ${at.height}0000] </font>`;

const slash = (at: Moment): string =>
  `F/2.8, SS ${at.shutter}.5, ISO ${at.iso}, EV ${at.bias}, GPS (${at.longitude}, ${at.latitude}, 18), ` +
  `D ${at.distance}m, H ${at.height}m, H.S ${(at.place % 70) / 10}m/s, V.S ${(at.place % 9) / 10}m/s`;

const attitudes = (at: Moment): string =>
  `No:${at.place + 1}, F/6.3, SS ${at.shutter}, ISO ${at.iso}, EV ${at.bias}, ` +
  `RTK (${at.longitude}, ${at.latitude}, 28), HOME (-45.678900, 12.345600, 103.55m), D ${at.distance}m, ` +
  `H ${at.height}m, H.S 0.30m/s, V.S 0.00m/s, F.PRY (-5.3°, 2.1°, 28.3°), G.PRY (-40.0°, 0.0°, ${(at.place % 3600) / 10}°)`;

const lineClock = (at: Moment): string => `${at.clock.slice(0, 10).replaceAll("-", ".")} ${at.clock.slice(11, 19)}`;

const homeLines = (at: Moment): string =>
  `HOME(-45.6789,12.3457) ${lineClock(at)}\nGPS(${at.longitude},${at.latitude},20) BAROMETER:${at.height}\n` +
  `ISO:${at.iso} Shutter:${at.shutter} EV: ${at.bias} Fnum:2.2 `;

const lettered = (at: Moment): string =>
  String.raw`HOME(-45.6789, 12.3457) ${lineClock(at)}\NGPS(W: ${at.longitude}, N: ${at.latitude}, -37) ` +
  String.raw`ReH:${at.height} \NISO:${at.iso} SHUTTER:${at.shutter} EV:${at.bias} F-NUM:2.8`;

const time = (milliseconds: number): string => new Date(milliseconds).toISOString().slice(11, 23);

function srtOf(count: number, framesPerSecond: number, write: (at: Moment) => string, everyCue = false): string {
  const cues: string[] = [];
  for (let place = 0; place < count; place += 1) {
    const from = time((place * 1000) / framesPerSecond).replace(".", ",");
    const to = time(((place + 1) * 1000) / framesPerSecond).replace(".", ",");
    cues.push(`${place + 1}\n${from} --> ${to}\n${write(moment(place, framesPerSecond, everyCue))}\n\n`);
  }
  return cues.join("");
}

function assOf(count: number, framesPerSecond: number): string {
  const lines = ["[Script Info]", "[Events]", "Format: Layer, Start, End, Style, Text"];
  for (let place = 0; place < count; place += 1) {
    const from = time((place * 1000) / framesPerSecond).slice(1, 11);
    const to = time(((place + 1) * 1000) / framesPerSecond).slice(1, 11);
    lines.push(`Dialogue: 0,${from},${to},Default,${lettered(moment(place, framesPerSecond, false))}`);
  }
  return `${lines.join("\n")}\n`;
}

const vttOf = (srt: string): string =>
  `WEBVTT\n\n${srt.replaceAll(/^\d+\n/gm, "").replaceAll(/^([\d:]+),(\d{3} --> [\d:]+),/gm, "$1.$2.")}`;

/** The forms text telemetry comes in, each with a writer of a file of `count` cues. */
export const dialectTexts: Readonly<Record<string, (count: number, framesPerSecond: number) => string>> = {
  "bracketed pairs, tight": cueFile,
  "bracketed pairs, spaced": (count, rate) => srtOf(count, rate, spaced),
  "bracketed pairs in WebVTT": (count, rate) => vttOf(cueFile(count, rate)),
  "slash line": (count, rate) => srtOf(count, rate, slash),
  "slash line with attitudes": (count, rate) => srtOf(count, rate, attitudes),
  "home and GPS lines": (count, rate) => srtOf(count, rate, homeLines),
  "lettered lines in ASS": assOf,
  "bracketed pairs, every value new in every cue": (count, rate) => srtOf(count, rate, spaced, true),
};

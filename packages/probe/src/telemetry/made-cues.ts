/** Makes subtitle files for tests; all values invented. */

/** One cue: start and end in milliseconds, and its text. */
export interface MadeCue {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

const digits = (value: number, count: number): string => String(value).padStart(count, "0");

/** `00:00:01,040`. */
export const cueTime = (milliseconds: number, mark = ","): string => {
  const whole = Math.floor(milliseconds / 1000);
  const parts = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60].map((part) => digits(part, 2));
  return `${parts.join(":")}${mark}${digits(milliseconds % 1000, 3)}`;
};

/** A SubRip file. */
export const madeSrt = (cues: readonly MadeCue[], lineEnd = "\n"): string =>
  cues
    .map(({ from, to, text }, place) =>
      [String(place + 1), `${cueTime(from)} --> ${cueTime(to)}`, ...text.split("\n"), "", ""].join(lineEnd),
    )
    .join("");

/** One cue a frame at `framesPerSecond`. */
export const perFrame = (count: number, framesPerSecond: number, text: (place: number) => string): readonly MadeCue[] =>
  Array.from({ length: count }, (_, place) => ({
    from: Math.round((place * 1000) / framesPerSecond),
    to: Math.round(((place + 1) * 1000) / framesPerSecond),
    text: text(place),
  }));

/** One cue a second. */
export const perSecond = (count: number, text: (place: number) => string): readonly MadeCue[] =>
  perFrame(count, 1, text);

/** What a made cue of bracketed pairs says; everything else is fixed. */
export interface MadeSettings {
  readonly shutter?: string;
  readonly iso?: string;
  readonly fnum?: string;
  readonly clock?: string;
  readonly latitude?: string;
  readonly longitude?: string;
}

/** Bracketed pairs with spaced colons, aperture in hundredths, misspelt longitude, clock with microseconds. */
export const spacedBrackets = (place: number, settings: MadeSettings = {}): string => {
  const {
    shutter = "1/1000.0",
    iso = "110",
    fnum = "280",
    latitude = "12.345678",
    longitude = "-45.678901",
  } = settings;
  const clock = settings.clock ?? madeClock(place * 40);
  return `<font size="36">FrameCnt : ${place + 1}, DiffTime : 40ms
${clock}
[iso : ${iso}] [shutter : ${shutter}] [fnum : ${fnum}] [ev : 0] [ct : 5500] [color_md : default] [focal_len : 240] \
[latitude : ${latitude}] [longtitude : ${longitude}] [altitude: 123.400000] </font>`;
};

/** Bracketed pairs with tight colons, decimal aperture, two pairs in one bracket. */
export const tightBrackets = (place: number): string =>
  `<font size="28">FrameCnt: ${place + 1}, DiffTime: 33ms
${madeClock(place * 40).slice(0, 19)}.${madeClock(place * 40).slice(20, 23)}
[iso: 100] [shutter: 1/500.0] [fnum: 1.7] [ev: 0] [color_md : default] [focal_len: 24.00] \
[dzoom_ratio: 10000, delta:0],[latitude: 12.345678] [longitude: -45.678901] [rel_alt: 1.300 abs_alt: 132.860] \
[ct: 5310] </font>`;

/** `2031-04-05 08:07:08,040,456`, so many milliseconds after the invented start. */
export const madeClock = (milliseconds: number): string => {
  const text = new Date(Date.UTC(2031, 3, 5, 8, 7, 8) + milliseconds).toISOString();
  return `${text.slice(0, 10)} ${text.slice(11, 19)},${text.slice(20, 23)},456`;
};

/** A slash line. */
export const slashLineText = (shutter = "320"): string =>
  `F/2.8, SS ${shutter}, ISO 150, EV -0.3, GPS (-45.6789, 12.3457, 18), D 24.26m, H 6.00m, H.S 2.10m/s, V.S -0.50m/s`;

/** Home and GPS lines, `second` seconds after the invented start. */
export const homeGpsText = (second = 0): string =>
  `HOME(-45.6789,12.3457) 2031.04.05 08:07:${digits(8 + second, 2)}
GPS(-45.6788,12.3458,20) BAROMETER:110.0
ISO:200 Shutter:60 EV: -1/3 Fnum:2.2 `;

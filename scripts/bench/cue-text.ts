// Not run by itself: telemetry text as a camera aircraft writes it, one cue a frame, for the cards of the bench.

/** Cues between two fixes of the satellite receiver, which is slower than the picture. */
const cuesPerFix = 5;
/** Cues the exposure stays as it is. */
const cuesPerSetting = 40;

/** The text of one cue; values wander as in a flight, so that a reader cannot skip what never changes. */
export function cueText(place: number, framesPerSecond: number): string {
  const fix = Math.floor(place / cuesPerFix);
  const setting = Math.floor(place / cuesPerSetting);
  const clock = new Date(flightStart + Math.round((place * 1000) / framesPerSecond));
  const iso = 100 + 10 * (setting % 7);
  const shutter = (200 + 25 * (setting % 5)).toFixed(1);
  const latitude = (12.345678 + fix * 3e-6).toFixed(6);
  const longitude = (-45.678901 + fix * 2e-6).toFixed(6);
  const height = (20 + 15 * Math.sin(fix / 200)).toFixed(3);
  const written = clock.toISOString().replace("T", " ").slice(0, 23);
  return (
    `<font size="28">FrameCnt: ${place + 1}, DiffTime: ${Math.round(1000 / framesPerSecond)}ms\n${written}\n` +
    `[iso: ${iso}] [shutter: 1/${shutter}] [fnum: 2.8] [ev: 0] [color_md : default] [focal_len: 24.00] ` +
    `[dzoom_ratio: 10000, delta:0],[latitude: ${latitude}] [longitude: ${longitude}] ` +
    `[rel_alt: ${height} abs_alt: ${(Number(height) + 131).toFixed(3)}] [ct: ${5300 + (setting % 3)}] </font>`
  );
}

const flightStart = Date.UTC(2024, 4, 5, 8, 7, 8);

/** A time as SubRip writes it. */
const cueTime = (milliseconds: number): string => new Date(milliseconds).toISOString().slice(11, 23).replace(".", ",");

/** A subtitle file of `count` cues, one a frame. */
export function cueFile(count: number, framesPerSecond: number): string {
  const cues: string[] = [];
  for (let place = 0; place < count; place += 1) {
    const start = (place * 1000) / framesPerSecond;
    const end = ((place + 1) * 1000) / framesPerSecond;
    cues.push(`${place + 1}\n${cueTime(start)} --> ${cueTime(end)}\n${cueText(place, framesPerSecond)}\n\n`);
  }
  return cues.join("");
}

/** Labels skipped at the start of each minute but every tenth: two at 30 labels a second, four at 60, eight at 120. */
const skipped = (labelsPerSecond: number): number => Math.round(labelsPerSecond / 15);

/** The timecode label of a frame count, as SMPTE ST 12-1 counts (known here from public teaching of it). */
export function timecodeLabel(frame: number, labelsPerSecond: number, dropFrame: boolean): string {
  let count = frame;
  if (dropFrame) {
    const drop = skipped(labelsPerSecond);
    const perMinute = labelsPerSecond * 60 - drop;
    const perTen = labelsPerSecond * 600 - 9 * drop;
    const tens = Math.floor(frame / perTen);
    const rest = frame % perTen;
    count += 9 * drop * tens + (rest >= drop ? drop * Math.floor((rest - drop) / perMinute) : 0);
  }
  const two = (value: number): string => String(value).padStart(2, "0");
  const frames = count % labelsPerSecond;
  const all = Math.floor(count / labelsPerSecond);
  const digits = labelsPerSecond > 100 ? 3 : 2;
  return `${two(Math.floor(all / 3600) % 24)}:${two(Math.floor(all / 60) % 60)}:${two(all % 60)}${dropFrame ? ";" : ":"}${String(frames).padStart(digits, "0")}`;
}

/** The frame count of a label; undefined for text that is no label or a label that drop-frame counting skips. */
export function timecodeFrame(label: string, labelsPerSecond: number): number | undefined {
  const match = /^(\d{2}):(\d{2}):(\d{2})([:;.])(\d{2,3})$/.exec(label);
  if (match === null) return undefined;
  const [hours, minutes, secs, frames] = [match[1], match[2], match[3], match[5]].map(Number) as [
    number,
    number,
    number,
    number,
  ];
  if (hours > 23 || minutes > 59 || secs > 59 || frames >= labelsPerSecond) return undefined;
  const plain = labelsPerSecond * (3600 * hours + 60 * minutes + secs) + frames;
  if (match[4] === ":") return plain;
  const drop = skipped(labelsPerSecond);
  if (secs === 0 && minutes % 10 !== 0 && frames < drop) return undefined;
  const all = 60 * hours + minutes;
  return plain - drop * (all - Math.floor(all / 10));
}

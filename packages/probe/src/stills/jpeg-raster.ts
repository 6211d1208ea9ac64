/**
 * Width and height from the frame header of a JPEG (ITU-T T.81, table B.2); undefined when it is not within the bytes
 * given. Never reads past them.
 */
export function jpegRaster(bytes: Uint8Array): { readonly width: number; readonly height: number } | undefined {
  let at = 2;
  while (at + 9 < bytes.length) {
    if (bytes[at] !== 0xff) return undefined;
    const marker = bytes[at + 1] as number;
    if (marker === 0xff) {
      at += 1;
      continue;
    }
    const length = ((bytes[at + 2] as number) << 8) | (bytes[at + 3] as number);
    // C4, C8 and CC are tables among the frame headers C0 to CF.
    if (marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc) {
      const height = ((bytes[at + 5] as number) << 8) | (bytes[at + 6] as number);
      const width = ((bytes[at + 7] as number) << 8) | (bytes[at + 8] as number);
      return width > 0 && height > 0 ? { width, height } : undefined;
    }
    if (length < 2) return undefined;
    at += 2 + length;
  }
  return undefined;
}

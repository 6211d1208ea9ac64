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

/** Whether these are the first bytes of a PNG (W3C PNG, section 5.2). */
export const isPng = (bytes: Uint8Array): boolean =>
  pngSignature.every((byte, place) => bytes[place] === byte) && bytes.length >= 24;
const pngSignature = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];

/** Width and height from the first chunk of a PNG (W3C PNG, section 11.2.1); undefined when it is another chunk. */
export function pngRaster(bytes: Uint8Array): { readonly width: number; readonly height: number } | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (!isPng(bytes) || view.getUint32(12) !== 0x49484452) return undefined;
  const [width, height] = [view.getUint32(16), view.getUint32(20)];
  return width > 0 && height > 0 && width < 2 ** 31 && height < 2 ** 31 ? { width, height } : undefined;
}

/** A BER length: one byte below 128, else the count (1 to 4) of bytes that hold it. `from` is where the value begins. */
export function berLength(bytes: Uint8Array, at: number): { readonly size: number; readonly from: number } | undefined {
  const first = bytes[at];
  if (first === undefined) return undefined;
  if (first < 0x80) return { size: first, from: at + 1 };
  const count = first & 0x7f;
  if (count === 0 || count > 4 || at + 1 + count > bytes.length) return undefined;
  let size = 0;
  for (let place = 0; place < count; place += 1) size = size * 256 + (bytes[at + 1 + place] as number);
  return { size, from: at + 1 + count };
}

/*
 * The web's own streams and digests, which Node has as well; declared here because this package is compiled without
 * the types of either, so that nothing of Node or of a browser slips in elsewhere.
 */
interface ByteStream {
  getReader(): { read(): Promise<{ readonly done: boolean; readonly value?: Uint8Array }> };
}
interface Deflater {
  readonly readable: ByteStream;
  readonly writable: { getWriter(): { write(bytes: Uint8Array): Promise<void>; close(): Promise<void> } };
}
interface Platform {
  readonly crypto: { readonly subtle: { digest(name: "SHA-256", bytes: Uint8Array): Promise<ArrayBuffer> } };
  readonly CompressionStream: new (format: "deflate-raw") => Deflater;
  readonly TextEncoder: new () => { encode(text: string): Uint8Array };
  btoa(binary: string): string;
}
const platform = globalThis as unknown as Platform;

const bytesOf = (text: string): Uint8Array => new platform.TextEncoder().encode(text);

/** Bytes as base64, without spreading a long array over the stack. */
function base64(bytes: Uint8Array): string {
  let binary = "";
  for (let from = 0; from < bytes.length; from += 8192) {
    binary += String.fromCharCode(...bytes.subarray(from, from + 8192));
  }
  return platform.btoa(binary);
}

/** The source expression of a content-security policy for an inline style or script: `sha256-…`. */
export async function policyHash(text: string): Promise<string> {
  return `sha256-${base64(new Uint8Array(await platform.crypto.subtle.digest("SHA-256", bytesOf(text))))}`;
}

/** A text deflated (RFC 1951) and in base64. */
export async function packed(text: string): Promise<string> {
  const stream = new platform.CompressionStream("deflate-raw");
  const writer = stream.writable.getWriter();
  // Not awaited before reading: a stream whose reader waits for the writer would never move.
  const written = writer.write(bytesOf(text)).then(() => writer.close());
  const reader = stream.readable.getReader();
  const pieces: Uint8Array[] = [];
  for (;;) {
    const { done, value } = await reader.read();
    if (done) break;
    if (value !== undefined) pieces.push(value);
  }
  await written;
  const whole = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return base64(whole);
}

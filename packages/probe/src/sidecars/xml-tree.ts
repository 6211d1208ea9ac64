import { XMLParser, XMLValidator } from "fast-xml-parser";

/** Sidecars are some kB; with a change record per frame a few MB. Above this nobody reads them. */
export const mostXmlBytes = 4 * 1024 * 1024;
/** A record per frame for half an hour at sixty frames a second; each costs the parser some 10 µs and 600 bytes. */
export const mostXmlTags = 120_000;
/** Deeper trees than this are an attack on the reader, not metadata. */
const mostDepth = 64;
/** The parser's own words may hold the whole file, as the name of an element that never ends. */
const mostFaultCharacters = 120;

/** One element, names resolved to their namespace. */
export interface XmlElement {
  readonly namespace: string;
  readonly local: string;
  readonly attributes: readonly { readonly namespace: string; readonly local: string; readonly value: string }[];
  readonly children: readonly XmlElement[];
  /** Own text, trimmed. */
  readonly text: string;
}

/**
 * Parses XML into a tree with text values only, so that `04030201` and `1.0` stay as written. A document type is
 * refused: nothing a camera writes needs one, and it is how entity bombs come in. Never throws.
 */
export function parseXml(bytes: Uint8Array): XmlElement | { readonly fault: string } {
  if (bytes.length > mostXmlBytes) return { fault: `longer than ${mostXmlBytes} bytes` };
  const text = decodeText(bytes);
  if (text.trim() === "") return { fault: "empty" };
  if (/<!(?:DOCTYPE|ENTITY)/i.test(text)) return { fault: "a DOCTYPE is refused" };
  const tags = countOf(text, "<");
  if (tags > mostXmlTags) return { fault: `${tags} tags, more than the ${mostXmlTags} a sidecar may have` };
  try {
    // The parser reads a file that was cut between elements without complaint; the validator does not.
    const valid = XMLValidator.validate(text);
    if (valid !== true) return { fault: `not well formed: ${short(valid.err.msg)} (line ${valid.err.line})` };
    const parser = new XMLParser({
      preserveOrder: true,
      ignoreAttributes: false,
      attributeNamePrefix: "",
      parseTagValue: false,
      parseAttributeValue: false,
      ignoreDeclaration: true,
      ignorePiTags: true,
      trimValues: true,
    });
    const top = elements(parser.parse(text) as unknown, new Map([["xml", "http://www.w3.org/XML/1998/namespace"]]), 0);
    const root = top[0];
    return root ?? { fault: "no element in it" };
  } catch (error) {
    return { fault: `not well formed: ${error instanceof Error ? short(error.message) : "unreadable"}` };
  }
}

const short = (message: string): string =>
  message.length > mostFaultCharacters ? `${message.slice(0, mostFaultCharacters)}…` : message;

function countOf(text: string, sign: string): number {
  let count = 0;
  for (let at = text.indexOf(sign); at >= 0; at = text.indexOf(sign, at + 1)) count += 1;
  return count;
}

type Scope = ReadonlyMap<string, string>;

function elements(nodes: unknown, outer: Scope, depth: number): XmlElement[] {
  if (!Array.isArray(nodes) || depth > mostDepth) return [];
  const found: XmlElement[] = [];
  for (const node of nodes as readonly Record<string, unknown>[]) {
    const name = Object.keys(node).find((key) => key !== ":@");
    if (name === undefined || name === "#text" || name.startsWith("?")) continue;
    const given = Object.entries((node[":@"] ?? {}) as Record<string, unknown>);
    const scope = new Map(outer);
    for (const [key, value] of given) {
      if (key === "xmlns") scope.set("", String(value));
      else if (key.startsWith("xmlns:")) scope.set(key.slice(6), String(value));
    }
    const inner = node[name];
    found.push({
      ...resolved(name, scope, true),
      attributes: given
        .filter(([key]) => key !== "xmlns" && !key.startsWith("xmlns:"))
        .map(([key, value]) => ({ ...resolved(key, scope, false), value: String(value) })),
      children: elements(inner, scope, depth + 1),
      text: textOf(inner),
    });
  }
  return found;
}

function resolved(
  name: string,
  scope: Scope,
  isElement: boolean,
): { readonly namespace: string; readonly local: string } {
  const colon = name.indexOf(":");
  // A bare attribute name belongs to no namespace (Namespaces in XML 1.0, section 6.2).
  if (colon < 0) return { namespace: isElement ? (scope.get("") ?? "") : "", local: name };
  return { namespace: scope.get(name.slice(0, colon)) ?? "", local: name.slice(colon + 1) };
}

function textOf(nodes: unknown): string {
  if (!Array.isArray(nodes)) return "";
  return (nodes as readonly Record<string, unknown>[])
    .map((node) => ("#text" in node ? String(node["#text"]) : ""))
    .join("")
    .trim();
}

/** Every element below and including this one, in document order. */
export function* everyElement(root: XmlElement): Generator<XmlElement> {
  yield root;
  for (const child of root.children) yield* everyElement(child);
}

/** The value of an attribute by its local name, whatever the namespace. */
export const attribute = (of: XmlElement, local: string): string | undefined =>
  of.attributes.find((one) => one.local === local)?.value;

/** Text of a sidecar: UTF-16 by its mark, else UTF-8; trailing NULs of padded packets are dropped. */
export function decodeText(bytes: Uint8Array): string {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const [a, b] = [bytes[0], bytes[1]];
  let text: string;
  if (a === 0xff && b === 0xfe) text = buffer.subarray(2).toString("utf16le");
  else if (a === 0xfe && b === 0xff) {
    const even = buffer.subarray(2, buffer.length - (buffer.length % 2));
    text = Buffer.from(even).swap16().toString("utf16le");
  } else text = buffer.toString("utf8").replace(/^\uFEFF/, "");
  let end = text.length;
  while (end > 0 && text.charCodeAt(end - 1) === 0) end -= 1;
  return text.slice(0, end);
}

// A layout in the address's fragment: compressed, so that a link is a file.

type Bytes = Uint8Array<ArrayBuffer>;

const kMost = 1 << 20; // characters of a layout; a link that unfolds to more is refused

async function through(stream: GenericTransformStream, bytes: Bytes, most: number): Promise<Bytes> {
  const reader = new Blob([bytes]).stream().pipeThrough(stream as TransformStream).getReader();
  const parts: Uint8Array[] = [];
  let size = 0;
  for (;;) {
    const { done, value } = (await reader.read()) as { done: boolean; value: Uint8Array };
    if (done) break;
    size += value.length;
    if (size > most) {
      await reader.cancel();
      throw new Error("more than a layout");
    }
    parts.push(value);
  }
  const out = new Uint8Array(size);
  let at = 0;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

export async function unpacked(bytes: Bytes, most = Infinity): Promise<Bytes> {
  return through(new DecompressionStream("deflate-raw"), bytes, most);
}

export function from_base64(text: string): Bytes {
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; i += 1) bytes[i] = binary.charCodeAt(i);
  return bytes;
}

/** `#layout=…` of a text. */
export async function fragment_of(text: string): Promise<string> {
  const bytes = await through(new CompressionStream("deflate-raw"), new TextEncoder().encode(text), Infinity);
  let binary = "";
  for (const byte of bytes) binary += String.fromCharCode(byte);
  return `#layout=${btoa(binary).replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "")}`;
}

/** The text in a fragment; nothing where it carries none, or none that can be read. */
export async function text_in(fragment: string): Promise<string | null> {
  const packed = /^#layout=([\w-]+)$/.exec(fragment)?.[1];
  if (packed === undefined) return null;
  try {
    const bytes = await unpacked(from_base64(packed.replace(/-/g, "+").replace(/_/g, "/")), kMost);
    return decoded(bytes);
  } catch {
    return null;
  }
}

/** The text of a file's bytes, byte order mark and all; nothing where they are not UTF-8. */
export function decoded(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return null;
  }
}

// Bytes as text that may stand in a script element: five characters for four bytes.

/** Of printable ASCII, without what markup and quotes are made of. */
const kAlphabet = Array.from({ length: 94 }, (_, n) => String.fromCharCode(33 + n))
  .filter((c) => !"<>&\"'`\\-@".includes(c))
  .join("");

export function text_of_bytes(bytes: Uint8Array): string {
  const padded = new Uint8Array(Math.ceil(bytes.length / 4) * 4);
  padded.set(bytes);
  const view = new DataView(padded.buffer);
  const parts = [`${bytes.length};`];
  for (let at = 0; at < padded.length; at += 4) {
    let value = view.getUint32(at);
    let group = "";
    for (let n = 0; n < 5; n += 1) {
      group = kAlphabet[value % 85]! + group;
      value = Math.floor(value / 85);
    }
    parts.push(group);
  }
  return parts.join("");
}

export function bytes_in(text: string): Uint8Array<ArrayBuffer> {
  const digit = new Uint8Array(128);
  for (let n = 0; n < kAlphabet.length; n += 1) digit[kAlphabet.charCodeAt(n)] = n;
  const begin = text.indexOf(";") + 1;
  const size = Number(text.slice(0, begin - 1));
  const view = new DataView(new ArrayBuffer(Math.ceil(size / 4) * 4));
  for (let at = 0, from = begin; at < view.byteLength; at += 4) {
    let value = 0;
    for (let n = 0; n < 5; n += 1) value = value * 85 + digit[text.charCodeAt(from++)]!;
    view.setUint32(at, value);
  }
  return new Uint8Array(view.buffer, 0, size);
}

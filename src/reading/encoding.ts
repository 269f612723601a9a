/**
 * Text on its way through the reader: one character per byte, so that no byte is ever lost, a rejected
 * line can be given back as it was, and the scanner works on compact strings. Only cells that are kept
 * as text (headings, names of loggers, excerpts) are decoded.
 */
export type ByteText = string;

export type Encoding = 'utf-8' | 'utf-8 with BOM' | 'utf-16le' | 'utf-16be' | 'windows-1252';

/** How much of an input decides about its encoding [bytes]. */
export const ENOUGH = 1 << 16;
/** UTF-16 of mostly ASCII text has a zero in every other byte. */
const ZERO_SHARE = 0.3;

/**
 * The encoding of an input by its first bytes: byte order mark, else UTF-16 by its zero bytes, else UTF-8
 * where the bytes are valid UTF-8, else windows-1252 (a superset of printable Latin-1).
 */
export function encodingOf(head: Uint8Array): Encoding {
  if (head[0] === 0xef && head[1] === 0xbb && head[2] === 0xbf) return 'utf-8 with BOM';
  if (head[0] === 0xff && head[1] === 0xfe) return 'utf-16le';
  if (head[0] === 0xfe && head[1] === 0xff) return 'utf-16be';
  const part = head.subarray(0, ENOUGH);
  if (part.includes(0)) {
    const zeros = [0, 0];
    for (let i = 0; i < part.length; i++) if (part[i] === 0) zeros[i & 1]!++;
    const half = part.length / 2;
    if (zeros[1]! > ZERO_SHARE * half && zeros[0]! < 0.1 * zeros[1]!) return 'utf-16le';
    if (zeros[0]! > ZERO_SHARE * half && zeros[1]! < 0.1 * zeros[0]!) return 'utf-16be';
  }
  try {
    // stream: the part may end in the middle of a character
    new TextDecoder('utf-8', { fatal: true }).decode(part, { stream: true });
    return 'utf-8';
  } catch {
    return 'windows-1252';
  }
}

/** Bytes in pieces as the reader takes them: a byte order mark is taken off, UTF-16 becomes UTF-8. */
export function toPlainBytes(encoding: Encoding): (chunk: Buffer) => Buffer {
  if (encoding === 'utf-16le' || encoding === 'utf-16be') {
    const decoder = new TextDecoder(encoding);
    return (chunk) => Buffer.from(decoder.decode(chunk, { stream: true }), 'utf8');
  }
  let skip = encoding === 'utf-8 with BOM' ? 3 : 0;
  return (chunk) => {
    const from = Math.min(skip, chunk.length);
    skip -= from;
    return chunk.subarray(from);
  };
}

/** Byte text as people read it. */
export function decoded(text: ByteText, encoding: Encoding): string {
  let ascii = true;
  for (let i = 0; ascii && i < text.length; i++) ascii = text.charCodeAt(i) < 0x80;
  if (ascii) return text;
  const bytes = Buffer.from(text, 'latin1');
  return encoding === 'windows-1252' ? new TextDecoder('windows-1252').decode(bytes) : bytes.toString('utf8');
}

/**
 * What a terminal obeys instead of showing: control characters (escape codes begin with one), line
 * and paragraph separators, marks that turn the direction of writing, and half surrogate pairs.
 */
const OBEYED = /[\p{Cc}\p{Cs}\p{Zl}\p{Zp}\p{Bidi_Control}]/gu;

/** Text from an input as a terminal may show it: whatever it would obey is spelt out, as in `\x1b`. */
export function visibleText(text: string): string {
  return text.replace(OBEYED, (character) => (character === '\t' ? '\\t' : spelt(character)));
}

/** What ASCII has no letter for but a customary spelling. */
const SPELLINGS: Readonly<Record<string, string>> = {
  '°': 'deg',
  µ: 'u',
  μ: 'u',
  '±': '+-',
  '×': 'x',
  '·': '*',
  '−': '-',
  '–': '-',
  '—': '-',
  '─': '-',
  '…': '...',
  '≤': '<=',
  '≥': '>=',
  '→': '->',
  '‘': "'",
  '’': "'",
  '“': '"',
  '”': '"',
  ß: 'ss',
  ø: 'o',
  Ø: 'O',
  æ: 'ae',
  Æ: 'AE',
  ł: 'l',
  Ł: 'L',
};

const BEYOND_ASCII = /[^\0-\x7f]/gu;

/**
 * Text for a terminal that shows ASCII only: customary spellings (`degC`, `...`), letters without
 * their accents, and the code point (`\u6e29`) of everything else, so that nothing is lost unseen.
 */
export function asciiText(text: string): string {
  return text
    .replace(BEYOND_ASCII, (character) => SPELLINGS[character] ?? character)
    .normalize('NFKD')
    .replace(/\p{Mn}/gu, '')
    .replace(BEYOND_ASCII, spelt);
}

function spelt(character: string): string {
  const code = character.codePointAt(0) ?? 0;
  const digits = code.toString(16);
  if (code > 0xffff) return `\\u{${digits}}`;
  return code > 0xff ? `\\u${digits.padStart(4, '0')}` : `\\x${digits.padStart(2, '0')}`;
}

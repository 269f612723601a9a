// biome-ignore-all lint/suspicious/noConstEnum: they are put in as numbers, also by the compiler of `plainScan.as.ts`

/** What the two halves of the lane for plain lines, `plainLines.ts` and `plainScan.as.ts`, say to each other. */

/** What is done with the cells of a column. */
export const enum Kind {
  text,
  number,
  stamp,
  date,
  clock,
  epoch,
}

export const enum Byte {
  newline = 10,
  carriageReturn = 13,
  blank = 32,
  quote = 34,
  plus = 43,
  comma = 44,
  dash = 45,
  point = 46,
  zero = 48,
  colon = 58,
  letterT = 84,
  letterZ = 90,
  backslash = 92,
  smallA = 97,
  smallM = 109,
  smallP = 112,
}

/** What stands behind a clock: something else, an end of the cell, the letter for UTC, or an offset. */
export const enum Behind {
  other,
  end,
  utc,
  offset,
}

/** Why the scan stopped: the block is full or the bytes are at an end, a line is not plain, or a cell is not usual. */
export const enum Stop {
  end,
  line,
  cell,
}

/** Where in the words of its state the scan says how far it came, and is told what the lines of an input are like. */
export const enum State {
  /** Row of the block, where its line begins; the column and where its cell begins, where that is not usual. */
  row,
  start,
  column,
  cell,
  firstZoned,
  /** Rows of a block, columns of a line. */
  rows,
  width,
  delimiter,
  lineEnd,
  /** The decimal mark of numbers, in quotes and without: -1 where it would be a delimiter. */
  mark,
  bareMark,
  /** Whether the clocks of the zone are meant where a stamp has no offset. */
  isLocal,
  /** Bytes in the date of the last stamp; 0 where there was none. */
  dateLength,
  words,
}

export const enum Most {
  /**
   * Lines that are handed over at a time: what they hold stays in the processor's nearest memory. No power of two, by
   * which columns would stand in each other's way there.
   */
  rows = 500,
  /** Columns of a line. */
  width = 4096,
  /** Bytes of all columns of numbers, and of texts: a line of many columns makes blocks of fewer lines. */
  numbers = 1048576,
  texts = 65536,
  /** Bytes of lines that are scanned at a time. */
  bytes = 32768,
  /** Bytes behind them that are looked at without asking whether they are there. */
  behind = 64,
}

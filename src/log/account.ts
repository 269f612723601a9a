import type { Instant } from '../units.js';

/**
 * Where the lines of the input went: total = header + blank + accepted + rejected + outsideWindow.
 */
export interface LineAccount {
  readonly total: number;
  /** The heading, wherever it is repeated, and lines of layout (rulers, `sep=`, comments). */
  readonly header: number;
  /** Lines with nothing on them; of a file with a pair of columns per logger also those without a value for it. */
  readonly blank: number;
  readonly accepted: number;
  readonly rejected: number;
  /** Readable, but not within the window of time that was asked for. */
  readonly outsideWindow: number;
}

/** Why a line could not be made into a reading. */
export type RejectReason =
  | 'cells' // too few or too many cells
  | 'quotes' // quotes that do not close
  | 'cut' // the last line, ended in the middle of a number
  | 'time' // no time stamp that can be read
  | 'clock' // a time stamp of a clock that was never set
  | 'skipped_hour' // a time that the clocks of the zone jumped over
  | 'logger'; // no name of a logger where each line should have one

/** All lines of one input that were rejected for one reason. */
export interface Rejection {
  readonly source: string;
  readonly reason: RejectReason;
  readonly count: number;
  readonly firstLine: number;
  readonly lastLine: number;
  /** The first of them, as people read it. */
  readonly example: string;
  /** What the line would have needed, where the reason alone does not say. */
  readonly detail: string | null;
  /** Instants of the readings in front of the first of them and behind the last; null where there is none. */
  readonly from: Instant | null;
  readonly until: Instant | null;
}

/** A cell that holds neither a number nor a word for "missing". */
export interface UnreadableCell {
  readonly source: string;
  readonly line: number;
  readonly quantity: 'air_temperature' | 'relative_humidity';
  readonly text: string;
}

export function sumOfAccounts(accounts: readonly LineAccount[]): LineAccount {
  const sum = (key: keyof LineAccount) => accounts.reduce((total, account) => total + account[key], 0);
  return {
    total: sum('total'),
    header: sum('header'),
    blank: sum('blank'),
    accepted: sum('accepted'),
    rejected: sum('rejected'),
    outsideWindow: sum('outsideWindow'),
  };
}

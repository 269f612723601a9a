import type { CheckName } from '../../src/log/finding.js';
import type { Measured } from '../../src/log/log.js';
import type { Device, Row } from './device.js';
import type { Random } from './random.js';
import { type Clocks, readInstant, type StampStyle } from './stamps.js';

export const HOUR = 3_600_000;

/** What kind of place a logger is in. */
export type Place = 'outdoors' | 'loft' | 'cellar' | 'bathroom';

/** A logger with what it has written so far. */
export interface Bench {
  readonly logger: string;
  readonly place: Place;
  readonly device: Device;
  readonly style: StampStyle;
  readonly clocks: Clocks;
  readonly random: Random;
  readonly rows: Row[];
  /** What the air does to each quantity by itself: see `outstanding`. */
  readonly restless: Readonly<Record<Measured, number>>;
}

/** Rows [first, end) of a bench that one fault has for itself. */
export interface Stretch {
  readonly first: number;
  readonly end: number;
}

/** One injected fault: the truth that findings are held against. */
export interface Fault {
  readonly kind: string;
  readonly check: CheckName;
  readonly logger: string;
  /** The rows concerned; of a gap those to either side. */
  readonly rows: readonly Row[];
  /** Between which instants it shows, as a reader has them. */
  readonly from: number;
  readonly until: number;
  /** Whether its lines have lost their time, so that only their numbers tell where they are. */
  readonly timeless: boolean;
  /** Whether it is in the log as a whole, not in a place of it. */
  readonly everywhere: boolean;
}

/** A way in which logs go wrong. */
export interface Kind {
  readonly name: string;
  readonly check: CheckName;
  /** How often on each site. */
  readonly times: number;
  /** How long it needs the log for itself [h], drawn anew for every fault; null: it takes the whole log. */
  readonly hours: ((random: Random) => number) | null;
  readonly timeless?: boolean;
  /** Whether it lies at the beginning or the end of the log. */
  readonly atAnEnd?: boolean;
  /** Loggers that can have it. */
  readonly fits: (bench: Bench) => boolean;
  /** @returns the rows concerned, and between which stamps if not theirs; null where it cannot be placed here */
  readonly inject: (bench: Bench, stretch: Stretch) => Injected | null;
}

export interface Injected {
  readonly everywhere?: boolean;
  readonly rows: readonly Row[];
  readonly from?: number;
  readonly until?: number;
}

/** The instant of a row as a reader has it. */
export function seen({ style, clocks }: Bench, { stamp }: Row): number {
  return readInstant(stamp, style, clocks);
}

export const anywhere = () => true;

export function rowsIn({ rows }: Bench, { first, end }: Stretch): Row[] {
  return rows.slice(first, end);
}

/** A run of so many rows somewhere in a stretch, not at its ends. */
export function someRows(bench: Bench, { first, end }: Stretch, count: number): Row[] {
  const room = end - first - count;
  if (room < 2) return [];
  const from = first + bench.random.whole(1, room - 1);
  return bench.rows.slice(from, from + count);
}

export function faultOf(kind: Kind, bench: Bench, injected: Injected): Fault {
  // what is in the whole log is so between its ends, whatever else the clock did
  const stamps = injected.everywhere
    ? [bench.rows[0]!.at, bench.rows.at(-1)!.at]
    : injected.rows.map((row) => seen(bench, row));
  return {
    kind: kind.name,
    check: kind.check,
    logger: bench.logger,
    rows: injected.rows,
    from: injected.from ?? stamps.reduce((least, stamp) => Math.min(least, stamp), Infinity),
    until: injected.until ?? stamps.reduce((most, stamp) => Math.max(most, stamp), -Infinity),
    timeless: kind.timeless === true,
    everywhere: injected.everywhere === true,
  };
}

/**
 * How far the air itself leaves the line between the readings to either side, in 999 of 1000 rows. A false
 * value that stands off by no more than half as much again could be true for all that anybody can see, so
 * none smaller is injected.
 */
export function restlessness(rows: readonly Row[], quantity: Measured): number {
  const off: number[] = [];
  for (let row = 1; row + 1 < rows.length; row++) {
    const [a, b, c] = [rows[row - 1]!, rows[row]!, rows[row + 1]!].map((each) => valueIn(each, quantity));
    off.push(Math.abs(b! - (a! + c!) / 2));
  }
  off.sort((a, b) => a - b);
  return off[Math.floor(0.999 * off.length)] ?? 0;
}

const STANDS_OUT = 1.5;

export function outstanding({ restless }: Bench, quantity: Measured, change: number): boolean {
  return Math.abs(change) > STANDS_OUT * restless[quantity];
}

export function valueIn(row: Row, quantity: Measured): number {
  return quantity === 'air_temperature' ? row.temperature : row.humidity;
}

export function setValue(row: Row, quantity: Measured, value: number): void {
  if (quantity === 'air_temperature') row.temperature = value;
  else row.humidity = value;
}

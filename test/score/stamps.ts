/** How stamps are written. `winter` is local to the zone, but on its standard time all year. */
export type StampStyle = 'utc' | 'local' | 'epoch' | 'winter';

/** A zone with one change of its clocks at most in the time that is looked at. */
export interface Clocks {
  readonly zone: string;
  readonly standard: number; // offset [ms]
  /** When they change, null if they do not. */
  readonly change: number | null;
  readonly before: number; // offset [ms]
  readonly after: number;
}

/** What the clocks of a zone do between two instants, asked of the runtime. */
export function clocksOf(zone: string, from: number, until: number): Clocks {
  const before = offsetAt(zone, from);
  const after = offsetAt(zone, until);
  const year = new Date(from).getUTCFullYear();
  const standard = Math.min(offsetAt(zone, Date.UTC(year, 0, 15)), offsetAt(zone, Date.UTC(year, 6, 15)));
  if (before === after) return { zone, standard, change: null, before, after };
  let [low, high] = [from, until];
  while (high - low > 1000) {
    const middle = Math.floor((low + high) / 2000) * 1000;
    if (offsetAt(zone, middle) === before) low = middle;
    else high = middle;
  }
  return { zone, standard, change: high, before, after };
}

function offsetAt(zone: string, instant: number): number {
  const parts = new Intl.DateTimeFormat('en-GB', { timeZone: zone, dateStyle: 'short', timeStyle: 'medium' })
    .formatToParts(instant)
    .map(({ type, value }) => [type, Number(value)] as const);
  const part = Object.fromEntries(parts) as Record<string, number>;
  const wall = Date.UTC(part.year!, part.month! - 1, part.day!, part.hour!, part.minute!, part.second!);
  return wall - Math.floor(instant / 1000) * 1000;
}

export function offset({ change, before, after }: Clocks, instant: number): number {
  return change !== null && instant >= change ? after : before;
}

/** The last Sunday of March or October falls in it, or no change at all. */
export const CHANGES = {
  spring: Date.UTC(2025, 2, 30),
  autumn: Date.UTC(2025, 9, 26),
  summer: Date.UTC(2025, 6, 15),
  winter: Date.UTC(2025, 0, 20),
} as const;

/** A stamp as text, to the second. */
export function stampText(stamp: number, style: StampStyle, clocks: Clocks): string {
  if (style === 'epoch') return String(Math.floor(stamp / 1000));
  if (style === 'utc') return `${new Date(stamp).toISOString().slice(0, 19)}Z`;
  const shift = style === 'winter' ? clocks.standard : offset(clocks, stamp);
  return new Date(stamp + shift).toISOString().slice(0, 19).replace('T', ' ');
}

/** The instant that a reader makes of a stamp which it takes for local time of the zone. */
export function readInstant(stamp: number, style: StampStyle, clocks: Clocks): number {
  if (style !== 'winter') return Math.floor(stamp / 1000) * 1000;
  const wall = stamp + clocks.standard;
  const seen = wall - clocks.before;
  const { change } = clocks;
  const instant = change !== null && seen >= change ? wall - clocks.after : seen;
  return Math.floor(instant / 1000) * 1000;
}

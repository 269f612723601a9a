import { type Row, rounded } from './device.js';
import {
  anywhere,
  type Bench,
  HOUR,
  type Injected,
  type Kind,
  rowsIn,
  type Stretch,
  seen,
  someRows,
} from './fault.js';
import type { Random } from './random.js';

const short = () => 3;
const SECOND = 1000;
const between = (least: number, greatest: number) => (random: Random) => random.between(least, greatest);

/** Takes rows out; what is left to either side shows the hole. */
function hole(bench: Bench, lost: readonly Row[]): Injected | null {
  if (lost.length === 0) return null;
  const before = bench.rows[bench.rows.indexOf(lost[0]!) - 1];
  const after = bench.rows[bench.rows.indexOf(lost.at(-1)!) + 1];
  if (before === undefined || after === undefined) return null;
  for (const row of lost) row.dropped = true;
  return { rows: [before, after], from: seen(bench, before), until: seen(bench, after) };
}

export const lostReadings: Kind = {
  name: 'lost readings',
  check: 'gap',
  times: 3,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    return hole(bench, someRows(bench, stretch, random.chance(0.6) ? 1 : random.whole(2, 4)));
  },
};

export const outage: Kind = {
  name: 'outage',
  check: 'gap',
  times: 1,
  hours: (random) => random.between(2, 30),
  fits: anywhere,
  inject: (bench, { first, end }) => hole(bench, rowsIn(bench, { first: first + 1, end: end - 1 })),
};

/** An export that stops at a round number of lines; see `site.ts`, which cuts it. */
export const exportCut: Kind = {
  name: 'export cut',
  check: 'gap',
  times: 0,
  hours: null,
  fits: anywhere,
  inject: () => null,
};

function again(row: Row, stamp = row.stamp): Row {
  return { ...row, stamp, behind: [] };
}

/** The answer of the server was lost: the same line once more, or a few times. */
export const retry: Kind = {
  name: 'same line again',
  check: 'duplicate',
  times: 2,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    const rows = someRows(bench, stretch, random.chance(0.7) ? 1 : random.whole(2, 4));
    for (const row of rows) {
      const copies = random.chance(0.8) ? 1 : 3;
      row.behind = Array.from({ length: copies }, () => again(row));
    }
    return rows.length === 0 ? null : { rows: rows.flatMap((row) => [row, ...row.behind]) };
  },
};

/** Two exports that overlap, one behind the other. */
export const overlap: Kind = {
  name: 'overlapping exports',
  check: 'duplicate',
  times: 1,
  hours: between(6, 24),
  fits: anywhere,
  inject(bench, stretch) {
    const rows = rowsIn(bench, stretch).slice(2, -2);
    if (rows.length < 4) return null;
    const copies = rows.map((row) => again(row));
    rows.at(-1)!.behind = copies;
    return { rows: [...rows, ...copies] };
  },
};

/** The reading was taken again before the line was sent again. */
export const otherValues: Kind = {
  name: 'other values, same stamp',
  check: 'conflict',
  times: 2,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { grade } = bench.device;
    const [row] = someRows(bench, stretch, 1);
    if (row === undefined) return null;
    const other = again(row);
    const step = bench.random.whole(1, 4) / 10 ** grade.decimals;
    other.temperature = rounded(row.temperature + bench.random.oneOf([-1, 0, 1]) * step, grade);
    other.humidity = rounded(Math.max(0, row.humidity - step), grade);
    if (other.humidity === row.humidity) return null;
    row.behind = [other];
    return { rows: [row, other] };
  },
};

/** Sent again until it is answered, and stamped by the server each time. */
export const sentAgain: Kind = {
  name: 'sent again, new stamp',
  check: 'repeat_submission',
  times: 3,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    const rows = someRows(bench, stretch, random.chance(0.7) ? 1 : random.whole(2, 4));
    for (const row of rows) {
      const copies = random.chance(0.8) ? 1 : 2;
      let stamp = row.stamp;
      row.behind = Array.from({ length: copies }, () => {
        stamp += random.whole(1, 6) * SECOND;
        return again(row, stamp);
      });
    }
    return rows.length === 0 ? null : { rows: rows.flatMap((row) => [row, ...row.behind]) };
  },
};

/** Readings that were kept back while the network was away, sent behind newer ones. */
export const lateBlock: Kind = {
  name: 'late block',
  check: 'disorder',
  times: 2,
  hours: between(4, 16),
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    const room = stretch.end - stretch.first;
    const count = random.whole(1, Math.max(1, Math.min(60, room >> 1)));
    const late = someRows(bench, { first: stretch.first, end: stretch.end - 2 }, count);
    if (late.length === 0) return null;
    const last = bench.rows[stretch.end - 1]!;
    const newer = bench.rows[bench.rows.indexOf(late.at(-1)!) + 1]!;
    const behind = random.chance(0.5) ? newer : last;
    late.forEach((row, i) => {
      row.order = behind.order + (i + 1) / (count + 1);
    });
    return { rows: late };
  },
};

/** Where clocks begin that were not told the time. */
const ZEROS: readonly number[] = [
  Date.UTC(2000, 0, 1),
  Date.UTC(2000, 0, 1),
  Date.UTC(1980, 0, 6),
  Date.UTC(2036, 1, 7, 6, 28, 16),
];

/** A restart without network: the clock begins at `zero` and is set some readings later. */
function restarted(bench: Bench, stretch: Stretch, zero: number): Injected | null {
  const { random } = bench;
  const room = stretch.end - stretch.first;
  const rows = someRows(bench, stretch, random.whole(2, Math.max(2, Math.min(200, room - 4))));
  if (rows.length === 0) return null;
  // true time, as a reader sees it
  const [from, until] = [seen(bench, rows[0]!), seen(bench, rows.at(-1)!)];
  const up = random.whole(5, 20) * SECOND;
  for (const row of rows) row.stamp = zero + up + (row.at - rows[0]!.at);
  return { rows, from, until };
}

export const resetClock: Kind = {
  name: 'clock reset',
  check: 'clock',
  timeless: true,
  times: 2,
  hours: between(3, 12),
  fits: anywhere,
  inject: (bench, stretch) => restarted(bench, stretch, bench.random.oneOf(ZEROS)),
};

export const unsetClock: Kind = {
  name: 'clock never set',
  check: 'clock',
  timeless: true,
  times: 1,
  hours: between(3, 12),
  fits: anywhere,
  inject: (bench, stretch) => restarted(bench, stretch, 0),
};

/** A clock set by hand, minutes off, until the network tells it the time: from there on all is right. */
export const jump: Kind = {
  name: 'clock jump',
  check: 'clock',
  times: 1,
  hours: between(12, 24),
  fits: ({ style, clocks }) => clocks.change === null || style !== 'local',
  inject(bench, { first, end }) {
    const { random, device, rows } = bench;
    const middle = (first + end) >> 1;
    const wrong = rows.slice(first, middle);
    const whole = random.chance(0.5) ? 0 : random.whole(1, 4);
    const by = random.oneOf([-1, 1]) * (whole + random.between(0.2, 0.8)) * device.cadence;
    for (const row of wrong) row.stamp += Math.round(by / SECOND) * SECOND;
    // it shows where the clock goes wrong, and where it is set right
    return { rows: [rows[first - 1]!, ...wrong, rows[middle]!] };
  },
};

/** What was kept back came all at once, and was stamped on arrival. */
export const arrival: Kind = {
  name: 'stamped on arrival',
  check: 'clock',
  times: 1,
  hours: between(4, 12),
  fits: ({ device }) => device.wobble > 0,
  inject(bench, stretch) {
    const { random } = bench;
    const room = stretch.end - stretch.first;
    const rows = someRows(bench, stretch, Math.min(room - 4, random.whole(3, 40)));
    if (rows.length < 3) return null;
    const before = bench.rows[bench.rows.indexOf(rows[0]!) - 1]!;
    const first = rows.at(-1)!.stamp;
    rows.forEach((row, i) => {
      row.stamp = first + Math.floor((i * SECOND) / 3);
    });
    return { rows, from: seen(bench, before), until: seen(bench, rows.at(-1)!) };
  },
};

/** A clock that nobody sets, on an oscillator that runs 0.3 to 1 % fast or slow. */
export const drift: Kind = {
  name: 'clock drift',
  check: 'clock',
  times: 1,
  hours: null,
  fits: ({ place, style, device }) => place === 'outdoors' && style !== 'local' && device.delay === 0,
  inject(bench) {
    const { rows, random } = bench;
    const rate = random.oneOf([-1, 1]) * random.between(0.003, 0.01);
    const start = rows[0]!.at;
    for (const row of rows) row.stamp += Math.round(((row.at - start) * rate) / SECOND) * SECOND;
    return { rows, everywhere: true };
  },
};

/** Sent less often from some day on, to spare the battery, or up to some day. */
export const otherCadence: Kind = {
  name: 'other cadence',
  check: 'cadence',
  times: 1,
  hours: between(100, 160),
  atAnEnd: true,
  fits: anywhere,
  inject(bench, stretch) {
    const every = bench.random.oneOf([2, 3, 5]);
    const slow = rowsIn(bench, stretch);
    slow.forEach((row, i) => {
      if (i % every > 0) row.dropped = true;
    });
    // the readings to either side see the change
    const [before, after] = [bench.rows[stretch.first - 1], bench.rows[stretch.end]];
    const kept = slow.filter(({ dropped }) => !dropped);
    return { rows: [...(before ? [before] : []), ...kept, ...(after ? [after] : [])] };
  },
};

/** Restarted at another second: all readings from there on come later in the cadence. */
export const phaseShift: Kind = {
  name: 'phase shift',
  check: 'cadence',
  times: 1,
  hours: between(6, 12),
  fits: ({ device }) => device.cadence >= 300_000,
  inject(bench, { first, end }) {
    const { rows, random, device } = bench;
    const middle = (first + end) >> 1;
    const by = Math.round((random.between(0.15, 0.45) * device.cadence) / SECOND) * SECOND;
    for (const row of rows.slice(middle)) row.stamp += by;
    return { rows: [rows[middle - 1]!, rows[middle]!] };
  },
};

/** The device waits a cadence and then works for some seconds; see `site.ts`, which builds it so. */
export const loopDelay: Kind = {
  name: 'loop delay',
  check: 'cadence',
  times: 0,
  hours: null,
  fits: anywhere,
  inject: () => null,
};

/** On the standard time of the zone all year, in an export that does not say so; see `site.ts`. */
export const fixedTime: Kind = {
  name: 'fixed time',
  check: 'daylight_saving',
  times: 1,
  hours: null,
  fits: ({ style, clocks }) => style === 'winter' && clocks.change !== null,
  inject(bench) {
    const { change } = bench.clocks;
    const near = bench.rows.filter(({ at }) => Math.abs(at - change!) < 2 * HOUR);
    return { rows: near, from: change! - 2 * HOUR, until: change! + 2 * HOUR };
  },
};

/** A store that keeps local time refused the hour that does not exist, or the second pass of the one that came twice. */
export const refusedHour: Kind = {
  name: 'refused hour',
  check: 'daylight_saving',
  times: 1,
  hours: null,
  fits: ({ style, clocks }) =>
    clocks.change !== null && style === (clocks.after > clocks.before ? 'utc' : 'local'),
  inject(bench) {
    const { change, before, after } = bench.clocks;
    // in spring the store takes stamps in UTC for local ones
    const start = after > before ? change! + before : change!;
    const lost = bench.rows.filter(({ stamp }) => stamp >= start && stamp < start + HOUR);
    return hole(bench, lost);
  },
};

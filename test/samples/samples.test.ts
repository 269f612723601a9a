import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { samples } from '../../samples/generator/samples.js';
import { buck1996 } from '../../src/psychrometry/buck1996.js';
import { dewPoint } from '../../src/psychrometry/dewPoint.js';
import { DAY, HOUR, MINUTE, SECOND } from '../../src/units.js';

interface Fault {
  readonly logger: string;
  readonly check: string;
  readonly quantity: 'time' | 'air_temperature' | 'relative_humidity';
  readonly from: string;
  readonly until: string;
  readonly lines: readonly [number, number];
  readonly count: number;
}

interface Extremes {
  readonly min: number;
  readonly max: number;
  readonly mean: number;
}

interface TrueDay {
  readonly day: string;
  readonly from: string;
  readonly until: string;
  readonly readings: number;
  readonly air_temperature: Extremes;
  readonly relative_humidity: Extremes;
}

interface Entry {
  readonly line: number;
  readonly time: number;
  readonly air_temperature: number;
  readonly relative_humidity: number;
}

const MONTH_START = Date.UTC(2025, 8, 30, 23);
const MONTH_END = Date.UTC(2025, 10, 1);
const CLOCKS_BACK = Date.UTC(2025, 9, 26, 1);

/** The text of a sample file, unpacked: how tightly zlib packs is its own affair, and differs between versions. */
const committed = (name: string): string => {
  const bytes = readFileSync(new URL(`../../samples/${name}`, import.meta.url));
  return (name.endsWith('.gz') ? gunzipSync(bytes) : bytes).toString('utf8');
};

const faults = JSON.parse(committed('faults.json')) as Fault[];
const truth = JSON.parse(committed('truth.json')) as Record<string, TrueDay[]>;

/** Local stamps in file order: of a time that the clocks showed twice, the second is the later one. */
function localClock(): (wall: string) => number {
  const seen = new Set<string>();
  return (wall) => {
    const summer = Date.parse(`${wall}Z`) - HOUR;
    const later = summer >= CLOCKS_BACK || (summer >= CLOCKS_BACK - HOUR && seen.has(wall));
    seen.add(wall);
    return later ? summer + HOUR : summer;
  };
}

const commaClock = localClock();
const semicolonClock = localClock();

const LOGS = [
  {
    logger: 'boat-hall',
    file: 'boat-hall.csv',
    lineEnd: '\n',
    cadence: 30 * MINUTE,
    readings: 1490,
    whole: /^(2025-10-\d\dT\d\d:\d\d:\d\d),(-?\d+\.\d|),(-?\d+\.\d|)$/,
    timeOf: commaClock,
  },
  {
    logger: 'sail-loft',
    file: 'sail-loft.csv',
    lineEnd: '\r\n',
    cadence: 10 * MINUTE,
    readings: 4470,
    whole: /^(\d\d\.10\.2025 \d\d:\d\d:\d\d);(-?\d+,\d|NaN);(-?\d+|NaN)$/,
    timeOf: (stamp: string) => semicolonClock(`2025-10-${stamp.slice(0, 2)}T${stamp.slice(11)}`),
  },
  {
    logger: 'battery-locker',
    file: 'battery-locker.tsv',
    lineEnd: '\n',
    cadence: 5 * MINUTE,
    readings: 8940,
    whole: /^\d+\tbattery-locker\t(\d{10})\t(-?[\d.]+|\\N)\t(-?[\d.]+|\\N)$/,
    timeOf: (stamp: string) => Number(stamp) * SECOND,
  },
].map((log) => {
  const lines = committed(log.file).split(log.lineEnd);
  if (lines[lines.length - 1] === '') lines.pop();
  const entries = new Map<number, Entry>();
  lines.forEach((text, i) => {
    const cells = log.whole.exec(text);
    if (cells === null) return;
    const [, stamp, temperature, humidity] = cells;
    entries.set(i + 1, {
      line: i + 1,
      time: log.timeOf(stamp!),
      air_temperature: numberIn(temperature!),
      relative_humidity: numberIn(humidity!),
    });
  });
  return { ...log, lines, entries, faults: faults.filter(({ logger }) => logger === log.logger) };
});
type SampleLog = (typeof LOGS)[number];

function numberIn(cell: string): number {
  return cell === '' || cell === '\\N' ? NaN : Number(cell.replace(',', '.'));
}

function entriesOf(log: SampleLog, { lines: [first, last] }: Fault): Entry[] {
  return [...log.entries.values()].filter(({ line }) => line >= first && line <= last);
}

const instants = ({ from, until }: { from: string; until: string }) =>
  [Date.parse(from), Date.parse(until)] as const;

describe('generating the samples again', () => {
  const generated = samples(buck1996.water);

  it('covers the logs, their heartbeats and what is known of them', () => {
    expect([...generated.keys()].sort()).toEqual([
      'battery-locker-heartbeats.tsv.gz',
      'battery-locker.tsv',
      'boat-hall-heartbeats.csv.gz',
      'boat-hall.csv',
      'faults.json',
      'outages.json',
      'sail-loft-heartbeats.csv.gz',
      'sail-loft.csv',
      'slipway.csv',
      'truth.json',
    ]);
  });

  it.each([...generated.keys()])('gives the committed bytes of %s', (name) => {
    // Not toEqual: a difference of half a megabyte helps nobody.
    expect(generated.get(name) === committed(name)).toBe(true);
  });

  it('keeps the packed heartbeats under 500 kB together', () => {
    const packed = [...generated.keys()].filter((name) => name.endsWith('.gz'));
    const sizes = packed.map(
      (name) => readFileSync(new URL(`../../samples/${name}`, import.meta.url)).length,
    );
    expect(sizes.reduce((sum, size) => sum + size)).toBeLessThan(500_000);
  });

  it('keeps the three logs under 500 kB together', () => {
    const bytes = LOGS.map(({ file }) => Buffer.byteLength(committed(file)));
    expect(bytes.reduce((sum, size) => sum + size)).toBeLessThan(500_000);
  });
});

describe.each(LOGS)('$file', (log) => {
  const ofCheck = (check: string) => log.faults.filter((fault) => fault.check === check);
  const counted = (check: string) => ofCheck(check).reduce((sum, { count }) => sum + count, 0);

  it('has the readings of the month, but for those that the list of faults explains', () => {
    const holes = ofCheck('gap').map(instants);
    const unreadable = ofCheck('unreadable').map(instants);
    const explained = (time: number) =>
      holes.some(([from, until]) => from < time && time < until) ||
      unreadable.some(([from, until]) => from <= time && time <= until);
    const grid: number[] = [];
    for (let time = MONTH_START; time < MONTH_END; time += log.cadence) grid.push(time);
    expect(grid.length).toBe(log.readings);
    const present = new Set([...log.entries.values()].map(({ time }) => time));
    expect([...present].sort((a, b) => a - b)).toEqual(grid.filter((time) => !explained(time)));
    expect(log.entries.size).toBe(present.size + counted('duplicate') + counted('conflict'));
  });

  it('has no line that cannot be read but the listed ones', () => {
    const unreadable = log.lines.flatMap((_, i) =>
      i === 0 || log.entries.has(i + 1) ? [] : [[i + 1, i + 1]],
    );
    expect(unreadable).toEqual(ofCheck('unreadable').map(({ lines }) => lines));
  });

  it('runs forward in time but for the listed blocks', () => {
    const late = ofCheck('disorder').map(({ lines }) => lines[0]);
    const entries = [...log.entries.values()];
    const backward = entries.filter(({ time }, i) => i > 0 && time < entries[i - 1]!.time);
    expect(backward.map(({ line }) => line)).toEqual(late);
  });

  it.each(log.faults)('has the $check of $quantity at lines $lines', (fault) => {
    const found = entriesOf(log, fault);
    const [from, until] = instants(fault);
    if (fault.check !== 'unreadable') {
      const times = found.map(({ time }) => time);
      expect([Math.min(...times), Math.max(...times)]).toEqual([from, until]);
    }
    switch (fault.check) {
      case 'unreadable':
        expect(found).toEqual([]);
        break;
      case 'gap':
        expect(until - from).toBeGreaterThan(1.5 * log.cadence);
        break;
      case 'duplicate':
        expect(found.length).toBe(fault.count + 1);
        for (const entry of found) expect({ ...entry, line: 0 }).toEqual({ ...found[0], line: 0 });
        break;
      case 'conflict':
        expect(found.map(({ time }) => time)).toEqual([from, from]);
        expect(found[0]!.air_temperature).not.toBe(found[1]!.air_temperature);
        expect(found[0]!.relative_humidity).not.toBe(found[1]!.relative_humidity);
        break;
      case 'disorder':
        expect(found.length).toBe(fault.count);
        expect(log.entries.get(fault.lines[0] - 1)!.time).toBeGreaterThan(until);
        break;
      default:
        expect(found.length).toBe(fault.count);
        for (const entry of found) expect(judge(entry, fault)).toBe(fault.check);
    }
  });

  it('has no wrong value but the listed ones', () => {
    for (const quantity of ['air_temperature', 'relative_humidity'] as const) {
      const wrong = [...log.entries.values()].filter(
        (entry) => judge(entry, { ...log, quantity }) !== 'good',
      );
      const listed = log.faults.filter((fault) => fault.quantity === quantity);
      expect(wrong.map(({ line }) => line)).toEqual(
        listed.flatMap((fault) => entriesOf(log, fault).map(({ line }) => line)),
      );
    }
  });

  it('agrees with the true minimum, maximum and mean of every day without a fault', () => {
    const quiet = truth[log.logger]!.filter((day) => {
      const [start, end] = instants(day);
      return !log.faults.map(instants).some(([from, until]) => from <= end && until >= start);
    });
    expect(quiet.length).toBeGreaterThanOrEqual(15);
    for (const day of quiet) {
      const [start, end] = instants(day);
      const covered = [...log.entries.values()].filter(({ time }) => start <= time && time <= end);
      const inside = covered.filter(({ time }) => time < end);
      expect(inside.length).toBe(day.readings);
      for (const quantity of ['air_temperature', 'relative_humidity'] as const) {
        const values = inside.map((entry) => entry[quantity]);
        expect(Math.min(...values)).toBe(day[quantity].min);
        expect(Math.max(...values)).toBe(day[quantity].max);
        // At even spacing: every value counts once, the two at the ends half. Truth is rounded to 1e-6.
        const evenly = covered.map((entry) => entry[quantity]);
        const ends = (evenly[0]! + evenly[evenly.length - 1]!) / 2;
        const mean = (evenly.reduce((sum, value) => sum + value, 0) - ends) / (evenly.length - 1);
        expect(mean).toBeCloseTo(day[quantity].mean, 5);
      }
    }
  });

  it('has civil days of 24 hours and one of 25', () => {
    const days = truth[log.logger]!;
    expect(days.map(instants).map(([from, until]) => (until - from) / HOUR)).toEqual(
      days.map(({ day }) => (day === '2025-10-26' ? 25 : 24)),
    );
    expect(days.reduce((sum, { readings }) => sum + readings, 0)).toBe(log.readings);
  });
});

/** Stated span of each sensor, as in skerry-mere.toml. */
const SENSOR_RANGE: Readonly<Record<string, Readonly<Record<string, readonly [number, number]>>>> = {
  'boat-hall': { air_temperature: [-40, 80], relative_humidity: [0, 100] },
  'sail-loft': { air_temperature: [-20, 60], relative_humidity: [0, 100] },
  'battery-locker': { air_temperature: [0, 50], relative_humidity: [5, 99] },
};
/** What no air can be, as everywhere in the program. */
const GROSS_RANGE = { air_temperature: [-80, 60], relative_humidity: [0, 104] } as const;
const SENTINELS = [-999, -127, 85];

function judge(entry: Entry, { logger, quantity }: Pick<Fault, 'logger' | 'quantity'>): string {
  if (quantity === 'time') throw new RangeError('a time has no value');
  const value = entry[quantity];
  if (Number.isNaN(value)) return 'missing_value';
  if (SENTINELS.includes(value) && !(quantity === 'relative_humidity' && value === 85)) return 'sentinel';
  const outside = ([low, high]: readonly [number, number]) => value < low || value > high;
  if (outside(GROSS_RANGE[quantity])) return 'gross_range';
  if (outside(SENSOR_RANGE[logger]![quantity]!)) return 'sensor_range';
  return 'good';
}

describe('the list of faults', () => {
  it('has each kind somewhere', () => {
    expect([...new Set(faults.map(({ check }) => check))].sort()).toEqual([
      'conflict',
      'disorder',
      'duplicate',
      'gap',
      'gross_range',
      'missing_value',
      'sensor_range',
      'sentinel',
      'unreadable',
    ]);
  });

  it('holds gaps of 4 and of 30 hours', () => {
    const hours = faults
      .filter(({ check }) => check === 'gap')
      .map(instants)
      .map(([from, until]) => (until - from) / HOUR);
    expect(hours).toEqual(expect.arrayContaining([4, 30]));
  });
});

describe('the weather', () => {
  const hall = truth['boat-hall']!;

  it('brings two or three nights of frost', () => {
    const frosty = hall.filter(({ air_temperature }) => air_temperature.min < 0).length;
    expect(frosty).toBeGreaterThanOrEqual(2);
    expect(frosty).toBeLessThanOrEqual(3);
  });

  it('has nights near saturation and afternoons far from it, and never more than 100 %', () => {
    const humidity = hall.map(({ relative_humidity }) => relative_humidity);
    expect(humidity.filter(({ max }) => max >= 97).length).toBeGreaterThanOrEqual(5);
    expect(humidity.filter(({ min }) => min < 60).length).toBeGreaterThanOrEqual(5);
    for (const days of Object.values(truth)) {
      for (const { relative_humidity } of days) expect(relative_humidity.max).toBeLessThanOrEqual(100);
    }
  });

  it('leaves a mass that lags three hours wet for hours after the front of 27 October', () => {
    const log = LOGS.find(({ logger }) => logger === 'boat-hall')!;
    const morning = Date.UTC(2025, 9, 27);
    const entries = [...log.entries.values()].filter(
      ({ time }) => time >= morning - DAY && time < morning + DAY / 2,
    );
    const share = 1 - Math.exp(-log.cadence / (3 * HOUR));
    let mass = entries[0]!.air_temperature;
    let wet = 0;
    for (const { time, air_temperature, relative_humidity } of entries) {
      mass += (air_temperature - mass) * share;
      if (time >= morning && mass < dewPoint(air_temperature, relative_humidity)) wet += log.cadence;
    }
    expect(wet).toBeGreaterThan(4 * HOUR);
  });
});

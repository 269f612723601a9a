import type { Measured } from '../../src/log/log.js';
import { saturation } from './air.js';
import { type Row, rounded } from './device.js';
import {
  anywhere,
  type Bench,
  type Kind,
  outstanding,
  rowsIn,
  setValue,
  someRows,
  valueIn,
} from './fault.js';
import type { Random } from './random.js';

const BOTH: readonly Measured[] = ['air_temperature', 'relative_humidity'];
const WORDS = ['nan', '', 'NULL', 'NaN', 'None', 'null'];
/** What drivers and programs write for "no value", by the quantity for which they do. */
const CODES: Readonly<Record<Measured, readonly number[]>> = {
  air_temperature: [-127, -999, 85, 999, 9999, -99.9, 998, 32767, 65535],
  relative_humidity: [-999, 999, 9999, 998, 255, -1, -99.9, 65535],
};
/** Single bits of a word in tenths that are large enough to be seen. */
const BITS: Readonly<Record<Measured, readonly number[]>> = {
  air_temperature: [12.8, 25.6],
  relative_humidity: [12.8, 25.6, 51.2],
};
const MOST: Readonly<Record<Measured, number>> = { air_temperature: 58, relative_humidity: 99 };
const LEAST: Readonly<Record<Measured, number>> = { air_temperature: -30, relative_humidity: 2 };

const short = () => 3;
const between = (least: number, greatest: number) => (random: Random) => random.between(least, greatest);

/** The pair of readings that the sensor would give for the same air at another temperature of its own. */
function warmed(row: Row, by: number, { device }: Bench): void {
  const vapour = (row.humidity / 100) * saturation(row.temperature);
  row.temperature = rounded(row.temperature + by, device.grade);
  row.humidity = Math.min(device.rail, rounded((100 * vapour) / saturation(row.temperature), device.grade));
}

export const missingWord: Kind = {
  name: 'missing value',
  check: 'missing_value',
  times: 2,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    const rows = someRows(bench, stretch, random.chance(0.6) ? 1 : random.whole(2, 12));
    const word = random.oneOf(WORDS);
    const which = random.oneOf(['air_temperature', 'relative_humidity', 'both']);
    for (const row of rows) {
      if (which !== 'relative_humidity') row.temperatureText = word;
      if (which !== 'air_temperature') row.humidityText = word;
    }
    return rows.length === 0 ? null : { rows };
  },
};

export const code: Kind = {
  name: 'code for no value',
  check: 'sentinel',
  times: 2,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    const which = random.oneOf(['air_temperature', 'relative_humidity', 'both', 'naught'] as const);
    const rows = someRows(bench, stretch, random.chance(0.7) ? 1 : random.whole(2, 8));
    const codes = {
      air_temperature: random.oneOf(CODES.air_temperature),
      relative_humidity: random.oneOf(CODES.relative_humidity),
    };
    for (const row of rows) {
      for (const quantity of which === 'both' || which === 'naught' ? BOTH : [which]) {
        setValue(row, quantity, which === 'naught' ? 0 : codes[quantity]);
      }
    }
    return rows.length === 0 ? null : { rows };
  },
};

/** A broken word on the wire: a sign bit read as magnitude, or more humidity than there can be. */
export const impossible: Kind = {
  name: 'impossible value',
  check: 'gross_range',
  times: 2,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    const { grade } = bench.device;
    const rows = someRows(bench, stretch, random.chance(0.8) ? 1 : 2);
    const way = random.oneOf(['sign', 'overflow', 'frame']);
    for (const row of rows) {
      if (way === 'sign') row.temperature = rounded(random.oneOf([3276.8, -3276.8, 6553.6]) - 1.7, grade);
      if (way === 'overflow') row.humidity = rounded(random.between(130, 650), grade);
      if (way === 'frame') {
        row.temperature = rounded(random.between(70, 150), grade);
        row.humidity = rounded(random.between(110, 160), grade);
      }
    }
    return rows.length === 0 ? null : { rows };
  },
};

/** A wet sensor that is not cut off at saturation. */
export const aboveSaturation: Kind = {
  name: 'above 100 %',
  check: 'sensor_range',
  times: 1,
  hours: between(3, 8),
  fits: anywhere,
  inject(bench, stretch) {
    const rows = rowsIn(bench, stretch);
    for (const row of rows) {
      row.humidity = rounded(100.6 + bench.random.between(0, 2.8), bench.device.grade);
    }
    return { rows };
  },
};

/** One bit of the word of one quantity, in one or two reads. */
export const bitError: Kind = {
  name: 'bit error',
  check: 'spike',
  times: 3,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    const quantity = random.oneOf(BOTH);
    const rows = someRows(bench, stretch, random.chance(0.8) ? 1 : 2);
    const change = random.oneOf(BITS[quantity]) * random.oneOf([-1, 1]);
    const fits = rows.every((row) => {
      const value = valueIn(row, quantity) + change;
      return value > LEAST[quantity] && value < MOST[quantity];
    });
    if (rows.length === 0 || !fits || !outstanding(bench, quantity, change)) return null;
    for (const row of rows) {
      setValue(row, quantity, rounded(valueIn(row, quantity) + change, bench.device.grade));
    }
    return { rows };
  },
};

/** The contact of a sensor that comes and goes: its temperature is off for hours, its humidity is not. */
export const levelJump: Kind = {
  name: 'level jump',
  check: 'rate_of_change',
  times: 1,
  hours: between(3, 8),
  fits: anywhere,
  inject(bench, stretch) {
    const change = bench.random.between(12, 18) * bench.random.oneOf([-1, 1]);
    if (!outstanding(bench, 'air_temperature', change / 2)) return null;
    const rows = rowsIn(bench, stretch);
    for (const row of rows) row.temperature = rounded(row.temperature + change, bench.device.grade);
    return { rows };
  },
};

/** A hung program that sends the same pair until somebody pulls the plug. */
export const hung: Kind = {
  name: 'hung',
  check: 'flat_line',
  times: 1,
  hours: (random) => random.between(6, 60),
  // whole degrees stand still for hours by themselves
  fits: ({ device }) => device.grade.name === 'fine',
  inject: freeze(['air_temperature', 'relative_humidity']),
};

export const hungWhole: Kind = {
  ...hung,
  name: 'hung, whole degrees',
  hours: (random) => random.between(20, 90),
  fits: ({ device }) => device.grade.name === 'coarse',
};

/** One channel stands still while the other goes on. */
export const frozenHumidity: Kind = {
  name: 'frozen humidity',
  check: 'flat_line',
  times: 1,
  hours: between(36, 96),
  fits: ({ place }) => place !== 'cellar',
  inject: freeze(['relative_humidity']),
};

export const frozenTemperature: Kind = {
  name: 'frozen temperature',
  check: 'flat_line',
  times: 1,
  hours: between(36, 96),
  fits: ({ place }) => place !== 'cellar',
  inject: freeze(['air_temperature']),
};

function freeze(quantities: readonly Measured[]): Kind['inject'] {
  return (bench, stretch) => {
    const rows = rowsIn(bench, stretch);
    for (const quantity of quantities) {
      for (const row of rows) setValue(row, quantity, valueIn(rows[0]!, quantity));
    }
    return { rows };
  };
}

/** Condensation in the sensor: the humidity climbs to the rail and stays there for days. */
export const lockedHigh: Kind = {
  name: 'locked at 100 %',
  check: 'saturation',
  times: 1,
  hours: between(36, 120),
  fits: ({ place }) => place !== 'cellar',
  inject: lock((bench) => bench.device.rail),
};

export const lockedLow: Kind = {
  name: 'locked at 0 or 1 %',
  check: 'saturation',
  times: 1,
  hours: between(18, 96),
  fits: ({ place }) => place !== 'cellar',
  inject: lock(({ random }) => random.oneOf([0, 1])),
};

/** Slides there within two hours. */
function lock(rail: (bench: Bench) => number): Kind['inject'] {
  return (bench, stretch) => {
    const rows = rowsIn(bench, stretch);
    const { grade, cadence } = bench.device;
    const level = rail(bench);
    const start = rows[0]!.humidity;
    const slide = 7_200_000 / cadence;
    rows.forEach((row, i) => {
      row.humidity = i < slide ? rounded(start + ((level - start) * i) / slide, grade) : level;
    });
    return { rows };
  };
}

/** New firmware that speaks °F, until somebody sees it. */
export const fahrenheit: Kind = {
  name: '°C to °F',
  check: 'unit_change',
  times: 1,
  hours: between(24, 110),
  fits: anywhere,
  inject(bench, stretch) {
    const rows = rowsIn(bench, stretch);
    for (const row of rows) row.temperature = rounded(1.8 * row.temperature + 32, bench.device.grade);
    return { rows };
  },
};

export const fraction: Kind = {
  name: 'per cent to fraction',
  check: 'unit_change',
  times: 1,
  hours: between(24, 110),
  fits: anywhere,
  inject(bench, stretch) {
    const rows = rowsIn(bench, stretch);
    for (const row of rows) row.humidity = Math.round(10 * row.humidity) / 1000;
    return { rows };
  },
};

/** 215 for 21.5: the point was lost, or what counts in tenths was not divided; seldom divided twice. */
export const lostPoint: Kind = {
  name: 'lost point',
  check: 'decimal_shift',
  times: 2,
  hours: short,
  fits: anywhere,
  inject(bench, stretch) {
    const { random } = bench;
    const { grade } = bench.device;
    const quantity = random.oneOf(BOTH);
    const twice = grade.decimals > 0 && random.chance(0.25);
    const rows = someRows(bench, stretch, random.chance(0.7) ? 1 : random.whole(2, 5));
    const shifted = rows.map((row) => {
      const value = valueIn(row, quantity);
      return twice ? Math.round(10 * value) / 100 : Math.round(10 * value);
    });
    const seen = rows.every((row, i) => outstanding(bench, quantity, shifted[i]! - valueIn(row, quantity)));
    if (rows.length === 0 || !seen) return null;
    for (const [i, row] of rows.entries()) setValue(row, quantity, shifted[i]!);
    return { rows };
  },
};

/** The two values in each other's place. */
export const exchanged: Kind = {
  name: 'exchanged columns',
  check: 'inconsistent',
  times: 1,
  hours: between(3, 24),
  fits: anywhere,
  inject(bench, stretch) {
    const rows = rowsIn(bench, stretch);
    for (const row of rows) [row.temperature, row.humidity] = [row.humidity, row.temperature];
    return { rows };
  },
};

/** The same variable printed twice. */
export const copied: Kind = {
  name: 'copied column',
  check: 'inconsistent',
  times: 1,
  hours: between(4, 24),
  fits: anywhere,
  inject(bench, stretch) {
    const rows = rowsIn(bench, stretch);
    for (const row of rows) row.humidity = row.temperature;
    // a row in which they are equal anyway, or frost, shows nothing; neither happens here for long
    return { rows };
  },
};

/** A housing moved on to a warm wall: the same air, read warmer and so drier. */
export const warmWall: Kind = {
  name: 'warm wall',
  check: 'neighbour',
  times: 1,
  hours: between(100, 160),
  fits: ({ place }) => place === 'outdoors',
  inject(bench, stretch) {
    const by = bench.random.between(3, 6);
    const rows = rowsIn(bench, stretch);
    for (const row of rows) warmed(row, by, bench);
    return { rows };
  },
};

/** A humidity sensor that has lost its calibration: 12 to 25 % off from one day to the next. */
export const biasedHumidity: Kind = {
  name: 'biased humidity',
  check: 'neighbour',
  times: 1,
  hours: between(100, 160),
  fits: ({ place }) => place === 'outdoors',
  inject(bench, stretch) {
    const by = -bench.random.between(12, 25);
    const rows = rowsIn(bench, stretch);
    const { cadence, grade } = bench.device;
    rows.forEach((row, i) => {
      const share = Math.min(1, (i * cadence) / 86_400_000);
      row.humidity = rounded(Math.max(0, row.humidity + share * by), grade);
    });
    return { rows };
  },
};

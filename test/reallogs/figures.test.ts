import { parse } from 'csv-parse/sync';
import { beforeAll, describe, expect, it } from 'vitest';
import { hylandWexler } from '../../src/psychrometry/hylandWexler.js';
import { magnusWmo } from '../../src/psychrometry/magnusWmo.js';
import { mixingRatio } from '../../src/psychrometry/mixingRatio.js';
import {
  type DailyDocument,
  type DailyPeriod,
  type DampDocument,
  dewledger,
  documentOf,
  PATIENCE,
} from '../properties/program.js';
import { reference } from '../psychrometry/reference.js';
import {
  type CleanedRow,
  celsius,
  cleanedRows,
  distance,
  haveLogs,
  SET_NAMES,
  SETS,
  type SetName,
  textOf,
} from './sets.js';

type Extremes = 'temperature_min' | 'temperature_max' | 'humidity_min' | 'humidity_max' | 'within';
type Times = 'temperature_min_at' | 'temperature_max_at' | 'humidity_min_at' | 'humidity_max_at';

const whole = reference<Extremes, 'set' | 'logger'>('real_logs_whole', 15);
const days = reference<Extremes | 'readings', 'set' | 'logger' | 'day' | Times>(
  'real_logs_daily_extremes',
  21,
);
const derived = reference<'rows' | 'mean_abs' | 'max_abs', 'set' | 'logger' | 'quantity' | 'formula'>(
  'real_logs_derived',
  5,
);

describe.skipIf(!haveLogs)('figures of published logs', { timeout: PATIENCE }, () => {
  const daily = new Map<string, DailyPeriod>();
  const yearly = new Map<string, readonly DailyPeriod[]>();
  const cleaned = new Map<string, Map<number, CleanedRow>>();

  beforeAll(async () => {
    for (const name of SET_NAMES) {
      const set = SETS[name];
      const byDay = await documentOf<DailyDocument>(['daily', ...set.files, ...set.told]);
      for (const { logger, periods } of byDay.logs) {
        for (const period of periods)
          daily.set(`${name}/${logger}/${period.period_start.slice(0, 10)}`, period);
      }
      const byYear = await documentOf<DailyDocument>(['daily', ...set.files, ...set.told, '--per', 'year']);
      for (const { logger, periods } of byYear.logs) yearly.set(`${name}/${logger}`, periods);
      const readings = await cleanedRows(set, '--add', 'dew_point_temperature,absolute_humidity');
      for (const [logger, rows] of readings) cleaned.set(`${name}/${logger}`, rows);
    }
  }, PATIENCE);

  const near = (found: number, wanted: number, within: number) =>
    expect(Math.abs(found - wanted), `${found} for ${wanted}`).toBeLessThanOrEqual(within);

  it.each(whole)('$set $logger: extremes of the whole log', ({ set, logger, within, ...row }) => {
    const periods = yearly.get(`${set}/${logger}`)!;
    expect(periods).toHaveLength(1);
    const scale = SETS[set as SetName];
    near(periods[0]!.air_temperature_min_degC, celsius(scale, row.temperature_min), within);
    near(periods[0]!.air_temperature_max_degC, celsius(scale, row.temperature_max), within);
    near(periods[0]!.relative_humidity_min_pct, row.humidity_min, within);
    near(periods[0]!.relative_humidity_max_pct, row.humidity_max, within);
  });

  it.each(days)(
    '$set $logger $day: extremes of the day, and when',
    ({ set, logger, day, within, ...row }) => {
      const period = daily.get(`${set}/${logger}/${day}`)!;
      const scale = SETS[set as SetName];
      near(period.air_temperature_min_degC, celsius(scale, row.temperature_min), within);
      near(period.air_temperature_max_degC, celsius(scale, row.temperature_max), within);
      near(period.relative_humidity_min_pct, row.humidity_min, within);
      near(period.relative_humidity_max_pct, row.humidity_max, within);
      expect(period.readings).toBe(row.readings);
      expect(period.air_temperature_min_time.slice(0, 19)).toBe(`${day}T${row.temperature_min_at}`);
      expect(period.air_temperature_max_time.slice(0, 19)).toBe(`${day}T${row.temperature_max_at}`);
    },
  );

  it.each(days)('$set $logger $day: the humidity was lowest and highest when it was', (row) => {
    const { set, logger, day } = row;
    const readings = [...cleaned.get(`${set}/${logger}`)!.values()].filter(({ time }) =>
      time!.startsWith(day),
    );
    const humidities = readings.map((reading) => Number(reading.relative_humidity_pct));
    const at = (value: number) => readings[humidities.indexOf(value)]!.time!.slice(11, 19);
    expect(at(Math.min(...humidities))).toBe(row.humidity_min_at);
    expect(at(Math.max(...humidities))).toBe(row.humidity_max_at);
  });

  it.each(['EWR', 'JFK', 'LGA'])('nyc %s: the day on which the clocks go back has 25 h', (logger) => {
    const period = daily.get(`nyc/${logger}/2013-11-03`)!;
    expect(Date.parse(period.period_end) - Date.parse(period.period_start)).toBe(25 * 3_600_000);
    expect(period.air_temperature_max_time).toBe('2013-11-03T01:00:00-04:00');
  });

  describe('derived quantities beside those of the publishers', () => {
    const dewPoints = haveLogs ? airportDewPoints() : [];
    const words = (formula: string) => ['--formula', formula];

    // rounded to 0.01 K in the output: 0.005 K at most
    it.each(derived.filter(({ set }) => set === 'house'))(
      '$set: $quantity by $formula',
      async ({ logger, quantity, formula, rows, mean_abs, max_abs }) => {
        const rowsOfOurs = await cleanedRows(
          SETS.house,
          '--logger',
          logger,
          '--add',
          quantity,
          ...words(formula),
        );
        const ours = [...rowsOfOurs.get(logger)!.values()];
        const apart = distance(ours.map((row, i) => Number(row.dew_point_temperature_degC) - dewPoints[i]!));
        expect(apart.rows).toBe(rows);
        near(apart.mean, mean_abs, 0.005);
        near(apart.max, max_abs, 0.02);
      },
    );

    it('house: the default formula is no further off than the Magnus curve', () => {
      const ours = [...cleaned.get('house/out')!.values()];
      const apart = distance(ours.map((row, i) => Number(row.dew_point_temperature_degC) - dewPoints[i]!));
      expect(apart.mean).toBeLessThan(0.055);
      expect(apart.max).toBeLessThan(0.6);
    });

    const office = derived.filter(({ set }) => set === 'office');

    it.each(office)(
      'office $logger: $quantity by $formula',
      async ({ logger, formula, rows, mean_abs, max_abs }) => {
        const published = humidityRatios(logger);
        const ours = [
          ...(await cleanedRows(SETS.office, '--ideal', '--add', 'mixing_ratio', ...words(formula)))
            .get(logger)!
            .values(),
        ];
        // the program writes 0.01 g/kg, so a row may lie 0.005 further off, and the mean of rows that all lie
        // nearer than that cannot be told from rounding
        const apart = distance(ours.map((row, i) => Number(row.mixing_ratio_g_kg) - published[i]!));
        expect(apart.rows).toBe(rows);
        const shift = formula === 'magnusWmo' ? MASS_RATIO_SHIFT : 0.0000005;
        expect(apart.max).toBeLessThanOrEqual(max_abs + 0.005 + shift);
        // before rounding: the tolerance is half the last digit of the reference
        const curve = formula === 'magnusWmo' ? magnusWmo : hylandWexler;
        const exact = distance(
          ours.map(
            (row, i) =>
              mixingRatio(Number(row.air_temperature_degC), Number(row.relative_humidity_pct), 1013.25, {
                formula: curve,
                enhanced: false,
              }) - published[i]!,
          ),
        );
        near(exact.mean, mean_abs, shift);
        near(exact.max, max_abs, shift);
      },
    );
  });

  it.each(SET_NAMES)('%s: damp runs on the files as they lie there', async (name) => {
    const { files, told } = SETS[name];
    const { surfaces } = await documentOf<DampDocument>([
      'damp',
      ...files,
      ...told,
      '--surface',
      'winch=PT3H',
    ]);
    const loggers = whole.filter(({ set }) => set === name).map(({ logger }) => String(logger));
    expect(surfaces.map(({ logger }) => logger).sort()).toEqual(loggers.sort());
    for (const { periods } of surfaces) {
      for (const period of periods) {
        const { condensation_hours_expected: expected, dry_hours, unknown_hours } = period;
        const length = (Date.parse(period.period_end) - Date.parse(period.period_start)) / 3_600_000;
        near((expected ?? 0) + dry_hours + unknown_hours, length, 0.0015);
      }
    }
  });

  it.each(whole)(
    '$set $logger: every good reading has a dew point and an absolute humidity',
    ({ set, logger }) => {
      const wrong: CleanedRow[] = [];
      for (const row of cleaned.get(`${set}/${logger}`)!.values()) {
        const known = row.air_temperature_degC !== '' && row.relative_humidity_pct !== '';
        const added = [row.dew_point_temperature_degC, row.absolute_humidity_g_m3];
        // rounding to 0.01 K may lift a dew point over the air by half of that
        const above = Number(row.dew_point_temperature_degC) > Number(row.air_temperature_degC) + 0.005;
        if (added.some((cell) => (cell !== '') !== known) || (known && above)) wrong.push(row);
      }
      expect(wrong).toEqual([]);
    },
  );

  it.each(SET_NAMES)('%s: a cleaned file cleaned again is the same', async (name) => {
    const { files, told, zone } = SETS[name];
    // of the house one logger: the bathroom, with the longest decimals
    const only = name === 'house' ? ['--logger', '5'] : [];
    const once = await dewledger(['clean', ...files, ...told, ...only]);
    const twice = await dewledger(['clean', '-', '--zone', zone], once.stdout);
    expect(twice.code).toBe(0);
    expect(twice.stdout === once.stdout).toBe(true);
  });
});

/** Ours is 0.621945, the reference was computed with 0.62198; on 8 g/kg that is less than this [g/kg]. */
const MASS_RATIO_SHIFT = 0.0005;

/** The airport's own dew points in the house's file, a row each. */
function airportDewPoints(): number[] {
  const rows = parse(textOf(SETS.house.files[0]), { columns: true }) as CleanedRow[];
  return rows.map(({ Tdewpoint }) => Number(Tdewpoint));
}

/** The authors' column of one of the office's files, a row each [g/kg]. */
function humidityRatios(logger: string): number[] {
  const file = SETS.office.files.find((each) => each.endsWith(`${logger}.txt`))!;
  return (parse(textOf(file), { from_line: 2, relax_column_count: true }) as string[][]).map(
    (cells) => 1000 * Number(cells[6]),
  );
}

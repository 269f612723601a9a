import { describe, expect, it, vi } from 'vitest';
import { reference } from '../psychrometry/reference.js';
import { call } from './call.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

type Air = Record<string, number | null>;

async function air(temperature: number, humidity: number, ...words: string[]): Promise<Air> {
  const { code, stdout, stderr } = await call([
    'air',
    `${temperature}`,
    `${humidity}`,
    ...words,
    '--format',
    'json',
  ]);
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  return JSON.parse(stdout);
}

/** The formulas take turns over the rows of a table. */
const turn = (formulas: readonly string[], row: number) => formulas[row % formulas.length]!;
const hPa = (pascal: number) => ['--pressure', `${pascal / 100}`];
/** Distance of what the program says from what is printed; nothing said is infinitely far. */
const off = (said: number | null | undefined, printed: number) => Math.abs((said ?? Infinity) - printed);
const relativelyOff = (said: number | null | undefined, printed: number) =>
  said === printed ? 0 : Math.abs((said ?? Infinity) / printed - 1);

// The tolerances are those of the tables; their reasons stand at the head of each.
describe('air --format json agrees with the published tables', () => {
  it('dew point and frost point', async () => {
    const rows = reference<
      | 'temperature_degC'
      | 'relative_humidity_pct'
      | 'dew_point_degC'
      | 'frost_point_degC'
      | 'within_K'
      | 'within_K_magnus_wmo'
    >('dew_point', 59);
    for (const [i, row] of rows.entries()) {
      const formula = turn(['buck1996', 'hylandWexler', 'magnusWmo'], i);
      const within = formula === 'magnusWmo' ? row.within_K_magnus_wmo : row.within_K;
      const said = await air(row.temperature_degC, row.relative_humidity_pct, '--formula', formula);
      expect(off(said.dew_point_temperature_degC, row.dew_point_degC)).toBeLessThanOrEqual(within);
      if (row.dew_point_degC > 0) expect(said.frost_point_temperature_degC).toBeNull();
      else if (!Number.isNaN(row.frost_point_degC)) {
        expect(off(said.frost_point_temperature_degC, row.frost_point_degC)).toBeLessThanOrEqual(within);
      }
    }
  });

  it('saturation vapour pressure over water and ice', async () => {
    type Columns = 'temperature_degC' | 'pressure_Pa' | 'within_relative' | 'within_relative_magnus_wmo';
    const tables = [
      {
        column: 'saturation_vapour_pressure_hPa',
        rows: reference<Columns>('saturation_vapour_pressure_water', 79),
      },
      {
        column: 'saturation_vapour_pressure_over_ice_hPa',
        rows: reference<Columns>('saturation_vapour_pressure_ice', 32),
      },
    ];
    for (const { column, rows } of tables) {
      for (const [i, row] of rows.entries()) {
        const formula = turn(['buck1996', 'hylandWexler', 'magnusWmo'], i);
        const within = formula === 'magnusWmo' ? row.within_relative_magnus_wmo : row.within_relative;
        const said = await air(row.temperature_degC, 50, '--formula', formula);
        expect(relativelyOff(said[column], row.pressure_Pa / 100)).toBeLessThanOrEqual(within);
      }
    }
  });

  it('humidity ratio, enthalpy, volume and absolute humidity of real and ideal air over water', async () => {
    const rows = reference<
      | 'temperature_degC'
      | 'relative_humidity_pct'
      | 'pressure_Pa'
      | 'humidity_ratio_kg_kg'
      | 'specific_enthalpy_J_kg'
      | 'specific_volume_m3_kg'
      | 'absolute_humidity_g_m3'
      | 'within_relative'
      | 'within_enthalpy_J_kg'
      | 'within_relative_volume'
      | 'within_relative_absolute_humidity',
      'saturation_phase' | 'basis' | 'provenance'
    >('humidity_ratio_enthalpy', 52).filter((row) => row.saturation_phase === 'water');
    expect(rows.length).toBeGreaterThan(40);
    for (const [i, row] of rows.entries()) {
      const formula = turn(['buck1996', 'hylandWexler'], i);
      const said = await air(
        row.temperature_degC,
        row.relative_humidity_pct,
        ...['--formula', formula],
        ...(Number.isNaN(row.pressure_Pa) ? [] : hPa(row.pressure_Pa)),
        ...(row.basis === 'ideal' ? ['--ideal'] : []),
      );
      const apart = [
        [relativelyOff(said.mixing_ratio_g_kg, 1000 * row.humidity_ratio_kg_kg), row.within_relative],
        [
          off(said.specific_enthalpy_kJ_kg, row.specific_enthalpy_J_kg / 1000),
          row.within_enthalpy_J_kg / 1000,
        ],
        [relativelyOff(said.specific_volume_m3_kg, row.specific_volume_m3_kg), row.within_relative_volume],
        [
          relativelyOff(said.absolute_humidity_g_m3, row.absolute_humidity_g_m3),
          row.within_relative_absolute_humidity,
        ],
      ] as const;
      const compared = apart.filter(([, within]) => !Number.isNaN(within));
      expect(compared.length).toBeGreaterThan(0);
      for (const [distance, within] of compared) expect(distance).toBeLessThanOrEqual(within);
    }
  });

  it('wet bulb by its three definitions', async () => {
    const rows = reference<
      'temperature_degC' | 'relative_humidity_pct' | 'pressure_Pa' | 'wet_bulb_degC' | 'within_K',
      'bulb_phase' | 'model' | 'provenance'
    >('wet_bulb', 86);
    const column: Record<string, string> = {
      thermodynamic: 'wet_bulb_temperature_degC',
      psychrometer: 'wet_bulb_temperature_psychrometer_degC',
      'Stull 2011 closed form': 'wet_bulb_temperature_closed_form_degC',
    };
    for (const row of rows) {
      const ideal = row.provenance.includes('no enhancement factor') ? ['--ideal'] : [];
      const said = await air(
        row.temperature_degC,
        row.relative_humidity_pct,
        ...hPa(row.pressure_Pa),
        ...ideal,
      );
      expect(off(said[column[row.model]!], row.wet_bulb_degC)).toBeLessThanOrEqual(row.within_K);
      if (row.model === 'thermodynamic') expect(said.wet_bulb_phase).toBe(row.bulb_phase);
    }
  });

  it('heat index', async () => {
    const rows = reference<'temperature_degF' | 'relative_humidity_pct' | 'heat_index_degF' | 'within_degF'>(
      'heat_index',
      154,
    );
    for (const row of rows) {
      const said = await air((row.temperature_degF - 32) / 1.8, row.relative_humidity_pct);
      expect(off(said.heat_index_degC! * 1.8 + 32, row.heat_index_degF)).toBeLessThanOrEqual(row.within_degF);
    }
  });

  it('humidex', async () => {
    const rows = reference<'temperature_degC' | 'relative_humidity_pct' | 'humidex' | 'within'>(
      'humidex',
      59,
    );
    for (const row of rows) {
      const said = await air(row.temperature_degC, row.relative_humidity_pct);
      // the table starts from a dew point: its rounding and another formula cost 0.01
      expect(off(said.humidex, row.humidex)).toBeLessThanOrEqual(row.within + 0.01);
    }
  });

  it('enhancement factor', async () => {
    const rows = reference<'temperature_degC' | 'pressure_Pa' | 'enhancement_factor_wmo'>(
      'enhancement_factor',
      23,
    );
    for (const row of rows) {
      const said = await air(row.temperature_degC, 50, ...hPa(row.pressure_Pa));
      expect(off(said.enhancement_factor, row.enhancement_factor_wmo)).toBeLessThan(6e-6); // printed to 1e-5
    }
    expect((await air(20, 50, '--ideal')).enhancement_factor).toBeNull();
  });

  it('station pressure of the standard atmosphere', async () => {
    // ICAO Doc 7488 by ISO 2533: 898.746 hPa at 1000 m, from memory
    expect(off((await air(20, 50, '--altitude', '1000')).pressure_hPa, 898.746)).toBeLessThan(0.01);
  });

  it('uncertainty of the dew point', async () => {
    const rows = reference<
      | 'temperature_degC'
      | 'relative_humidity_pct'
      | 'limit_temperature_K'
      | 'limit_relative_humidity_pct'
      | 'dew_point_degC'
      | 'standard_uncertainty_first_order_K'
      | 'worst_case_low_K'
      | 'worst_case_high_K'
      | 'within_first_order_K'
    >('dew_point_uncertainty', 15);
    const withheld: number[] = [];
    for (const row of rows) {
      const said = await air(
        row.temperature_degC,
        row.relative_humidity_pct,
        ...['--temperature-accuracy', `${row.limit_temperature_K}`],
        ...['--humidity-accuracy', `${row.limit_relative_humidity_pct}`],
      );
      if (said.dew_point_standard_uncertainty_K === null) withheld.push(row.relative_humidity_pct);
      else {
        const distance = off(said.dew_point_standard_uncertainty_K, row.standard_uncertainty_first_order_K);
        expect(distance).toBeLessThanOrEqual(row.within_first_order_K);
      }
      const { dew_point_temperature_degC: interval } = said.intervals as unknown as Record<
        string,
        [number, number]
      >;
      // printed to 0.001 K each
      expect(off(interval![0], row.dew_point_degC + row.worst_case_low_K)).toBeLessThan(0.0015);
      expect(off(interval![1], row.dew_point_degC + row.worst_case_high_K)).toBeLessThan(0.0015);
    }
    // an error of 3 % is too large a share of these for a first-order figure
    expect(withheld).toEqual([20, 8]);
  });
});

describe('air', () => {
  it('--format json has these keys; no NaN, null where nothing is defined', async () => {
    const said = await air(5, 60);
    expect(Object.keys(said).slice(0, 8)).toEqual([
      'format',
      'version',
      'air_temperature_degC',
      'relative_humidity_pct',
      'pressure_hPa',
      'formula',
      'enhancement_factor',
      'accuracy',
    ]);
    expect(said).toMatchObject({
      format: 'dewledger/air',
      version: 1,
      air_temperature_degC: 5,
      relative_humidity_pct: 60,
      pressure_hPa: 1013.25,
      formula: 'buck1996',
      heat_index_degC: null,
      humidex: null,
    });
    const { intervals } = said as unknown as { intervals: Record<string, [number | null, number | null]> };
    expect(intervals.humidex).toEqual([null, null]);
    for (const [column, [low, high]] of Object.entries(intervals)) {
      if (said[column] === null) continue;
      expect(low).toBeLessThanOrEqual(said[column]!);
      expect(high).toBeGreaterThanOrEqual(said[column]!);
    }
  });

  it('--format csv has a row for each quantity', async () => {
    const { stdout } = await call(['air', '5', '60', '--format', 'csv']);
    const lines = stdout.trimEnd().split('\n');
    const { intervals } = (await air(5, 60)) as unknown as { intervals: object };
    expect(lines[0]).toBe('quantity,value,unit,low,high');
    expect(lines.length - 1).toBe(Object.keys(intervals).length);
    expect(lines).toContain('humidex,,1,,');
  });

  it('at the door of its range is still answered', async () => {
    expect((await air(20, 104)).dew_point_temperature_degC).toBeCloseTo(20, 9);
    expect((await air(100, 1)).vapour_pressure_hPa).toBeGreaterThan(10);
    expect((await air(-80, 50)).saturation_vapour_pressure_over_ice_hPa).toBeGreaterThan(0);
  });

  it.each([
    { why: 'no air is drier than dry', words: ['20', '-1'], says: 'no air has this humidity: -1 %' },
    {
      why: 'nor damper than a sensor errs',
      words: ['20', '104.1'],
      says: 'no air has this humidity: 104.1 %',
    },
    {
      why: 'too cold for the formula',
      words: ['-80.1', '50'],
      says: 'buck1996 has no answer at this temperature',
    },
    { why: 'too hot for the formula', words: ['100.1', '50'], says: 'it goes from -80 to 100 °C' },
    { why: 'more than a double holds', words: ['1e400', '50'], says: 'buck1996 has no answer' },
    { why: 'a pressure in Pa', words: ['20', '50', '--pressure', '101325'], says: '--pressure takes hPa' },
    {
      why: 'a height that is none',
      words: ['20', '50', '--altitude', '90000'],
      says: '--altitude takes metres',
    },
    {
      why: 'both',
      words: ['20', '50', '--altitude', '0', '--pressure', '1000'],
      says: 'give only one of them',
    },
    { why: 'no number', words: ['warm', '50'], says: 'the temperature is no number: warm' },
  ])('$why: exit 2', async ({ words, says }) => {
    const { code, stdout, stderr } = await call(['air', ...words]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain(says);
  });
});

import type { Celsius, Hectopascal, Percent } from '../units.js';
import { absoluteHumidity } from './absoluteHumidity.js';
import { airDensity, specificVolume } from './airDensity.js';
import type { AirModel } from './airModel.js';
import { dewPoint, frostPoint } from './dewPoint.js';
import { specificEnthalpy } from './enthalpy.js';
import { heatIndex } from './heatIndex.js';
import { humidex } from './humidex.js';
import { mixingRatio, specificHumidity } from './mixingRatio.js';
import { relativeHumidityOverIce } from './relativeHumidity.js';
import { saturationDeficit, vapourPressure } from './vapourPressure.js';
import { wetBulbTemperature } from './wetBulb.js';

/** Whether a quantity rises (1), falls (−1) or stays (0) when temperature or humidity alone rises. */
export interface Trend {
  readonly temperature: -1 | 0 | 1;
  readonly humidity: -1 | 0 | 1;
}

/** A quantity that is computed from a reading. */
export interface Quantity {
  /** The column without its unit; what `--add` and `--where` take. */
  readonly name: string;
  readonly column: string;
  /** In the notation of the metadata: `g m-3`; `1` where there is none. */
  readonly unit: string;
  /** CF standard name (table v83), null where there is none. */
  readonly standardName: string | null;
  /** Digits after the point: what a sensor of ±0.5 K and ±3 % supports near 20 °C, and one to spare. */
  readonly decimals: number;
  readonly describes: string;
  readonly source: string;
  readonly trend: Trend;
  /** Temperature [°C], humidity [%], pressure [hPa] → value in `unit`; NaN where it is not defined. */
  of(temperature: Celsius, humidity: Percent, pressure: Hectopascal, model: AirModel): number;
}

const DEFINITION = 'by definition, from the saturation formula';
const ASHRAE = 'ASHRAE Fundamentals 2017, ch. 1';
const RISES: Trend = { temperature: 1, humidity: 1 };
const FALLS: Trend = { temperature: -1, humidity: -1 };

/** All quantities, in the order in which they are shown. */
export const quantities: readonly Quantity[] = [
  {
    name: 'dew_point_temperature',
    column: 'dew_point_temperature_degC',
    unit: 'degC',
    standardName: 'dew_point_temperature',
    decimals: 2,
    describes: 'temperature at which the air, cooled, saturates over liquid water',
    source: 'inverse of the saturation formula over water',
    trend: RISES,
    of: (t, u, _p, model) => dewPoint(t, u, model.formula),
  },
  {
    name: 'frost_point_temperature',
    column: 'frost_point_temperature_degC',
    unit: 'degC',
    standardName: null,
    decimals: 2,
    describes: 'temperature at which the air, cooled, saturates over ice; only below 0 °C',
    source: 'inverse of the saturation formula over ice',
    trend: RISES,
    of: (t, u, _p, model) => frostPoint(t, u, model.formula),
  },
  {
    name: 'wet_bulb_temperature',
    column: 'wet_bulb_temperature_degC',
    unit: 'degC',
    standardName: 'wet_bulb_temperature',
    decimals: 2,
    describes: 'thermodynamic wet bulb: to what evaporating water, below 0 °C ice, cools the air',
    source: ASHRAE,
    trend: RISES,
    of: wetBulbTemperature,
  },
  {
    name: 'vapour_pressure',
    column: 'vapour_pressure_hPa',
    unit: 'hPa',
    standardName: 'water_vapor_partial_pressure_in_air',
    decimals: 2,
    describes: 'pressure of the water vapour in the air',
    source: DEFINITION,
    trend: RISES,
    of: (t, u, _p, model) => vapourPressure(t, u, model.formula),
  },
  {
    name: 'saturation_vapour_pressure',
    column: 'saturation_vapour_pressure_hPa',
    unit: 'hPa',
    standardName: null,
    decimals: 2,
    describes: 'vapour pressure of saturated air over liquid water, supercooled below 0 °C',
    source: 'the saturation formula over water',
    trend: { temperature: 1, humidity: 0 },
    of: (t, _u, _p, model) => model.formula.water(t),
  },
  {
    name: 'saturation_vapour_pressure_over_ice',
    column: 'saturation_vapour_pressure_over_ice_hPa',
    unit: 'hPa',
    standardName: null,
    decimals: 3,
    describes: 'vapour pressure of saturated air over ice; only at 0 °C and below',
    source: 'the saturation formula over ice',
    trend: { temperature: 1, humidity: 0 },
    of: (t, _u, _p, model) => model.formula.ice(t),
  },
  {
    name: 'saturation_deficit',
    column: 'saturation_deficit_hPa',
    unit: 'hPa',
    standardName: 'water_vapor_saturation_deficit_in_air',
    decimals: 2,
    describes: 'vapour pressure that is missing to saturation over liquid water',
    source: DEFINITION,
    trend: { temperature: 1, humidity: -1 },
    of: (t, u, _p, model) => saturationDeficit(t, u, model.formula),
  },
  {
    name: 'relative_humidity_over_ice',
    column: 'relative_humidity_over_ice_pct',
    unit: '%',
    standardName: null,
    decimals: 1,
    describes: 'relative humidity referred to ice; only at 0 °C and below',
    source: DEFINITION,
    trend: { temperature: -1, humidity: 1 },
    of: (t, u, _p, model) => relativeHumidityOverIce(t, u, model.formula),
  },
  {
    name: 'absolute_humidity',
    column: 'absolute_humidity_g_m3',
    unit: 'g m-3',
    standardName: 'mass_concentration_of_water_vapor_in_air',
    decimals: 2,
    describes: 'mass of vapour per volume of air',
    source: 'ideal gas law',
    trend: RISES,
    of: absoluteHumidity,
  },
  {
    name: 'mixing_ratio',
    column: 'mixing_ratio_g_kg',
    unit: 'g kg-1',
    standardName: 'humidity_mixing_ratio',
    decimals: 2,
    describes: 'mass of vapour per mass of dry air',
    source: ASHRAE,
    trend: RISES,
    of: mixingRatio,
  },
  {
    name: 'specific_humidity',
    column: 'specific_humidity_g_kg',
    unit: 'g kg-1',
    standardName: 'specific_humidity',
    decimals: 2,
    describes: 'mass of vapour per mass of moist air',
    source: ASHRAE,
    trend: RISES,
    of: specificHumidity,
  },
  {
    name: 'specific_enthalpy',
    column: 'specific_enthalpy_kJ_kg',
    unit: 'kJ kg-1',
    standardName: 'specific_enthalpy_of_air',
    decimals: 2,
    describes: 'heat content per mass of dry air, zero for dry air and liquid water at 0 °C',
    source: ASHRAE,
    trend: RISES,
    of: specificEnthalpy,
  },
  {
    name: 'specific_volume',
    column: 'specific_volume_m3_kg',
    unit: 'm3 kg-1',
    standardName: null,
    decimals: 4,
    describes: 'volume of the moist air per mass of dry air',
    source: ASHRAE,
    trend: RISES,
    of: specificVolume,
  },
  {
    name: 'air_density',
    column: 'air_density_kg_m3',
    unit: 'kg m-3',
    standardName: 'air_density',
    decimals: 4,
    describes: 'mass of moist air per volume',
    source: ASHRAE,
    trend: FALLS,
    of: airDensity,
  },
  {
    name: 'heat_index',
    column: 'heat_index_degC',
    unit: 'degC',
    standardName: 'heat_index_of_air_temperature',
    decimals: 1,
    describes: 'how warm the air feels in the shade; from 10 °C',
    source: 'NWS Weather Prediction Center, heat index equation (SR 90-23)',
    trend: RISES,
    of: (t, u) => heatIndex(t, u),
  },
  {
    name: 'humidex',
    column: 'humidex',
    unit: '1',
    standardName: null,
    decimals: 1,
    describes: 'how warm the air feels, as a number; from 20 °C and where it adds 1 or more',
    source: 'Masterton & Richardson 1979, reporting rule of Environment Canada',
    trend: RISES,
    of: (t, u, _p, model) => humidex(t, u, model.formula),
  },
];

import { fixed } from '../figures.js';
import type { Accuracy } from '../log/sensor.js';
import type { AirModel } from '../psychrometry/airModel.js';
import { enhancementFactor } from '../psychrometry/enhancementFactor.js';
import { type Quantity, quantities } from '../psychrometry/quantities.js';
import { dewPointUncertainty, firstOrderHolds, interval } from '../psychrometry/uncertainty.js';
import { wetBulbPhase } from '../psychrometry/wetBulb.js';
import { wetBulbPsychrometer } from '../psychrometry/wetBulbPsychrometer.js';
import { wetBulbStull } from '../psychrometry/wetBulbStull.js';
import type { Celsius, Hectopascal, Percent } from '../units.js';

/** A state of air, and how far its measured values may be off. */
export interface AirState {
  readonly temperature: Celsius;
  readonly humidity: Percent;
  readonly pressure: Hectopascal;
  readonly model: AirModel;
  readonly limits: Accuracy;
}

export const AIR_COLUMNS = ['quantity', 'value', 'unit', 'low', 'high'] as const;
export const AIR_HEADINGS = ['quantity', 'value', 'unit', 'from', 'to'] as const;

interface Figure {
  readonly quantity: Quantity;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

function figures({ temperature, humidity, pressure, model, limits }: AirState): Figure[] {
  return quantities.map((quantity) => ({
    quantity,
    value: quantity.of(temperature, humidity, pressure, model),
    ...interval(quantity, temperature, humidity, pressure, model, limits),
  }));
}

/** The document of `air --format json`. Values are not rounded: the state of air is as exact as it was given. */
export function airDocument(state: AirState): object {
  const { temperature, humidity, pressure, model, limits } = state;
  const dewPoint = quantities.find(({ name }) => name === 'dew_point_temperature')!;
  return {
    format: 'dewledger/air',
    version: 1,
    air_temperature_degC: temperature,
    relative_humidity_pct: humidity,
    pressure_hPa: pressure,
    formula: model.formula.name,
    enhancement_factor: model.enhanced ? enhancementFactor(pressure) : null,
    accuracy: { air_temperature_K: limits.temperature, relative_humidity_pct: limits.humidity },
    ...Object.fromEntries(figures(state).map(({ quantity, value }) => [quantity.column, value])),
    intervals: Object.fromEntries(
      figures(state).map(({ quantity, low, high }) => [quantity.column, [low, high]]),
    ),
    dew_point_standard_uncertainty_K: firstOrderHolds(humidity, limits)
      ? dewPointUncertainty(temperature, humidity, limits, model.formula)
      : null,
    wet_bulb_phase: Number.isNaN(dewPoint.of(temperature, humidity, pressure, model))
      ? null
      : wetBulbPhase(temperature, humidity, pressure, model),
    wet_bulb_temperature_psychrometer_degC: wetBulbPsychrometer(temperature, humidity, pressure, model),
    wet_bulb_temperature_closed_form_degC: wetBulbStull(temperature, humidity),
  };
}

export function* airRows(state: AirState): Generator<(string | number)[]> {
  for (const { quantity, value, low, high } of figures(state)) {
    yield [quantity.name, value, quantity.unit, low, high];
  }
}

/** For people: quantities that this air has, with no more digits than a sensor supports. */
export function airCells(state: AirState): string[][] {
  return figures(state)
    .filter(({ value }) => !Number.isNaN(value))
    .map(({ quantity, value, low, high }) => [
      `${quantity.name.replaceAll('_', ' ')}${quantity.name === WET_BULB ? bulbOf(state) : ''}`,
      fixed(value, quantity.decimals),
      quantity.unit === 'degC' ? '°C' : quantity.unit === '1' ? '' : quantity.unit,
      fixed(low, quantity.decimals),
      fixed(high, quantity.decimals),
    ]);
}

const WET_BULB = 'wet_bulb_temperature';

/** What is on the bulb, where it is not plain water. */
function bulbOf({ temperature, humidity, pressure, model }: AirState): string {
  const phase = wetBulbPhase(temperature, humidity, pressure, model);
  if (phase === 'ice') return ' (ice)';
  return phase === 'over-saturated' ? ' (air over-saturated for ice)' : '';
}

export function airHeadline({ temperature, humidity, pressure, model, limits }: AirState): string {
  const air = model.enhanced ? 'moist air' : 'ideal gas';
  return (
    `${temperature} °C ± ${limits.temperature} K, ${humidity} % ± ${limits.humidity} %, ` +
    `${fixed(pressure, 1)} hPa, ${model.formula.name}, ${air}`
  );
}

import { createRequire } from 'node:module';

/** What is used of psychrolib: SI units, pressures in Pa, relative humidity 0 to 1. */
interface Psychrolib {
  readonly SI: unknown;
  SetUnitSystem(system: unknown): void;
  GetSatVapPres(temperature: number): number;
  GetTDewPointFromRelHum(temperature: number, humidity: number): number;
  GetTWetBulbFromRelHum(temperature: number, humidity: number, pressure: number): number;
  GetHumRatioFromRelHum(temperature: number, humidity: number, pressure: number): number;
  GetSpecificHumFromHumRatio(ratio: number): number;
  GetMoistAirEnthalpy(temperature: number, ratio: number): number;
  GetMoistAirVolume(temperature: number, ratio: number, pressure: number): number;
  GetMoistAirDensity(temperature: number, ratio: number, pressure: number): number;
  GetStandardAtmPressure(altitude: number): number;
}

/**
 * An independent library. It takes relative humidity over ice below 0.01 °C, so nothing that starts from the
 * humidity may be compared there.
 */
export const psychrolib: Psychrolib = createRequire(import.meta.url)('psychrolib');
psychrolib.SetUnitSystem(psychrolib.SI);

/** The largest of the distances that a comparison yields; NaN if any is, so that it cannot pass a limit. */
export function worst(distances: Iterable<number>): number {
  let largest = 0;
  for (const distance of distances) largest = Math.max(largest, distance);
  return largest;
}

/** Numbers from `first` to `last` in equal steps, both included. */
export function grid(first: number, last: number, step: number): number[] {
  return Array.from({ length: Math.round((last - first) / step) + 1 }, (_, index) => first + index * step);
}

/** Air or surface temperature [°C]. */
export type Celsius = number;
/** A difference of two temperatures [K]. */
export type Kelvin = number;
/** Relative humidity over liquid water, at every temperature [%]. */
export type Percent = number;
/** Pressure or vapour pressure [hPa]. */
export type Hectopascal = number;
/** Height above sea level [m]. */
export type Metre = number;
/** A length of time [ms]. */
export type Milliseconds = number;
/** A moment, UTC [ms since 1970-01-01T00:00:00Z, leap seconds not counted]. */
export type Instant = number;
/** What a clock on the wall showed, its zone not yet applied [ms since 1970-01-01T00:00:00 on that clock]. */
export type WallTime = number & { readonly kind: 'wall time' };

export const SECOND: Milliseconds = 1_000;
export const MINUTE: Milliseconds = 60_000;
export const HOUR: Milliseconds = 3_600_000;
export const DAY: Milliseconds = 86_400_000;

import { InputError } from '../errors.js';
import type { AirModel } from '../psychrometry/airModel.js';
import { buck1996 } from '../psychrometry/buck1996.js';
import { HIGHEST_PRESSURE, LOWEST_PRESSURE } from '../psychrometry/enhancementFactor.js';
import { hylandWexler } from '../psychrometry/hylandWexler.js';
import { magnusWmo } from '../psychrometry/magnusWmo.js';
import { stationPressure } from '../psychrometry/stationPressure.js';
import type { Site } from '../site/site.js';
import type { Hectopascal } from '../units.js';

/** The air that derived quantities are computed for. */
export interface AirOptions {
  readonly altitude?: number;
  readonly pressure?: number;
  readonly formula: keyof typeof FORMULAS;
  readonly ideal?: boolean;
}

const FORMULAS = { buck1996, magnusWmo, hylandWexler };

export function airModelOf({ formula, ideal }: AirOptions): AirModel {
  return { formula: FORMULAS[formula], enhanced: ideal !== true };
}

/** Station pressure: by option, else by the site file, else that of the standard atmosphere at sea level. */
export function pressureOf({ altitude, pressure }: AirOptions, site: Site): Hectopascal {
  if (altitude !== undefined && pressure !== undefined) {
    throw new InputError('--altitude cannot be used together with --pressure', {}, 'give only one of them');
  }
  if (pressure !== undefined) {
    if (pressure >= LOWEST_PRESSURE && pressure <= HIGHEST_PRESSURE) return pressure;
    throw new InputError(
      'no weather has this pressure',
      { text: `${pressure} hPa` },
      `--pressure takes hPa, from ${LOWEST_PRESSURE} to ${HIGHEST_PRESSURE}`,
    );
  }
  if (altitude !== undefined) {
    const found = stationPressure(altitude);
    if (!Number.isNaN(found)) return found;
    throw new InputError(
      'no station lies at this height',
      { text: `${altitude} m` },
      '--altitude takes metres',
    );
  }
  return site.pressure ?? stationPressure(site.altitude ?? 0);
}

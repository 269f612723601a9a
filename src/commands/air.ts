import { InputError } from '../errors.js';
import { csvLines } from '../present/csv.js';
import type { Io } from '../present/io.js';
import { jsonText } from '../present/json.js';
import { effectiveHumidity, HIGHEST_ACCEPTED } from '../psychrometry/relativeHumidity.js';
import {
  AIR_COLUMNS,
  AIR_HEADINGS,
  type AirState,
  airCells,
  airDocument,
  airHeadline,
  airRows,
} from '../report/airReport.js';
import { ASSUMED_ACCURACY, defaultSite } from '../site/site.js';
import { type AirOptions, airModelOf, pressureOf } from './airOptions.js';
import { type Format, numberOption, type WritingOptions } from './options.js';
import { deliver, Exit } from './session.js';
import { onSheet } from './sheet.js';

export interface AirCommandOptions extends WritingOptions, AirOptions {
  readonly format: Format;
  readonly temperatureAccuracy?: number;
  readonly humidityAccuracy?: number;
}

/** Every quantity of one state of air, with what the accuracy of a sensor leaves open. */
export async function runAir(
  words: readonly [temperature: string, humidity: string],
  options: AirCommandOptions,
  io: Io,
): Promise<Exit> {
  const state: AirState = {
    temperature: argument('temperature', words[0], '°C'),
    humidity: argument('relative humidity', words[1], '%'),
    pressure: pressureOf(options, defaultSite),
    model: airModelOf(options),
    limits: {
      temperature: options.temperatureAccuracy ?? ASSUMED_ACCURACY.temperature,
      humidity: options.humidityAccuracy ?? ASSUMED_ACCURACY.humidity,
    },
  };
  refuseNoAir(state);
  await deliver(await textOf(options, state, io), options, io);
  return Exit.done;
}

/** A reading outside what there can be is a finding; one state of air that is asked for is a slip. */
function refuseNoAir({ temperature, humidity, model: { formula } }: AirState): void {
  if (Number.isNaN(effectiveHumidity(humidity))) {
    throw new InputError(
      'no air has this humidity',
      { text: `${humidity} %` },
      `from 0 to 100 %; up to ${HIGHEST_ACCEPTED} % are taken for a sensor's error above 100`,
    );
  }
  const coldest = Math.min(formula.waterRange[0], formula.iceRange[0]);
  const hottest = formula.waterRange[1];
  if (temperature >= coldest && temperature <= hottest) return;
  throw new InputError(
    `${formula.name} has no answer at this temperature`,
    { text: `${temperature} °C` },
    `it goes from ${coldest} to ${hottest} °C`,
  );
}

function argument(name: string, text: string, unit: string): number {
  try {
    return numberOption(text);
  } catch {
    throw new InputError(
      `the ${name} is no number`,
      { text },
      `a number in ${unit} is needed: dewledger air 20 60`,
    );
  }
}

async function textOf(options: AirCommandOptions, state: AirState, io: Io): Promise<Iterable<string>> {
  if (options.format === 'json') return [jsonText(airDocument(state))];
  if (options.format === 'csv') return csvLines(AIR_COLUMNS, airRows(state));
  const columns = AIR_HEADINGS.map(
    (heading, i) => ({ heading, align: i === 0 || i === 2 ? 'left' : 'right' }) as const,
  );
  return onSheet('Air', options, io, (sheet) => [
    ...sheet.title(airHeadline(state)),
    ...sheet.table(columns, airCells(state)),
  ]);
}

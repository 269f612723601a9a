import * as v from 'valibot';
import type { Range } from './site.js';

// Every message continues a key path: "logger[2].cadence must be …".

const text = v.pipe(v.string('must be text in quotes'), v.regex(/\S/, 'must not be blank'));

function numberWithin(least: number, greatest: number, unit: string) {
  const message = `must be a number from ${least} to ${greatest} ${unit}`;
  return v.pipe(v.number(message), v.minValue(least, message), v.maxValue(greatest, message));
}

function accuracy(unit: string) {
  const message = `must be a number of ${unit}, 0 or more`;
  return v.pipe(v.number(message), v.finite(message), v.minValue(0, message));
}

const range = v.custom<Range>(
  (value) =>
    Array.isArray(value) && value.length === 2 && value.every(Number.isFinite) && value[0] < value[1],
  'must be two numbers, the lesser first, as in [-40, 80]',
);

function choice<const Options extends readonly string[]>(options: Options, names = options.map(quoted)) {
  return v.picklist(options, `must be ${names.slice(0, -1).join(', ')} or ${names.at(-1)}`);
}

function quoted(word: string): string {
  return `"${word}"`;
}

/** A table that holds these keys and no others. Arrays and dates are objects too, hence the check before. */
function table<Entries extends v.ObjectEntries>(entries: Entries) {
  const isTable = (value: unknown) =>
    typeof value === 'object' && value !== null && !Array.isArray(value) && !(value instanceof Date);
  return v.pipe(v.custom<object>(isTable, 'must be a table'), v.strictObject(entries));
}

function tables<Entries extends v.ObjectEntries>(entries: Entries, header: string) {
  return v.array(table(entries), `must be a list of tables, each under a line ${header}`);
}

const limits = {
  air_temperature_degC: v.optional(range),
  relative_humidity_pct: v.optional(range),
};

const sensor = {
  air_temperature_accuracy_K: v.optional(accuracy('kelvins')),
  relative_humidity_accuracy_pct: v.optional(accuracy('percent')),
  air_temperature_range_degC: v.optional(range),
  relative_humidity_range_pct: v.optional(range),
};

const reading = {
  time_column: v.optional(text),
  temperature_column: v.optional(text),
  humidity_column: v.optional(text),
  logger_column: v.optional(text),
  temperature_unit: v.optional(choice(['degC', 'degF'])),
  date_order: v.optional(choice(['day-first', 'month-first'])),
  delimiter: v.optional(choice([',', ';', '\t', '|', ' '], ['","', '";"', '"\\t"', '"|"', '" "'])),
  decimal: v.optional(choice(['.', ','])),
};

const surface = {
  name: text,
  model: choice(['air', 'mass']),
  time_constant: v.optional(text),
};

const logger = {
  id: text,
  name: v.optional(text),
  files: v.array(text, 'must be a list of file names or globs, as in ["boat-hall*.csv"]'),
  cadence: v.optional(text),
  zone: v.optional(text),
  bridge: v.optional(text),
  limits: v.optional(table(limits)),
  sensor: v.optional(table(sensor)),
  reading: v.optional(table(reading)),
  surface: v.optional(tables(surface, '[[logger.surface]]')),
};

const site = {
  place: v.optional(text),
  zone: v.optional(text),
  // from below the lowest dry land to above the highest, and the pressures met there, weather included
  altitude_m: v.optional(numberWithin(-500, 9000, 'm')),
  pressure_hPa: v.optional(numberWithin(300, 1100, 'hPa')),
  latitude_deg: v.optional(numberWithin(-90, 90, 'degrees')),
  longitude_deg: v.optional(numberWithin(-180, 180, 'degrees')),
  limits: v.optional(table(limits)),
  logger: v.optional(tables(logger, '[[logger]]')),
};

/** What a site file may say, value by value. What values must not say together is not in here. */
export const siteSchema = table(site);
export type StatedSite = v.InferOutput<typeof siteSchema>;
export type StatedLogger = NonNullable<StatedSite['logger']>[number];
export type StatedSurface = NonNullable<StatedLogger['surface']>[number];
export type StatedLimits = NonNullable<StatedSite['limits']>;

/** The keys of each table, by the names of the tables around it; the top has the empty name. */
export const KNOWN_KEYS: ReadonlyMap<string, readonly string[]> = new Map([
  ['', Object.keys(site)],
  ['limits', Object.keys(limits)],
  ['logger', Object.keys(logger)],
  ['logger.limits', Object.keys(limits)],
  ['logger.sensor', Object.keys(sensor)],
  ['logger.reading', Object.keys(reading)],
  ['logger.surface', Object.keys(surface)],
]);

/** What to write for a key that has to be there. */
export const REQUIRED_KEYS: ReadonlyMap<string, string> = new Map([
  ['logger.id', 'a line such as id = "boat-hall"'],
  ['logger.files', 'a line such as files = ["boat-hall*.csv"], or files = [] if it has no files'],
  ['logger.surface.name', 'a line such as name = "rafters"'],
  ['logger.surface.model', 'a line model = "air" or model = "mass"'],
]);

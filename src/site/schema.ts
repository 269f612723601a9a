import * as v from 'valibot';
import { EXPOSURES, MATERIALS } from '../damp/material.js';
import { MOULD_CLASSES } from '../damp/surface.js';
import type { Range } from '../log/sensor.js';

// Every message continues a key path: "logger[2].cadence must be …".

const text = v.pipe(v.string('must be text in quotes'), v.regex(/\S/, 'must not be blank'));

function numberWithin(least: number, greatest: number, unit = '') {
  const message = `must be a number from ${least} to ${greatest} ${unit}`.trimEnd();
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

// a limit of nothing would call everything into question
const change = {
  air_temperature_K: v.optional(numberWithin(0.1, 100, 'K')),
  relative_humidity_pct: v.optional(numberWithin(0.1, 100, '%')),
};
const flatLine = { questionable_after: v.optional(text), bad_after: v.optional(text) };
const saturation = { questionable_after: v.optional(text) };

const limits = {
  air_temperature_degC: v.optional(range),
  relative_humidity_pct: v.optional(range),
  spike: v.optional(table(change)),
  rate_of_change: v.optional(table(change)),
  flat_line: v.optional(table(flatLine)),
  saturation: v.optional(table(saturation)),
};
const LIMIT_TABLES = { spike: change, rate_of_change: change, flat_line: flatLine, saturation };

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
  temperature_unit: v.optional(choice(['degC', 'degF', 'K'])),
  date_order: v.optional(choice(['day-first', 'month-first'])),
  delimiter: v.optional(choice([',', ';', '\t', '|', ' '], ['","', '";"', '"\\t"', '"|"', '" "'])),
  decimal: v.optional(choice(['.', ','])),
};

// from a foil to a harbour wall
const thickness = numberWithin(0.01, 5000, 'mm');
const faces = v.picklist([1, 2], 'must be 1 or 2: how many of the two sides the air reaches');

/** Keys of a surface that mean something to one model only. */
export const MODEL_KEYS = {
  air: [],
  mass: ['time_constant', 'material', 'thickness_mm', 'faces', 'exposure'],
  measured: ['logger', 'column', 'accuracy_K'],
  between: ['outside', 'temperature_factor'],
  'night-sky': ['drop_K'],
} as const;
export type ModelName = keyof typeof MODEL_KEYS;
const MODELS = Object.keys(MODEL_KEYS) as ModelName[];

const surface = {
  name: text,
  model: choice(MODELS),
  time_constant: v.optional(text),
  material: v.optional(choice(MATERIALS)),
  thickness_mm: v.optional(thickness),
  faces: v.optional(faces),
  exposure: v.optional(choice(EXPOSURES)),
  logger: v.optional(text),
  column: v.optional(text),
  accuracy_K: v.optional(accuracy('kelvins')),
  outside: v.optional(text),
  temperature_factor: v.optional(numberWithin(0, 1)),
  // more than this is met in deserts, or behind insulation, not on what a logger hangs beside
  drop_K: v.optional(numberWithin(0, 10, 'K')),
  wood_thickness_mm: v.optional(thickness),
  wood_faces: v.optional(faces),
  board_time_constant: v.optional(text),
  mould_class: v.optional(choice(MOULD_CLASSES)),
  mould_decline: v.optional(numberWithin(0.1, 1)),
};

const logger = {
  id: text,
  name: v.optional(text),
  files: v.array(text, 'must be a list of file names or globs, as in ["boat-hall*.csv"]'),
  cadence: v.optional(text),
  heartbeats: v.optional(
    v.array(text, 'must be a list of file names or globs, as in ["boat-hall-heartbeat*.csv"]'),
  ),
  heartbeat_cadence: v.optional(text),
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
  ...Object.entries(LIMIT_TABLES).flatMap(([name, entries]) =>
    ['limits', 'logger.limits'].map((above) => [`${above}.${name}`, Object.keys(entries)] as const),
  ),
  ['logger.sensor', Object.keys(sensor)],
  ['logger.reading', Object.keys(reading)],
  ['logger.surface', Object.keys(surface)],
]);

/** What to write for a key that has to be there. */
export const REQUIRED_KEYS: ReadonlyMap<string, string> = new Map([
  ['logger.id', 'a line such as id = "boat-hall"'],
  ['logger.files', 'a line such as files = ["boat-hall*.csv"], or files = [] if it has no files'],
  ['logger.surface.name', 'a line such as name = "rafters"'],
  ['logger.surface.model', `a line such as model = "air"; there are ${MODELS.join(', ')}`],
]);

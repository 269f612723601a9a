import { InputError } from '../errors.js';
import { inBlocks } from '../log/blocks.js';
import type { Milliseconds } from '../units.js';
import {
  type CellLook,
  type Dialect,
  dialectOf,
  isData,
  isFurniture,
  lookOf,
  rowsOf,
  type SampleRow,
  textOf,
} from './dialect.js';
import type { ByteText, Encoding } from './encoding.js';
import { NoValues } from './noValues.js';
import { type DecimalMark, parseNumber, parseWithUnit } from './number.js';
import type { Punctuation } from './records.js';
import { type DateOrder, dateOrderOf, type StampStyle } from './stamp.js';
import { type HeadingMeaning, meaningOf } from './words.js';

export type TemperatureUnit = 'degC' | 'degF' | 'K';
export type HumidityUnit = 'pct' | 'fraction';

/** What a person has said about the writing of an input; null is for the reader to find out. */
export interface LayoutOptions {
  readonly timeColumn: string | null;
  readonly temperatureColumn: string | null;
  readonly humidityColumn: string | null;
  readonly loggerColumn: string | null;
  /** False where the first line is a reading already. */
  readonly header: boolean;
  readonly delimiter: string | null;
  readonly decimal: DecimalMark | null;
  readonly dateOrder: DateOrder | null;
  readonly temperatureUnit: TemperatureUnit | null;
  readonly humidityUnit: HumidityUnit | null;
}

/** Where one logger's two values stand in a line; null where it has none. */
export interface Pair {
  /** Name of the logger where a file has a pair of columns for each, else null. */
  readonly logger: string | null;
  readonly temperature: number | null;
  readonly humidity: number | null;
}

/** Where everything stands in the lines of one input. Columns count from 0. */
export interface Layout {
  readonly punctuation: Punctuation;
  readonly decimal: DecimalMark;
  /** Line of the heading, null where there is none. */
  readonly headerLine: number | null;
  readonly headerText: ByteText | null;
  /** Line below the heading that names nothing but units, null where there is none. */
  readonly unitsLine: number | null;
  /** Every column's heading, '' where it has none. */
  readonly headings: readonly string[];
  /** Cells in a line. */
  readonly width: number;
  /** One column, or one of the date and one of the time of day. */
  readonly time: readonly number[];
  readonly style: StampStyle;
  /** Offset from UTC that the heading gives for stamps without one of their own; null where it gives none. */
  readonly offset: Milliseconds | null;
  readonly logger: number | null;
  readonly pairs: readonly Pair[];
  /** Columns of flags, where the input is a cleaned file of our own. */
  readonly flags: { readonly temperature: number; readonly humidity: number } | null;
  /** Unit by option, heading or cells; null where nothing tells. */
  readonly temperatureUnit: TemperatureUnit | null;
  readonly humidityUnit: HumidityUnit | null;
}

const TEMPERATURE_FLAG = 'air_temperature_flag';
const HUMIDITY_FLAG = 'relative_humidity_flag';
/** A column counts as one of stamps or numbers where so much of it is that, words for "missing" apart. */
const MOSTLY = 0.8;
/** Rows of the sample that columns are judged by, and that are looked at to find them. */
const JUDGED = 400;
const MOST_DATA = 2 * JUDGED;

interface Column {
  readonly index: number;
  readonly heading: string;
  readonly meaning: HeadingMeaning;
  readonly cells: readonly ByteText[];
  readonly looks: readonly CellLook[];
  readonly shares: Shares;
}

/**
 * Finds out how an input is laid out, from its first lines.
 *
 * @param sample the beginning of the input, whole lines
 * @param complete whether the sample is the whole input
 * @returns null where more of the input is needed to tell day from month
 * @throws InputError where something cannot be found or decided
 */
export function layoutOf(
  sample: ByteText,
  complete: boolean,
  encoding: Encoding,
  options: LayoutOptions,
  file: string,
): Layout | null {
  const dialect = dialectOf(sample, options);
  if (dialect === null) throw noReadings(sample, encoding, file);
  const { rows } = dialect;
  const data = firstData(rows);
  const width = commonest(data.map((row) => row.cells.length));
  const judged = upToHeading(
    rows,
    data.filter((row) => row.cells.length === width).slice(0, JUDGED),
    encoding,
  );
  const { header, units } = options.header
    ? headerAmong(rows.slice(0, rows.indexOf(judged[0]!)), encoding)
    : { header: null, units: null };
  const headings =
    header === null
      ? new Array<string>(width).fill('')
      : aligned(
          header.cells.map((cell) => textOf(cell, encoding)),
          width,
          judged,
          { file, line: header.line },
          dialect,
        );
  const unitNames = units?.cells.map((cell) => textOf(cell, encoding)) ?? [];
  if (unitNames.length === width - 1 && headings[0] === '') unitNames.unshift('');
  const columns = headings.map((heading, index): Column => {
    const cells = judged.map((row) => row.cells[index]!);
    const looks = judged.map((row) => row.looks[index]!);
    const meaning = meaningOf(unitNames[index] ? `${heading} [${unitNames[index]}]` : heading);
    return { index, heading, meaning, cells, looks, shares: sharesOf(looks) };
  });
  const search = { columns, options, file, line: header?.line ?? null };

  const time = timeColumns(search);
  const logger = loggerColumn(search, time);
  const flags = flagColumns(headings);
  const pairs = pairColumns(search, new Set([...time, ...(logger === null ? [] : [logger])]));
  const style = styleOf(
    time,
    judged,
    rows,
    () => rowsOf(sample, dialect.punctuation, Infinity),
    complete,
    options,
    file,
  );
  if (style === null) return null;
  const temperatures = pairs.flatMap((pair) =>
    pair.temperature === null ? [] : [columns[pair.temperature]!],
  );
  const humidities = pairs.flatMap((pair) => (pair.humidity === null ? [] : [columns[pair.humidity]!]));
  return {
    punctuation: dialect.punctuation,
    decimal: dialect.decimal,
    headerLine: header?.line ?? null,
    headerText: header?.raw ?? null,
    unitsLine: units?.line ?? null,
    headings,
    width,
    time,
    style,
    offset: time.map((index) => columns[index]!.meaning.offset).find((offset) => offset !== null) ?? null,
    logger,
    pairs,
    flags: pairs.length === 1 ? flags : null,
    temperatureUnit: options.temperatureUnit ?? temperatureUnitOf(temperatures, dialect.decimal, file),
    humidityUnit: options.humidityUnit ?? humidityUnitOf(humidities),
  };
}

/** The first rows that look like readings: enough to judge by, whatever the length of the sample. */
function firstData(rows: readonly SampleRow[]): SampleRow[] {
  const data: SampleRow[] = [];
  for (const row of rows) {
    if (isData(row.looks)) data.push(row);
    if (data.length >= MOST_DATA) break;
  }
  return data;
}

function noReadings(sample: ByteText, encoding: Encoding, file: string): InputError {
  const lines = sample.split(/\r\n|\r|\n/);
  const filled = lines.flatMap((text, i) => (text.trim() === '' ? [] : [i]));
  // the second line is a reading, most likely, and the first its heading
  const line = filled[1] ?? filled[0] ?? 0;
  const text = textOf(lines[line] ?? '', encoding);
  const advice = /^\s*[[{]/.test(sample)
    ? 'this looks like JSON: export the log as CSV'
    : /^\s*(insert|create|drop|set)\s/im.test(sample)
      ? 'this looks like SQL: export the table as CSV'
      : 'a log has a time, a temperature and a humidity on each line; if the stamps are written in another way, ' +
        'export them as 2025-10-01T00:00:00+01:00 or 2025-10-01 00:00:00';
  return new NoValues(
    'no line like this holds a time stamp that is known here, with values beside it',
    { file, line: line + 1, text },
    advice,
  );
}

function commonest(values: readonly number[]): number {
  const counts = new Map<number, number>();
  let best = values[0]!;
  for (const value of values) {
    const count = (counts.get(value) ?? 0) + 1;
    counts.set(value, count);
    if (count > (counts.get(best) ?? 0)) best = value;
  }
  return best;
}

/** Of the first readings those above the next heading: below it, the columns may have another order. */
function upToHeading(rows: readonly SampleRow[], readings: SampleRow[], encoding: Encoding): SampleRow[] {
  const from = rows.indexOf(readings[0]!);
  const until = rows.indexOf(readings.at(-1)!);
  const next = rows
    .slice(from, until)
    .find(
      ({ cells, looks }) =>
        cells.length > 1 &&
        cells.every((cell, i) => cell.trim() === '' || looks[i] === 'text') &&
        cells.some((cell) => ['time', 'date'].includes(meaningOf(textOf(cell, encoding)).role ?? '')),
    );
  return next === undefined ? readings : readings.filter(({ line }) => line < next.line);
}

/**
 * The heading among the lines before the first reading: of those that hold nothing but words, the one that
 * names the most quantities, the last of several. A line of units may stand below it.
 */
function headerAmong(
  rows: readonly SampleRow[],
  encoding: Encoding,
): { header: SampleRow | null; units: SampleRow | null } {
  const candidates = rows.filter(
    (row) =>
      !isFurniture(row.raw) &&
      row.cells.filter((cell) => cell.trim() !== '').length > 1 &&
      row.looks.every((look) => look === 'text' || look === 'missing'),
  );
  let header: SampleRow | null = null;
  let units: SampleRow | null = null;
  let most = 0;
  for (const row of candidates) {
    const names = row.cells.map((cell) => textOf(cell, encoding));
    const roles = names.filter((name) => meaningOf(name).role !== null).length;
    const isHeading = names.every((name) => name === '' || lookOf(name) === 'text');
    if (isHeading && roles >= most) [header, units, most] = [row, null, roles];
    else if (units === null && names.some((name) => meaningOf(`temperature [${name}]`).unit !== null)) {
      units = row;
    }
  }
  return { header, units };
}

/**
 * Headings brought over their columns. A line may have one cell more than the header has names: a running
 * number without a name in front, a trailing delimiter, or date and time cut apart by a blank.
 */
function aligned(
  names: readonly string[],
  width: number,
  rows: readonly SampleRow[],
  place: { file: string; line: number },
  dialect: Dialect,
): string[] {
  if (names.length === width) return [...names];
  if (names.length === width + 1 && names.at(-1) === '') return names.slice(0, -1);
  if (names.length !== width - 1) throw uneven(names.length, width, place, dialect);
  const ways = [
    ['', ...names],
    [...names, ''],
  ];
  for (let i = 0; i < names.length; i++) {
    ways.push([...names.slice(0, i + 1), names[i]!, ...names.slice(i + 1)]);
  }
  const columns = names.concat('').map((_, index) => sharesOf(rows.map(({ looks }) => looks[index]!)));
  let best = ways[0]!;
  let bestScore = -Infinity;
  ways.forEach((way, i) => {
    const score = agreement(way, columns, i < 2 ? null : i - 2);
    if (score > bestScore) [best, bestScore] = [way, score];
  });
  return best;
}

function uneven(
  names: number,
  width: number,
  place: { file: string; line: number },
  dialect: Dialect,
): InputError {
  const commas = dialect.punctuation.delimiter === ',' && width > names;
  return new InputError(
    `the header names ${names} columns, but the lines below have ${width} cells`,
    place,
    commas
      ? 'if the values have decimal commas, export with semicolons between the cells or with quotes round them'
      : 'give the columns by number (--time-column 1 --temperature-column 2 --humidity-column 3) with --no-header, ' +
          'or name the delimiter with --delimiter',
  );
}

/** How many headings stand over cells of the kind that they speak of. */
function agreement(headings: readonly string[], columns: readonly Shares[], split: number | null): number {
  let score = 0;
  headings.forEach((heading, index) => {
    const { role } = meaningOf(heading);
    const { stamps, numbers } = columns[index]!;
    if (split !== null && index === split) {
      // a heading over two columns must really stand over a date and a clock
      score += stamps > MOSTLY && columns[index + 1]!.clocks > MOSTLY ? 1 : -1;
    } else if (split !== null && index === split + 1) {
      return;
    } else if (role === 'time' || role === 'date') score += stamps > MOSTLY ? 1 : -1;
    else if (role === 'temperature' || role === 'humidity') {
      score += numbers > MOSTLY && stamps < MOSTLY ? 1 : -1;
    } else if (role === 'logger') score += numbers > MOSTLY ? -0.5 : 0.5;
  });
  return score;
}

/** How much of a column is what, words for "missing" apart. */
interface Shares {
  readonly stamps: number;
  readonly clocks: number;
  /** Counts of seconds are numbers, too. */
  readonly numbers: number;
}

function sharesOf(looks: readonly CellLook[]): Shares {
  const counts = { stamps: 0, clocks: 0, numbers: 0 };
  let all = 0;
  for (const look of looks) {
    if (look === 'missing') continue;
    all++;
    if (look === 'clock') counts.clocks++;
    else if (look !== 'text') {
      if (look !== 'number') counts.stamps++;
      if (look === 'number' || look === 'epoch') counts.numbers++;
    }
  }
  if (all === 0) return counts;
  return { stamps: counts.stamps / all, clocks: counts.clocks / all, numbers: counts.numbers / all };
}

interface Search {
  readonly columns: readonly Column[];
  readonly options: LayoutOptions;
  readonly file: string;
  readonly line: number | null;
}

/** The column that a person named, by its heading or by its number from 1. */
function named({ columns, file, line }: Search, wanted: string, option: string): Column {
  const name = wanted.trim();
  const exact = columns.filter((column) => column.heading === name);
  const found =
    exact.length > 0 ? exact : columns.filter((c) => c.heading.toLowerCase() === name.toLowerCase());
  if (found.length === 1) return found[0]!;
  const number = /^\d+$/.test(name) ? Number(name) : 0;
  const byNumber = columns[number - 1];
  if (found.length === 0 && byNumber !== undefined) return byNumber;
  const place = line === null ? { file } : { file, line };
  throw new InputError(
    found.length > 1 ? `several columns are headed "${name}"` : `there is no column "${name}"`,
    place,
    `${option} takes a heading or a number from 1: ${list(columns)}`,
  );
}

function list(columns: readonly Column[]): string {
  return columns
    .map((column, i) => (column.heading === '' ? `${i + 1}` : `${i + 1} "${column.heading}"`))
    .join(', ');
}

function undecided(search: Search, what: string, advice: string, Kind = InputError): InputError {
  const { file, line, columns } = search;
  return new Kind(
    what,
    line === null ? { file } : { file, line },
    `${advice}; the columns are ${list(columns)}`,
  );
}

function timeColumns(search: Search): number[] {
  const { columns, options } = search;
  if (options.timeColumn !== null) {
    // two columns are written with a plus between: date+time
    const whole = columns.some((column) => column.heading === options.timeColumn);
    const parts = whole ? [options.timeColumn] : options.timeColumn.split('+');
    return parts.map((part) => named(search, part, '--time-column').index);
  }
  const stamped = columns.filter(({ shares }) => shares.stamps >= MOSTLY);
  const dates = stamped.filter(
    ({ cells, looks }) =>
      cells.filter((cell, i) => looks[i] !== 'epoch' && !cell.includes(':')).length > MOSTLY * cells.length,
  );
  const clocks = columns.filter(({ shares }) => shares.clocks >= MOSTLY);
  const full = stamped.filter((column) => !dates.includes(column));
  const best = preferred(full);
  if (best.length === 1) return [best[0]!.index];
  if (best.length > 1) {
    throw undecided(search, `${best.length} columns hold a time`, 'say which with --time-column');
  }
  if (dates.length >= 1 && clocks.length === 1) {
    const clock = clocks[0]!;
    const date = preferred(dates)[0]!;
    return [date.index, clock.index];
  }
  const days = preferred(dates);
  if (days.length === 1) return [days[0]!.index];
  throw undecided(search, 'no column was found that holds the time', 'say which with --time-column');
}

/** Of several columns of stamps the likeliest to be the time of the reading; several where nothing tells. */
function preferred(columns: readonly Column[]): Column[] {
  const rank = ({ heading, meaning, cells }: Column): number => {
    const name = heading.toLowerCase();
    const placed = cells.some((cell) => /(?:Z|[+-]\d\d:?\d\d)\s*$/.test(cell)) || meaning.offset !== null;
    const late = /creat|receiv|insert|upload|updat|import|logged/.test(name);
    return (meaning.role === 'time' || meaning.role === 'date' ? 4 : 0) + (placed ? 2 : 0) - (late ? 3 : 0);
  };
  const best = Math.max(...columns.map(rank));
  return columns.filter((column) => rank(column) === best);
}

function loggerColumn(search: Search, time: readonly number[]): number | null {
  const { columns, options } = search;
  if (options.loggerColumn === 'none') return null;
  if (options.loggerColumn !== null) return named(search, options.loggerColumn, '--logger-column').index;
  const candidates = columns.filter(
    ({ index, meaning, cells, looks }) =>
      meaning.role === 'logger' &&
      !time.includes(index) &&
      filledShare(cells) >= HALF &&
      distinct(cells) <= mostNames(cells, looks),
  );
  return (
    (candidates.find(({ heading }) => /logger|device|sensor/i.test(heading)) ?? candidates[0])?.index ?? null
  );
}

/** A column of names that is empty in more lines than this names something else. */
const HALF = 0.5;

/** A column that is empty in most lines names no logger, whatever its heading says. */
function filledShare(cells: readonly ByteText[]): number {
  return cells.filter((cell) => cell.trim() !== '').length / cells.length;
}

/** Names of loggers come again; beyond this many in a short file the column holds something else. */
const FEW_LOGGERS = 20;

/** How many different names a column of loggers may hold: numbers with decimals are no names, mostly. */
function mostNames(cells: readonly ByteText[], looks: readonly CellLook[]): number {
  const measured = cells.some((cell, i) => looks[i] === 'number' && /[.,]/.test(cell));
  return Math.max(measured ? 1 : FEW_LOGGERS, cells.length / 3);
}

function distinct(cells: readonly ByteText[]): number {
  return new Set(cells.map((cell) => cell.trim())).size;
}

function flagColumns(headings: readonly string[]): Layout['flags'] {
  const temperature = headings.indexOf(TEMPERATURE_FLAG);
  const humidity = headings.indexOf(HUMIDITY_FLAG);
  return temperature < 0 || humidity < 0 ? null : { temperature, humidity };
}

function pairColumns(search: Search, taken: ReadonlySet<number>): Pair[] {
  const { columns, options } = search;
  const untaken = columns.filter(({ index }) => !taken.has(index));
  const free = untaken.filter(({ shares }) => shares.numbers >= MOSTLY);
  const temperatures =
    options.temperatureColumn === null
      ? withRole(untaken, 'temperature')
      : chosen(search, options.temperatureColumn, '--temperature-column');
  const humidities =
    options.humidityColumn === null
      ? withRole(untaken, 'humidity')
      : chosen(search, options.humidityColumn, '--humidity-column');
  if (temperatures.length > 1 && humidities.length > 1) {
    const pairs = wide(temperatures, humidities);
    if (pairs.length > 1) return pairs;
  }
  const [temperature, humidity] = byContent(search, free, plainest(temperatures), plainest(humidities));
  if (temperature === undefined) {
    throw undecided(
      search,
      'no column was found that holds the temperature',
      'say which with --temperature-column',
      NoValues,
    );
  }
  if (humidity === undefined) {
    throw undecided(
      search,
      'no column was found that holds the relative humidity',
      'say which with --humidity-column, or --humidity-column none',
    );
  }
  if (temperature.length > 1) {
    throw undecided(
      search,
      `${temperature.length} columns may be the air temperature`,
      'say which with --temperature-column',
    );
  }
  if (humidity.length > 1) {
    throw undecided(
      search,
      `${humidity.length} columns may be the relative humidity`,
      'say which with --humidity-column',
    );
  }
  return [{ logger: null, temperature: temperature[0]?.index ?? null, humidity: humidity[0]?.index ?? null }];
}

/** Columns with that role that hold numbers or nothing; where there are none, all with that role. */
function withRole(columns: readonly Column[], role: 'temperature' | 'humidity'): Column[] {
  const found = columns.filter(({ meaning, shares }) => meaning.role === role && shares.stamps < MOSTLY);
  const fit = found.filter(
    (column) => hasNumbers(column) || column.looks.every((look) => look === 'missing'),
  );
  return fit.length > 0 ? fit : found;
}

/** Whether a column holds numbers; a failing sensor may leave few. */
function hasNumbers({ shares }: Column): boolean {
  return shares.numbers > 0;
}

function chosen(search: Search, wanted: string, option: string): Column[] {
  return wanted === 'none' ? [] : wanted.split('+').map((name) => named(search, name, option));
}

/** Of several that hold anything the one whose heading says no more than the quantity, if there is just one. */
function plainest(all: readonly Column[]): readonly Column[] {
  const filled = all.filter(hasNumbers);
  const columns = filled.length > 0 ? filled : all;
  const plain = columns.filter(({ meaning }) => meaning.rest === '');
  return plain.length === 1 ? plain : columns;
}

/** A pair for every word that stands with both quantities: `T1` with `RH_1`, `loft_temp` with `loft_rh`. */
function wide(temperatures: readonly Column[], humidities: readonly Column[]): Pair[] {
  return temperatures.flatMap(({ index, meaning: { rest } }) => {
    const partner = humidities.filter((column) => column.meaning.rest === rest);
    const rivals = temperatures.filter((column) => column.meaning.rest === rest);
    return rest !== '' && partner.length === 1 && rivals.length === 1
      ? [{ logger: rest.replaceAll(' ', '-'), temperature: index, humidity: partner[0]!.index }]
      : [];
  });
}

/** No outdoor air is hotter than this [°C], so a column that goes beyond it is no temperature in °C. */
const HOTTEST = 60;

/**
 * Where headings do not tell, two columns of numbers may: a column with values below zero is the
 * temperature, one with values over 60 the humidity, if only one of the two is so.
 */
function byContent(
  { options }: Search,
  free: readonly Column[],
  temperature: readonly Column[],
  humidity: readonly Column[],
): [readonly Column[] | undefined, readonly Column[] | undefined] {
  const fixedTemperature = options.temperatureColumn !== null || temperature.length > 0;
  const fixedHumidity = options.humidityColumn !== null || humidity.length > 0;
  if (fixedTemperature && fixedHumidity) return [temperature, humidity];
  const rest = free.filter(
    (column) =>
      !temperature.includes(column) &&
      !humidity.includes(column) &&
      column.heading === '' &&
      !isRunningNumber(column),
  );
  if (fixedTemperature && rest.length === 1) return [temperature, rest];
  if (fixedHumidity && rest.length === 1) return [rest, humidity];
  if (fixedTemperature || fixedHumidity || rest.length !== 2) {
    return [fixedTemperature ? temperature : undefined, fixedHumidity ? humidity : undefined];
  }
  const [a, b] = rest.map(extremes) as [Extremes, Extremes];
  const aIsHumidity = a.max > HOTTEST || b.min < 0;
  const bIsHumidity = b.max > HOTTEST || a.min < 0;
  if (aIsHumidity === bIsHumidity) return [undefined, undefined];
  return aIsHumidity ? [[rest[1]!], [rest[0]!]] : [[rest[0]!], [rest[1]!]];
}

interface Extremes {
  readonly min: number;
  readonly max: number;
}

function numbersOf(column: Column, decimal: DecimalMark = '.'): number[] {
  return column.cells
    .map((cell) => {
      const plain = parseNumber(cell, 0, cell.length, decimal);
      return Number.isNaN(plain) ? parseNumber(cell, 0, cell.length, ',') : plain;
    })
    .filter((value) => !Number.isNaN(value));
}

function extremes(column: Column): Extremes {
  const values = numbersOf(column);
  return { min: Math.min(...values), max: Math.max(...values) };
}

function isRunningNumber(column: Column): boolean {
  const values = numbersOf(column);
  return (
    values.length > 2 &&
    values.every((value, i) => Number.isInteger(value) && (i === 0 || value > values[i - 1]!))
  );
}

function styleOf(
  time: readonly number[],
  judged: readonly SampleRow[],
  firstRows: readonly SampleRow[],
  allRows: () => readonly SampleRow[],
  complete: boolean,
  options: LayoutOptions,
  file: string,
): StampStyle | null {
  const stampOf = ({ cells }: SampleRow) => time.map((index) => cells[index]!).join(' ');
  const looks = judged.map((row) => (time.length === 1 ? row.looks[time[0]!]! : lookOf(stampOf(row))));
  const count = (look: string) => looks.filter((each) => each === look).length;
  const numbered = count('numbered');
  if (count('year-first') >= Math.max(numbered, count('epoch'))) return 'year-first';
  if (count('epoch') >= numbered) return 'epoch';
  if (options.dateOrder !== null) return options.dateOrder;
  const first = judged[0]!;
  const orderIn = (rows: readonly SampleRow[]) =>
    dateOrderOf(
      rows.filter(({ looks }) => looks.length === first.looks.length && isData(looks)).map(stampOf),
    );
  const early = orderIn(firstRows);
  const order = early === 'none' ? orderIn(allRows()) : early;
  if (order === 'day-first' || order === 'month-first') return order;
  const place = { file, line: first.line, text: stampOf(first) };
  const advice = 'say --date-order day-first or --date-order month-first';
  if (order === 'contradictory') {
    throw new InputError('some dates here can only be day first, others only month first', place, advice);
  }
  if (!complete) return null;
  throw new InputError('day and month of these dates cannot be told apart', place, advice);
}

/** A share of temperatures over 60 that no air in °C has. */
const TOO_HOT_SHARE = 0.02;

function temperatureUnitOf(
  columns: readonly Column[],
  decimal: DecimalMark,
  file: string,
): TemperatureUnit | null {
  const units = new Set<TemperatureUnit>();
  for (const { meaning, cells } of columns) {
    const written = cells.map((cell) => parseWithUnit(cell, decimal).unit).find((unit) => unit !== null);
    const unit = meaning.unit ?? (written == null ? null : written === 'K' ? 'K' : `deg${written}`);
    if (unit === 'degC' || unit === 'degF' || unit === 'K') units.add(unit);
  }
  if (units.size > 1) {
    throw new InputError(
      'the temperature columns have different units',
      { file },
      'read them one by one with --temperature-column and --temperature-unit',
    );
  }
  return [...units][0] ?? null;
}

/** Whether temperatures of no stated unit are too hot for °C, but make good °F: for a question, not a guess. */
export function looksFahrenheit(values: Float64Array): boolean {
  const counts = new Uint32Array(3);
  inBlocks(values.length, (from, until) => countOdd(values, from, until, counts));
  const [missing, hot, impossible] = counts as unknown as [number, number, number];
  const all = values.length - missing;
  return all > 0 && hot / all > TOO_HOT_SHARE && impossible / all < TOO_HOT_SHARE;
}

/** @param counts takes how many values are missing, how many are not air in °C, and how many not air in °F either */
function countOdd(values: Float64Array, from: number, until: number, counts: Uint32Array): void {
  for (let i = from; i < until; i++) {
    const value = values[i]!;
    // nearly all are air in °C
    if (value <= HOTTEST && value >= -60) continue;
    if (Number.isNaN(value)) counts[0]!++;
    if (value > HOTTEST) counts[1]!++;
    if (value > 140 || value < -60) counts[2]!++;
  }
}

function humidityUnitOf(columns: readonly Column[]): HumidityUnit | null {
  return columns.some(({ meaning }) => meaning.unit === 'pct') ? 'pct' : null;
}

/** Sentinels and strays stand among fractions too; beyond this share they are the rule. */
const STRAY_SHARE = 0.1;
/** Different values under 1 that a humidity in per cent would hardly have, one after the other. */
const FRACTION_VALUES = 5;

/** Whether humidities of no stated unit look like fractions of one: for a question, not a guess. */
export function looksFraction(values: Float64Array): boolean {
  const seen = new Set<number>();
  let all = 0;
  let beyond = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (Number.isNaN(value)) continue;
    all++;
    if (value > 1.05 || value < 0) beyond++;
    else if (value < 1 && seen.size < FRACTION_VALUES) seen.add(value);
    // most logs are in per cent, and need not be looked through
    if (beyond > STRAY_SHARE * values.length) return false;
  }
  return seen.size >= FRACTION_VALUES && beyond <= STRAY_SHARE * all;
}

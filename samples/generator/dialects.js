import { wallTime } from './october.js';

/** @import { Row } from './incidents.js' */

/**
 * How one logger's export is written.
 *
 * @typedef {object} Dialect
 * @property {string} opening before the header
 * @property {string} header
 * @property {string} lineEnd
 * @property {(row: Row, number: number) => string} line of one row, `number` counting rows from 1
 */

const BYTE_ORDER_MARK = '\uFEFF';

/** ISO local time without offset, commas, empty cells. @type {Dialect} */
export const commas = {
  opening: '',
  header: 'time,temperature,humidity',
  lineEnd: '\n',
  line: ({ time, temperature, humidity }) =>
    [wallTime(time), fixed(temperature, 1, ''), fixed(humidity, 1, '')].join(','),
};

/** Day first, decimal comma, as a spreadsheet of the continent writes it. @type {Dialect} */
export const semicolons = {
  opening: BYTE_ORDER_MARK,
  header: 'Date and time;Air temperature (°C);Relative humidity (%)',
  lineEnd: '\r\n',
  line: ({ time, temperature, humidity }) =>
    [dayFirst(time), fixed(temperature, 1, 'NaN').replace('.', ','), fixed(humidity, 0, 'NaN')].join(';'),
};

/**
 * The rows of a database table as its client exports them: numbers without trailing zeros, nulls as \N.
 *
 * @param {string} logger
 * @returns {Dialect}
 */
export function tabs(logger) {
  return {
    opening: '',
    header: 'id\tlogger\trecorded_at\ttemperature\thumidity',
    lineEnd: '\n',
    line: ({ time, temperature, humidity }, number) =>
      [number, logger, time / 1000, temperature ?? '\\N', humidity ?? '\\N'].join('\t'),
  };
}

/**
 * @param {number | null} value
 * @param {number} decimals
 * @param {string} absent
 */
function fixed(value, decimals, absent) {
  return value === null ? absent : value.toFixed(decimals);
}

/** @param {number} instant */
function dayFirst(instant) {
  const [date, time] = wallTime(instant).split('T');
  return `${date.split('-').reverse().join('.')} ${time}`;
}

/**
 * The whole file. A last line that is torn has no end either.
 *
 * @param {readonly Row[]} rows
 * @param {Dialect} dialect
 */
export function fileText(rows, dialect) {
  const lines = rows.map((row, i) => lineText(row, i + 1, dialect));
  const end = rows[rows.length - 1].kept === null ? dialect.lineEnd : '';
  return dialect.opening + [dialect.header, ...lines].join(dialect.lineEnd) + end;
}

/**
 * @param {Row} row
 * @param {number} number
 * @param {Dialect} dialect
 * @returns {string}
 */
function lineText(row, number, dialect) {
  const whole = dialect.line(row, number);
  const written = row.kept === null ? whole : whole.slice(0, row.kept);
  return row.tail === null ? written : written + lineText(row.tail, number, dialect);
}

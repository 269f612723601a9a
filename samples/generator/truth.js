import { DAYS, london, rfc3339 } from './october.js';

/** @import { Damaged, Row } from './incidents.js' */
/** @import { Reading } from './readings.js' */

/** Lines count from 1, and the first is the header. */
const FIRST_ROW_LINE = 2;

/**
 * The faults of one log, in the order of the file, as they stand in `faults.json`.
 *
 * @param {string} logger
 * @param {Damaged} log
 */
export function knownFaults(logger, { rows, faults }) {
  const lineOf = linesIn(rows);
  return faults
    .map(({ check, quantity, rows: touched, count, note }) => {
      const times = touched.map((row) => row.time);
      const lines = touched.map(lineOf);
      return {
        logger,
        check,
        quantity,
        from: rfc3339(Math.min(...times)),
        until: rfc3339(Math.max(...times)),
        lines: [Math.min(...lines), Math.max(...lines)],
        count,
        note,
      };
    })
    .sort((a, b) => a.lines[0] - b.lines[0]);
}

/**
 * Tells the line of each row in the file.
 *
 * @param {readonly Row[]} rows
 * @returns {(row: Row) => number}
 */
function linesIn(rows) {
  /** @type {Map<Row, number>} */
  const lines = new Map();
  rows.forEach((row, i) => {
    lines.set(row, i + FIRST_ROW_LINE);
    if (row.tail !== null) lines.set(row.tail, i + FIRST_ROW_LINE);
  });
  return (row) => {
    const line = lines.get(row);
    if (line === undefined) throw new RangeError(`a row at ${rfc3339(row.time)} did not reach the file`);
    return line;
  };
}

/**
 * What each civil day was before anything went wrong, from the readings as the sensor rounded them.
 *
 * @param {readonly Reading[]} readings
 */
export function undisturbedDays(readings) {
  return Array.from({ length: DAYS }, (_, i) => {
    const from = london(i + 1);
    const until = london(i + 2);
    const day = readings.filter(({ time }) => from <= time && time < until);
    const next = readings.find(({ time }) => time === until);
    const covered = next === undefined ? day : [...day, next];
    return {
      day: rfc3339(from).slice(0, 10),
      from: rfc3339(from),
      until: rfc3339(until),
      readings: day.length,
      air_temperature: summary('temperature', day, covered),
      relative_humidity: summary('humidity', day, covered),
    };
  });
}

/**
 * @param {'temperature' | 'humidity'} field
 * @param {readonly Reading[]} day
 * @param {readonly Reading[]} covered the day and the reading at its very end, where there is one
 */
function summary(field, day, covered) {
  const values = day.map((reading) => reading[field]);
  return { min: Math.min(...values), max: Math.max(...values), mean: mean(field, covered) };
}

/** More than any logger resolves, fewer than floating point leaves in doubt. */
const MEAN_DECIMALS = 6;

/**
 * Time-weighted: the value runs straight from reading to reading.
 *
 * @param {'temperature' | 'humidity'} field
 * @param {readonly Reading[]} readings
 */
function mean(field, readings) {
  let area = 0;
  for (let i = 1; i < readings.length; i++) {
    area += ((readings[i - 1][field] + readings[i][field]) / 2) * (readings[i].time - readings[i - 1].time);
  }
  const length = readings[readings.length - 1].time - readings[0].time;
  return Number((area / length).toFixed(MEAN_DECIMALS));
}

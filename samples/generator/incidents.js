/** @import { Reading } from './readings.js' */

/**
 * One reading on its way into a file.
 *
 * @typedef {object} Row
 * @property {number} time ms since 1970 UTC
 * @property {number | null} temperature °C, null where nothing was stored
 * @property {number | null} humidity %, null where nothing was stored
 * @property {number | null} kept how many characters of the line were written, null for all
 * @property {Row | null} tail the row that was written on into the same line
 */

/**
 * @typedef {object} Fault
 * @property {string} check
 * @property {'time' | 'air_temperature' | 'relative_humidity'} quantity
 * @property {readonly Row[]} rows the rows concerned, those on both sides of a gap
 * @property {number} count
 * @property {string} note
 */

/**
 * Rows in the order of the file, and what has happened to them.
 *
 * @typedef {object} Damaged
 * @property {Row[]} rows
 * @property {Fault[]} faults
 */

/** @typedef {(log: Damaged) => void} Incident */
/** @typedef {'temperature' | 'humidity'} Field */

const QUANTITY = /** @type {const} */ ({ temperature: 'air_temperature', humidity: 'relative_humidity' });

/**
 * @param {readonly Reading[]} readings
 * @param {readonly Incident[]} incidents
 * @returns {Damaged}
 */
export function damaged(readings, incidents) {
  /** @type {Damaged} */
  const log = { rows: readings.map((reading) => ({ ...reading, kept: null, tail: null })), faults: [] };
  for (const incident of incidents) incident(log);
  return log;
}

/**
 * Nothing written between two readings, both of which are there.
 *
 * @param {number} last
 * @param {number} next
 * @param {string} note
 * @returns {Incident}
 */
export function gap(last, next, note) {
  return ({ rows, faults }) => {
    const before = placeOf(rows, last);
    const after = placeOf(rows, next);
    faults.push({ check: 'gap', quantity: 'time', rows: [rows[before], rows[after]], count: 1, note });
    rows.splice(before + 1, after - before - 1);
  };
}

/**
 * A line of which only the beginning was written. Its reading is lost.
 *
 * @param {number} at
 * @param {number} kept characters
 * @param {string} note
 * @returns {Incident}
 */
export function torn(at, kept, note) {
  return ({ rows, faults }) => {
    const place = placeOf(rows, at);
    rows[place].kept = kept;
    faults.push({ check: 'unreadable', quantity: 'time', rows: [rows[place]], count: 1, note });
    leaveGap(rows, faults, place);
  };
}

/**
 * The last line torn, and no reading after it that would show a gap.
 *
 * @param {number} kept characters
 * @param {string} note
 * @returns {Incident}
 */
export function tornAtTheEnd(kept, note) {
  return ({ rows, faults }) => {
    const last = rows[rows.length - 1];
    last.kept = kept;
    faults.push({ check: 'unreadable', quantity: 'time', rows: [last], count: 1, note });
  };
}

/**
 * A torn line with the next one written on behind it. Both readings are lost.
 *
 * @param {number} at
 * @param {number} kept characters of the first
 * @param {string} note
 * @returns {Incident}
 */
export function runTogether(at, kept, note) {
  return ({ rows, faults }) => {
    const place = placeOf(rows, at);
    const [tail] = rows.splice(place + 1, 1);
    rows[place].kept = kept;
    rows[place].tail = tail;
    faults.push({ check: 'unreadable', quantity: 'time', rows: [rows[place], tail], count: 1, note });
    leaveGap(rows, faults, place);
  };
}

/**
 * @param {readonly Row[]} rows
 * @param {Fault[]} faults
 * @param {number} unreadable place of the row
 */
function leaveGap(rows, faults, unreadable) {
  const neighbours = [rows[unreadable - 1], rows[unreadable + 1]];
  const note = 'left by the unreadable line';
  faults.push({ check: 'gap', quantity: 'time', rows: neighbours, count: 1, note });
}

/**
 * Rows that were stored without one of their values.
 *
 * @param {Field} field
 * @param {number} from
 * @param {number} count rows
 * @param {string} note
 * @returns {Incident}
 */
export function missing(field, from, count, note) {
  return replaced('missing_value', field, from, new Array(count).fill(null), note);
}

/**
 * Other values than the air had, row after row.
 *
 * @param {string} check that should find them
 * @param {Field} field
 * @param {number} from
 * @param {readonly (number | null)[]} values
 * @param {string} note
 * @returns {Incident}
 */
export function replaced(check, field, from, values, note) {
  return ({ rows, faults }) => {
    const place = placeOf(rows, from);
    const touched = rows.slice(place, place + values.length);
    touched.forEach((row, i) => {
      row[field] = values[i];
    });
    faults.push({ check, quantity: QUANTITY[field], rows: touched, count: values.length, note });
  };
}

/**
 * The same reading sent again because the answer to the first time was lost.
 *
 * @param {number} at
 * @param {number} copies
 * @param {string} note
 * @returns {Incident}
 */
export function sentAgain(at, copies, note) {
  return ({ rows, faults }) => {
    const place = placeOf(rows, at);
    const added = Array.from({ length: copies }, () => ({ ...rows[place] }));
    rows.splice(place + 1, 0, ...added);
    faults.push({ check: 'duplicate', quantity: 'time', rows: [rows[place], ...added], count: copies, note });
  };
}

/**
 * A second line for the same instant that says something else.
 *
 * @param {number} at
 * @param {{ temperature: number, humidity: number }} other
 * @param {string} note
 * @returns {Incident}
 */
export function contradicted(at, other, note) {
  return ({ rows, faults }) => {
    const place = placeOf(rows, at);
    const second = { ...rows[place], ...other };
    faults.push({ check: 'conflict', quantity: 'time', rows: [rows[place], second], count: 1, note });
    rows.splice(place + 1, 0, second);
  };
}

/**
 * A block of rows that was held back and written after newer ones.
 *
 * @param {number} from
 * @param {number} count rows
 * @param {number} behind how many newer rows stand before the block
 * @param {string} note
 * @returns {Incident}
 */
export function late(from, count, behind, note) {
  return ({ rows, faults }) => {
    const place = placeOf(rows, from);
    const block = rows.splice(place, count);
    rows.splice(place + behind, 0, ...block);
    faults.push({ check: 'disorder', quantity: 'time', rows: block, count, note });
  };
}

/**
 * @param {readonly Row[]} rows
 * @param {number} time
 */
function placeOf(rows, time) {
  const place = rows.findIndex((row) => row.time === time);
  if (place < 0) throw new RangeError(`no row at ${new Date(time).toISOString()}`);
  return place;
}

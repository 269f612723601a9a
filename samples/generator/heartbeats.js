import { MINUTE, MONTH_END, MONTH_START, rfc3339, wallTime } from './october.js';
import { uniform } from './random.js';

/**
 * A time in which something kept beats away, or the readings, as it stands in `outages.json`.
 *
 * @typedef {object} Calamity
 * @property {string} cause
 * @property {number} from ms since 1970 UTC; a logger without power is off from here on
 * @property {number} until
 * @property {string} note
 * @property {number} [second] at which the logger beats after it, if it started anew
 * @property {number} [lost] share of the beats that are lost; all unless given
 */

/**
 * One line of a heartbeat log.
 *
 * @typedef {object} Beat
 * @property {number} time ms since 1970 UTC, as the server stamped it
 * @property {number} uptime s
 * @property {boolean} first after a start
 */

/**
 * @typedef {object} Heart
 * @property {number} second of the minute at which it beats at first
 * @property {number} started ms since 1970 UTC
 * @property {number} seed
 * @property {readonly Calamity[]} calamities
 */

/** A start takes so long until the first beat. */
const START_TIME = 6_000;
/** Beats lost for no reason. */
const CHANCE_LOSS = 1 / 400;
/** Beats that need a second more on their way. */
const SLOW = 0.2;

/** Causes after which a logger starts anew. */
const STARTS = new Set(['power', 'restart']);
/** Causes that leave the beats alone. */
const BEATS_ON = new Set(['sensor', 'late_upload']);

/** @param {Heart} heart @returns {Beat[]} */
export function beatsOf({ second, started, seed, calamities }) {
  const draw = uniform(seed);
  const silent = calamities.filter(({ cause }) => !BEATS_ON.has(cause));
  /** @type {Beat[]} */
  const beats = [];
  let start = started;
  let isFirst = false;
  let due = Math.ceil(MONTH_START / MINUTE) * MINUTE + second * 1000;
  while (due < MONTH_END) {
    const [chance, slow] = [draw(), draw()];
    const trouble = silent.find(({ from, until }) => due >= from && due < until);
    if (trouble !== undefined && STARTS.has(trouble.cause)) {
      start = trouble.until;
      isFirst = true;
      due = firstBeat(trouble);
      continue;
    }
    if (chance >= (trouble === undefined ? CHANCE_LOSS : (trouble.lost ?? 1))) {
      const time = due + (slow < SLOW ? 1000 : 0);
      beats.push({ time, uptime: Math.floor((time - start) / 1000), first: isFirst });
      isFirst = false;
    }
    due += MINUTE;
  }
  return beats;
}

/** @param {Calamity} calamity @returns {number} */
function firstBeat({ until, second }) {
  const ready = until + START_TIME;
  const minute = Math.floor(ready / MINUTE) * MINUTE + (second ?? 0) * 1000;
  return minute < ready ? minute + MINUTE : minute;
}

/**
 * The entries of `outages.json` for one logger: each with the last sign before and the first after.
 *
 * @param {string} logger
 * @param {readonly Beat[]} beats
 * @param {readonly Calamity[]} calamities
 */
export function knownOutages(logger, beats, calamities) {
  return calamities.map(({ cause, from, until, note, lost }) => {
    const isPlain = BEATS_ON.has(cause) || lost !== undefined;
    const before = beats.findLast(({ time }) => time < from);
    const after = beats.find(({ time }) => time >= until);
    const lastSign = isPlain ? from : /** @type {Beat} */ (before).time;
    const nextSign = isPlain ? until : after?.time;
    return {
      logger,
      cause,
      last_sign: rfc3339(lastSign),
      next_sign: nextSign === undefined ? null : rfc3339(nextSign),
      note,
    };
  });
}

/** RFC 3339 in UTC and the time since the last start. @param {readonly Beat[]} beats */
export function commaBeats(beats) {
  const lines = beats.map(({ time, uptime }) => `${new Date(time).toISOString().slice(0, 19)}Z,${uptime}`);
  return `${['time,uptime_s', ...lines].join('\n')}\n`;
}

/** Local stamps and nothing else, day first. @param {readonly Beat[]} beats */
export function bareBeats(beats) {
  const lines = beats.map(({ time }) => {
    const [date, clock] = wallTime(time).split('T');
    return `${date.split('-').reverse().join('.')} ${clock}`;
  });
  return `${['Seen at', ...lines].join('\r\n')}\r\n`;
}

/** Epoch seconds, the logger, and what it had to say. @param {readonly Beat[]} beats @param {string} logger */
export function tabBeats(beats, logger) {
  const lines = beats.map(({ time, first }) => [time / 1000, logger, first ? 'boot' : 'alive'].join('\t'));
  return `${['seen_at\tlogger\tevent', ...lines].join('\n')}\n`;
}

import type { Cause } from '../outages/outage.js';

/** What an outage was, as it is said of a logger, and what to do about it. */
export interface CauseInWords {
  /** In a word or two, for a day in a calendar. */
  readonly short: string;
  readonly was: string;
  /** What people look at first (common practice, no source). */
  readonly advice: string;
}

export const CAUSES_IN_WORDS: Readonly<Record<Cause, CauseInWords>> = {
  power: {
    short: 'no power',
    was: 'without power, or crashed',
    advice: 'look at its plug, its supply and the fuse before it',
  },
  link: {
    short: 'link lost',
    was: 'cut off from the server, running on by itself',
    advice: 'look at its network: distance to the radio, aerial, cable, router',
  },
  server: {
    short: 'server down',
    was: 'not heard, like all the others: the server or its network was down',
    advice: 'look at the server and its network; the loggers themselves were up',
  },
  sensor: {
    short: 'sensor',
    was: 'running, but its sensor gave no value',
    advice: 'look at the sensor, its plug and its wire',
  },
  readings_path: {
    short: 'not stored',
    was: 'beating like all the others, but no reading of any was stored',
    advice: 'look at what stores the readings on the server',
  },
  heartbeat: {
    short: 'no heartbeat',
    was: 'sending readings, but no heartbeats',
    advice: 'no reading is lost; look at what sends and what stores the heartbeats',
  },
  weak_link: {
    short: 'weak link',
    was: 'losing many single heartbeats',
    advice: 'its link is weak: bring it or the aerial nearer, before it breaks off',
  },
  restart: {
    short: 'restart',
    was: 'started anew',
    advice: 'once is nothing; if it comes again, look at its supply',
  },
  late_upload: {
    short: 'late',
    was: 'late with its readings',
    advice: 'nothing is lost; it held them back while it had no link',
  },
  artefact: {
    short: 'clock change',
    was: 'only seemingly away',
    advice: 'the change of the clocks makes it look so; stamps in UTC would not',
  },
  deleted: {
    short: 'rows deleted',
    was: 'not in the table',
    advice: 'rows were taken out of the table: ask who did it, and why',
  },
  censored: {
    short: 'unknown',
    was: 'not heard of',
    advice: 'see whether it still runs, or whether the export ends early',
  },
  undecided: {
    short: 'cause unknown',
    was: 'silent, and nothing tells why',
    advice: 'look at its supply first, then at its link',
  },
};

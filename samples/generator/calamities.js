import { HOUR, london, MINUTE, MONTH_END } from './october.js';

/** @import { Calamity, Heart } from './heartbeats.js' */

const SECOND = 1000;

/** The server was put on a new disk: no beat of any logger for four minutes, and no reading was due in them. */
const SERVER = {
  cause: 'server',
  from: london(16, 12) + 20 * SECOND,
  until: london(16, 12, 4) + 40 * SECOND,
  note: 'server restarted',
};

/** @type {Heart} */
export const boatHallHeart = {
  second: 17,
  started: london(1) - 9 * 24 * HOUR,
  seed: 4_007,
  calamities: [
    {
      cause: 'restart',
      from: london(6, 14, 3),
      until: london(6, 14, 3) + 40 * SECOND,
      second: 52,
      note: 'started anew by its own watchdog',
    },
    {
      cause: 'power',
      from: london(11, 9, 12),
      until: london(11, 12, 50),
      second: 8,
      note: 'battery changed',
    },
    {
      cause: 'link',
      from: london(13, 5, 47),
      until: london(13, 7, 51),
      note: 'its way to the club house lost, four readings held back and sent later',
    },
    SERVER,
  ],
};

/** The storm that took the club's mains away. The boat hall has a battery, and its own way to the server. */
const MAINS_OFF = london(17, 13, 14) + 5 * SECOND;
const MAINS_ON = london(18, 19, 3) + 40 * SECOND;

/** @type {Heart} */
export const sailLoftHeart = {
  second: 31,
  started: london(1) - 40 * 24 * HOUR,
  seed: 4_013,
  calamities: [
    {
      cause: 'sensor',
      from: london(4, 10, 50),
      until: london(4, 12),
      note: 'humidity not a number for an hour',
    },
    {
      cause: 'power',
      from: london(9, 21, 4),
      until: london(10, 0, 51),
      second: 49,
      note: 'switched off at its socket, together with the access point',
    },
    {
      cause: 'restart',
      from: london(14, 10, 30) + 40 * SECOND,
      until: london(14, 10, 31),
      second: 5,
      note: 'new program put on it',
    },
    SERVER,
    { cause: 'power', from: MAINS_OFF, until: MAINS_ON, second: 22, note: 'mains off after the storm' },
    {
      cause: 'link',
      from: london(20, 6, 53),
      until: london(20, 7, 57),
      note: 'access point hung, six readings held back and sent later',
    },
    {
      cause: 'weak_link',
      from: london(22, 15),
      until: london(22, 21),
      lost: 0.5,
      note: 'wet sails hung between logger and access point',
    },
    {
      cause: 'artefact',
      from: london(26, 2) - HOUR,
      until: london(26, 2),
      note: 'the table of heartbeats has one row per local time: the second pass of the repeated hour was refused',
    },
    {
      cause: 'sensor',
      from: london(28, 9, 40),
      until: london(28, 10, 10),
      note: 'reading failed, -999 written',
    },
  ],
};

/** @type {Heart} */
export const batteryLockerHeart = {
  second: 44,
  started: london(1) - 3 * 24 * HOUR,
  seed: 4_019,
  calamities: [
    { cause: 'sensor', from: london(7, 14, 55), until: london(7, 15, 25), note: 'humidity null' },
    { cause: 'sensor', from: london(8, 19, 20), until: london(8, 19, 45), note: 'thermometer unplugged' },
    {
      cause: 'late_upload',
      from: london(14, 19, 55),
      until: london(14, 21),
      note: 'an hour of readings held back and sent after newer ones, the heartbeat went on',
    },
    SERVER,
    {
      cause: 'power',
      from: MAINS_OFF,
      until: MAINS_ON + 5 * SECOND,
      second: 13,
      note: 'mains off after the storm',
    },
    {
      cause: 'power',
      from: london(19, 21, 3),
      until: london(20, 16, 56),
      second: 37,
      note: 'breaker tripped by the chargers',
    },
    {
      cause: 'heartbeat',
      from: london(22, 10, 1),
      until: london(22, 11, 31),
      note: 'its heartbeats were refused, its readings were not',
    },
    {
      cause: 'power',
      from: london(24, 9, 2),
      until: london(24, 12, 56),
      second: 58,
      note: 'cabinet unplugged while it was cleaned',
    },
    {
      cause: 'censored',
      from: london(30, 12),
      until: MONTH_END + MINUTE,
      note: 'the export of the heartbeats ends here',
    },
  ],
};

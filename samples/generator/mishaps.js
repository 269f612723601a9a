import {
  contradicted,
  gap,
  late,
  missing,
  replaced,
  runTogether,
  sentAgain,
  torn,
  tornAtTheEnd,
} from './incidents.js';
import { london } from './october.js';

/** @import { Incident } from './incidents.js' */

/** What one-wire thermometers answer before their first conversion (data sheet quoted in driver threads). */
const POWER_ON = 85;
/** What their drivers answer when no thermometer is there (read in driver threads). */
const UNPLUGGED = -127;
/** A number written where nothing was measured (common practice, no source). */
const NO_NUMBER = -999;

/** The storm that took the club's mains away, from the last reading before to the first after. */
const MAINS_OFF = london(17, 13, 10);
const MAINS_ON = london(18, 19, 10);

/** @type {readonly Incident[]} */
export const boatHall = [
  torn(london(3, 5), 13, 'torn in the hour of the time stamp'),
  missing('temperature', london(5, 3, 30), 1, 'temperature cell empty'),
  replaced('sentinel', 'temperature', london(8, 12, 30), [NO_NUMBER], 'reading failed, -999 written'),
  replaced('sentinel', 'humidity', london(8, 12, 30), [NO_NUMBER], 'reading failed, -999 written'),
  gap(london(11, 9), london(11, 13), 'battery changed'),
  replaced('sentinel', 'temperature', london(11, 13), [POWER_ON], 'first value after the restart'),
  late(london(13, 6), 4, 3, 'two hours held back and sent after the next three readings'),
  sentAgain(london(15, 16), 1, 'sent twice'),
  contradicted(london(18, 20), { temperature: 13.2, humidity: 91.9 }, 'two answers for one instant'),
  replaced('gross_range', 'humidity', london(21, 4), [130.4], 'more than air can hold'),
  replaced(
    'sensor_range',
    'humidity',
    london(29, 0),
    [101.6, 101.9, 101.2],
    'wet sensor, above its stated 100 %',
  ),
];

/** @type {readonly Incident[]} */
export const sailLoft = [
  runTogether(london(2, 14, 20), 20, 'torn after the time stamp, the next line written on behind it'),
  missing('humidity', london(4, 11), 6, 'humidity not a number for an hour'),
  gap(london(9, 21), london(10, 1), 'access point switched off'),
  replaced('sentinel', 'temperature', london(10, 1), [POWER_ON], 'first value after the restart'),
  sentAgain(london(12, 8, 40), 1, 'sent twice'),
  sentAgain(london(12, 9, 10), 2, 'sent three times'),
  gap(MAINS_OFF, MAINS_ON, 'mains off after the storm'),
  late(london(20, 7), 6, 4, 'an hour held back and sent after the next four readings'),
  contradicted(london(22, 15, 30), { temperature: 12.1, humidity: 86 }, 'two answers for one instant'),
  replaced('gross_range', 'humidity', london(25, 17, 20), [138], 'more than air can hold'),
  replaced('sentinel', 'humidity', london(28, 9, 50), [NO_NUMBER, NO_NUMBER], 'reading failed, -999 written'),
];

/** @type {readonly Incident[]} */
export const batteryLocker = [
  missing('temperature', london(4, 2, 15), 1, 'row without values'),
  missing('humidity', london(4, 2, 15), 1, 'row without values'),
  torn(london(6, 10, 35), 21, 'torn in the logger column'),
  missing('humidity', london(7, 15), 5, 'humidity null'),
  replaced(
    'sentinel',
    'temperature',
    london(8, 19, 25),
    new Array(4).fill(UNPLUGGED),
    'thermometer unplugged',
  ),
  sentAgain(london(10, 6, 5), 1, 'sent twice'),
  sentAgain(london(10, 6, 20), 2, 'sent three times'),
  contradicted(london(13, 12), { temperature: 11.7, humidity: 82.9 }, 'two answers for one instant'),
  late(london(14, 20), 12, 5, 'an hour held back and sent after the next five readings'),
  gap(MAINS_OFF, MAINS_ON, 'mains off after the storm'),
  replaced('sentinel', 'temperature', MAINS_ON, [POWER_ON], 'first value after the restart'),
  gap(london(19, 21), london(20, 17), 'breaker tripped by the chargers'),
  replaced('gross_range', 'humidity', london(21, 13, 40), [131.7], 'more than air can hold'),
  gap(london(24, 9), london(24, 13), 'cabinet unplugged while it was cleaned'),
  replaced('sensor_range', 'temperature', london(27, 4, 10), [-0.1, -0.2, -0.1], 'below its stated 0 °C'),
  replaced('gross_range', 'temperature', london(29, 11, 5), [81.3], 'hotter than any air'),
  tornAtTheEnd(26, 'the export ends in the middle of a time stamp'),
];

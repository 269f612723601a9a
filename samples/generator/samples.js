import { batteryLockerHeart, boatHallHeart, sailLoftHeart } from './calamities.js';
import { commas, fileText, semicolons, tabs } from './dialects.js';
import { bareBeats, beatsOf, commaBeats, knownOutages, tabBeats } from './heartbeats.js';
import { damaged } from './incidents.js';
import { batteryLocker, boatHall, sailLoft } from './mishaps.js';
import { MINUTE } from './october.js';
import { readings } from './readings.js';
import { locker, loft } from './rooms.js';
import { slipwayText } from './spring.js';
import { knownFaults, undisturbedDays } from './truth.js';
import { weather } from './weather.js';

/** @import { Saturation } from './course.js' */
/** @import { Beat, Heart } from './heartbeats.js' */
/** @import { Weather } from './weather.js' */

/**
 * Every generated file of the sample folder: its name and its text, unpacked where the name ends in .gz.
 *
 * @param {Saturation} saturation
 * @returns {ReadonlyMap<string, string>}
 */
export function samples(saturation) {
  const outside = weather(saturation);
  const logs = loggers(outside, saturation).map(({ course, sensor, incidents, ...logger }) => {
    const clean = readings(course, sensor, saturation);
    return { ...logger, clean, log: damaged(clean, incidents) };
  });
  const texts = new Map(logs.map(({ file, log, dialect }) => [file, fileText(log.rows, dialect)]));
  const faults = logs.flatMap(({ id, log }) => knownFaults(id, log));
  texts.set('faults.json', `[\n${jsonLines(faults)}\n]\n`);
  const days = logs.map(({ id, clean }) => `"${id}": [\n${jsonLines(undisturbedDays(clean))}\n]`);
  texts.set('truth.json', `{\n${days.join(',\n')}\n}\n`);
  const hearts = HEARTS.map((each) => ({ ...each, beats: beatsOf(each.heart) }));
  for (const { file, beats, write } of hearts) texts.set(file, write(beats));
  const outages = hearts.flatMap(({ id, beats, heart }) => knownOutages(id, beats, heart.calamities));
  texts.set('slipway.csv', slipwayText(saturation));
  texts.set('outages.json', `[\n${jsonLines(outages)}\n]\n`);
  return texts;
}

/** The heartbeat logs. @type {readonly { id: string, file: string, heart: Heart, write: (beats: Beat[]) => string }[]} */
const HEARTS = [
  { id: 'boat-hall', file: 'boat-hall-heartbeats.csv.gz', heart: boatHallHeart, write: commaBeats },
  { id: 'sail-loft', file: 'sail-loft-heartbeats.csv.gz', heart: sailLoftHeart, write: bareBeats },
  {
    id: 'battery-locker',
    file: 'battery-locker-heartbeats.tsv.gz',
    heart: batteryLockerHeart,
    write: (beats) => tabBeats(beats, 'battery-locker'),
  },
];

/**
 * @param {Weather} outside
 * @param {Saturation} saturation
 */
function loggers(outside, saturation) {
  return [
    {
      id: 'boat-hall',
      file: 'boat-hall.csv',
      course: outside.air,
      sensor: { cadence: 30 * MINUTE, temperatureDecimals: 1, humidityDecimals: 1, seed: 3_011 },
      incidents: boatHall,
      dialect: commas,
    },
    {
      id: 'sail-loft',
      file: 'sail-loft.csv',
      course: loft(outside, saturation),
      sensor: { cadence: 10 * MINUTE, temperatureDecimals: 1, humidityDecimals: 0, seed: 3_023 },
      incidents: sailLoft,
      dialect: semicolons,
    },
    {
      id: 'battery-locker',
      file: 'battery-locker.tsv',
      course: locker(outside, saturation),
      sensor: { cadence: 5 * MINUTE, temperatureDecimals: 1, humidityDecimals: 1, seed: 3_041 },
      incidents: batteryLocker,
      dialect: tabs('battery-locker'),
    },
  ];
}

/** An entry a line, so that a change shows as the lines it touches. @param {readonly object[]} entries */
function jsonLines(entries) {
  return entries.map((entry) => JSON.stringify(entry)).join(',\n');
}

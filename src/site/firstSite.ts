import { isAbsolute, relative, resolve, sep } from 'node:path';
import { stringify } from 'smol-toml';
import { counted } from '../audit/episodes.js';
import { formatDate } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { HOUR, MINUTE, type Milliseconds, SECOND } from '../units.js';
import { ASSUMED_ACCURACY } from './site.js';
import type { SeenLogger, Survey } from './survey.js';

export interface FirstSite {
  readonly zone: Zone;
  /** Where the zone was named. */
  readonly zoneFrom: string;
  /** Folder that the paths of the survey start from. */
  readonly cwd: string;
  /** Folder that the site file will lie in; paths in it start from there. */
  readonly folder: string;
  /** What was said about the writing of the logs, as keys of `[logger.reading]`. */
  readonly stated: Readonly<Record<string, string>>;
}

/**
 * A first site file: what logs show, every line with a word about it, and what only a person can know as a
 * line to be filled in. It works as it is. The same logs give the same text.
 */
export function firstSite({ loggers, localStamps }: Survey, about: FirstSite): string {
  const { zone, zoneFrom } = about;
  const dated = localStamps
    ? 'Stamps without offset and the days of the place are in this zone'
    : 'The days of the place are in this zone; the stamps themselves tell their offset';
  return [
    '# A first site file, made by "dewledger site init" from what the logs show. It works as it is.',
    '# What stands behind a # is not read. A line that begins with # and a key is a suggestion: take the # away',
    '# where it fits, and put in your own figures. "dewledger site check" tells what a changed file means.',
    '',
    '# What reports call the place.',
    suggestion({ place: 'My place' }),
    '',
    `# ${dated} (from ${zoneFrom}).`,
    ...(localStamps ? ['# If the clock of the loggers is never changed, write its offset: "+01:00".'] : []),
    line({ zone: zone.name }),
    '',
    '# Where it lies, which no log can tell: metres above the sea (for the pressure of the air) and degrees',
    '# (for sunset and sunrise; south and west are negative).',
    suggestion({ altitude_m: 60 }),
    suggestion({ latitude_deg: 54.5 }),
    suggestion({ longitude_deg: -3.1 }),
    ...loggers.flatMap((logger) => loggerLines(logger, loggers, about)),
    '',
  ].join('\n');
}

function loggerLines(
  logger: SeenLogger,
  all: readonly SeenLogger[],
  { zone, cwd, folder, stated }: FirstSite,
): string[] {
  const { id, files, cadence, heartbeats } = logger;
  const globs = (paths: readonly string[]) => paths.map((path) => globOf(resolve(cwd, path), folder));
  return [
    '',
    '',
    '[[logger]]',
    '# Its id, for --logger and in every result; and what people call it.',
    line({ id }),
    suggestion({ name: 'Where it hangs' }),
    '# Its logs, from the folder of this file on. With a * later exports are found, too: "loft*.csv".',
    `# ${seenWords(logger, zone)}`,
    line({ files: globs(files) }),
    ...(cadence === null
      ? ['# The time between readings is not known.', suggestion({ cadence: 'PT10M' })]
      : ['# The time between readings, as most of them lie apart.', line({ cadence: isoDuration(cadence) })]),
    ...(heartbeats === null
      ? [
          '# Files with signs of life, a line each, tell a lost link from a lost logger.',
          suggestion({ heartbeats: ['heartbeats*.csv'] }),
        ]
      : [
          `# ${counted(heartbeats.beats, 'line')} without values: signs of life.`,
          line({ heartbeats: globs(heartbeats.files) }),
          '# The time between them.',
          line({ heartbeat_cadence: isoDuration(heartbeats.cadence) }),
        ]),
    ...(files.length === 0
      ? []
      : [
          ...sensorLines(logger),
          ...readingLines(logger, stated),
          ...surfaceLines(
            logger,
            all.filter((each) => each.files.length > 0),
          ),
        ]),
  ];
}

function seenWords({ readings, span, assumed }: SeenLogger, zone: Zone): string {
  if (span === null) return 'No readings were seen.';
  const [first, last] = span.map((instant) => formatDate(instant, zone)) as [string, string];
  const units = [assumed?.temperature_unit, assumed?.humidity_unit]
    .map((unit) => UNIT_WORDS[unit ?? ''] ?? '')
    .filter((word) => word !== '');
  const of = units.length === 0 ? '' : `, written in ${units.join(' and ')}`;
  return `Seen: ${counted(readings, 'reading')} from ${first} to ${last}${of}.`;
}

const UNIT_WORDS: Readonly<Record<string, string>> = {
  degC: '°C',
  degF: '°F',
  K: 'K',
  pct: '%',
  fraction: 'parts of 1',
};

/** Steps from here on are those of the plainest sensors. */
const COARSE_TEMPERATURE_STEP = 0.5;
const COARSE_HUMIDITY_STEP = 1;

/** What the plainest sensors, which tell whole degrees and percents, are sold with (common practice, no source). */
const COARSE_ACCURACY = { temperature: 2, humidity: 5 };

/**
 * How exact a sensor is no log shows, but a coarse step is told by a coarse sensor. The usual assumption stays a
 * suggestion, so that results go on calling it assumed.
 */
function sensorLines({ temperatureStep, humidityStep }: SeenLogger): string[] {
  const coarseAir = temperatureStep >= COARSE_TEMPERATURE_STEP;
  const coarseDamp = humidityStep >= COARSE_HUMIDITY_STEP;
  const air = { air_temperature_accuracy_K: (coarseAir ? COARSE_ACCURACY : ASSUMED_ACCURACY).temperature };
  const damp = { relative_humidity_accuracy_pct: (coarseDamp ? COARSE_ACCURACY : ASSUMED_ACCURACY).humidity };
  const steps = [
    ...(temperatureStep > 0 ? [`${temperatureStep.toFixed(2).replace(/0$/, '')} K`] : []),
    ...(humidityStep > 0 ? [`${humidityStep.toFixed(2).replace(/\.?0+$/, '')} %`] : []),
  ];
  return [
    '',
    '[logger.sensor]',
    `# How far the sensor may be off to either side: its data sheet says so.${steps.length === 0 ? '' : ` Values come in steps of ${steps.join(' and ')}.`}`,
    '# What is not stated here is assumed to be 0.5 K and 3 %, and results call it assumed.',
    ...(coarseAir || coarseDamp
      ? ['# Steps as wide as these are those of plain sensors: hence a wider figure, until you know better.']
      : []),
    coarseAir ? line(air) : suggestion(air),
    coarseDamp ? line(damp) : suggestion(damp),
    '# What it can measure at all.',
    suggestion({ air_temperature_range_degC: [-40, 80] }),
    suggestion({ relative_humidity_range_pct: [0, 100] }),
  ];
}

/** What was found out from these files and could be doubtful in the next is written down. */
function readingLines({ assumed }: SeenLogger, stated: FirstSite['stated']): string[] {
  const order = /^(day|month)-first/.exec(assumed?.time ?? '')?.[0];
  const hints = {
    ...(order === undefined ? {} : { date_order: order }),
    ...(assumed?.temperature_unit === 'degF' || assumed?.temperature_unit === 'K'
      ? { temperature_unit: assumed.temperature_unit }
      : {}),
    ...stated,
  };
  const lines = Object.entries(hints).map(([key, value]) => line({ [key]: value }));
  if (lines.length === 0) return [];
  return ['', '[logger.reading]', '# How its files are written, for those that do not tell.', ...lines];
}

/** Suggestions stand once, with the first of the loggers. */
function surfaceLines(logger: SeenLogger, all: readonly SeenLogger[]): string[] {
  const measured = logger.surfaceColumns.flatMap((column) => [
    '',
    '# A column that sounds like the temperature of a surface.',
    '[[logger.surface]]',
    '# What results call it.',
    line({ name: column.trim() }),
    line({ model: 'measured' }),
    line({ column }),
  ]);
  const outside = all[1];
  const between =
    outside === undefined
      ? []
      : [
          '# The inner side of an outer wall, between the air of two loggers (ISO 13788; 1 is the air beside it):',
          ...suggested('outer wall', { model: 'between', outside: outside.id, temperature_factor: 0.7 }),
        ];
  if (logger !== all[0]) return [...measured, '', '# Its surfaces: as suggested for the first logger.'];
  return [
    ...measured,
    '',
    '# Things beside it that must not get wet, for "dewledger damp". Without any, it is a thing as warm as the air.',
    '# A heavy thing that follows the air: the time in which it makes up 63 % of a difference.',
    ...suggested('winch', { model: 'mass', time_constant: 'PT3H' }),
    '# Boards and beams, the same, with the moisture of their wood:',
    ...suggested('rafters', {
      model: 'mass',
      time_constant: 'PT2H',
      wood_thickness_mm: 25,
      wood_faces: 2,
    }),
    ...between,
    '# A roof under the open sky, cooler than the air at night (needs latitude_deg and longitude_deg above):',
    ...suggested('roof', { model: 'night-sky', drop_K: 4 }),
  ];
}

function suggested(name: string, keys: Readonly<Record<string, unknown>>): string[] {
  return [
    '#[[logger.surface]]',
    ...Object.entries({ name, ...keys }).map(([key, value]) => suggestion({ [key]: value })),
  ];
}

function line(entry: Readonly<Record<string, unknown>>): string {
  return stringify(entry).trim();
}

function suggestion(entry: Readonly<Record<string, unknown>>): string {
  return `#${line(entry)}`;
}

/** A path as a glob that means just this file, from the folder of the site file on, with slashes everywhere. */
function globOf(path: string, folder: string): string {
  const from = relative(folder, path);
  // on another drive there is no way from here to there
  const portable = (isAbsolute(from) ? path : from).split(sep).join('/');
  return portable.replace(/[*?[\]{}!]/g, '\\$&');
}

/** `PT1H30M`; to the second. */
function isoDuration(duration: Milliseconds): string {
  const seconds = Math.round(duration / SECOND) * SECOND;
  const parts = [
    [Math.floor(seconds / HOUR), 'H'],
    [Math.floor((seconds % HOUR) / MINUTE), 'M'],
    [(seconds % MINUTE) / SECOND, 'S'],
  ] as const;
  const text = parts.map(([count, unit]) => (count > 0 ? `${count}${unit}` : '')).join('');
  return `PT${text === '' ? '1S' : text}`;
}

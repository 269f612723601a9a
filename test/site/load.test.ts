import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { NOTHING_STATED } from '../../src/audit/limits.js';
import { ASSUMED_TRAITS } from '../../src/damp/surface.js';
import { explain, InputError } from '../../src/errors.js';
import { loadSite, parseSite } from '../../src/site/load.js';
import { FULL_SITE } from './fullSite.js';

const HOUR = 3_600_000;

function mistakeIn(text: string): InputError {
  try {
    parseSite(text, 'club.toml');
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error('no mistake was found');
}

/** A logger with more lines; they begin at line 4. */
const logger = (lines: string) => `[[logger]]\nid = "boat-hall"\nfiles = []\n${lines}\n`;
/** A surface of a logger with more lines; they begin at line 6. */
const surface = (lines: string) => logger(`[[logger.surface]]\nname = "winch"\n${lines}`);

describe('parseSite on a full file', () => {
  const site = parseSite(FULL_SITE, '/club/dewledger.toml');
  const [hall, loft] = site.loggers;

  it('describes the place', () => {
    const { zone, loggers, ...rest } = site;
    expect(zone?.name).toBe('Europe/London');
    expect(loggers).toHaveLength(2);
    expect(rest).toEqual({
      file: '/club/dewledger.toml',
      place: 'Skerry Mere Rowing Club',
      altitude: 62,
      pressure: null,
      position: { latitude: 54.4, longitude: -3 },
      limits: { airTemperature: [-60, 50], relativeHumidity: [0, 103] },
      ownLimits: NOTHING_STATED,
    });
  });

  it('describes a logger in our units, its own limits over those of the site', () => {
    const { zone, ...rest } = hall!;
    expect(zone?.name).toBe('UTC');
    expect(rest).toEqual({
      id: 'boat-hall',
      name: 'Boat hall, north wall',
      files: ['boat-hall*.csv'],
      cadence: HOUR / 2,
      bridge: HOUR,
      heartbeats: [],
      heartbeatCadence: null,
      limits: { airTemperature: [-30, 45], relativeHumidity: [0, 103] },
      ownLimits: NOTHING_STATED,
      accuracy: { temperature: 0.3, humidity: 2 },
      accuracySource: 'site',
      sensorRange: { airTemperature: [-40, 80], relativeHumidity: [0, 100] },
      reading: {
        timeColumn: 'recorded_at',
        temperatureColumn: 'temp',
        humidityColumn: 'hum',
        loggerColumn: 'device',
        temperatureUnit: 'degF',
        dateOrder: 'day-first',
        delimiter: ';',
        decimal: ',',
      },
      surfaces: [
        { name: 'slipway winch', model: 'mass', timeConstant: 3 * HOUR, ...ASSUMED_TRAITS },
        { name: 'air', model: 'air', ...ASSUMED_TRAITS },
      ],
    });
  });

  it('fills what a logger leaves out', () => {
    expect(loft).toEqual({
      id: 'sail-loft',
      name: null,
      files: [],
      cadence: null,
      zone: null,
      bridge: null,
      heartbeats: [],
      heartbeatCadence: null,
      limits: { airTemperature: [-60, 50], relativeHumidity: [0, 103] },
      ownLimits: NOTHING_STATED,
      accuracy: { temperature: 0.2, humidity: 3 },
      accuracySource: 'assumed',
      sensorRange: { airTemperature: null, relativeHumidity: null },
      reading: {
        timeColumn: null,
        temperatureColumn: null,
        humidityColumn: null,
        loggerColumn: null,
        temperatureUnit: null,
        dateOrder: null,
        delimiter: null,
        decimal: null,
      },
      surfaces: [{ name: 'air', model: 'air', ...ASSUMED_TRAITS }],
    });
  });
});

it('takes an empty file for a site of which nothing is known', () => {
  expect(parseSite('', 'club.toml')).toEqual({
    file: 'club.toml',
    place: null,
    zone: null,
    altitude: null,
    pressure: null,
    position: null,
    limits: { airTemperature: null, relativeHumidity: null },
    ownLimits: NOTHING_STATED,
    loggers: [],
  });
});

it.each([
  { text: 'pressure_hPa = 1008', pressure: 1008, altitude: null },
  { text: 'altitude_m = -500', pressure: null, altitude: -500 },
  { text: 'altitude_m = 9000', pressure: null, altitude: 9000 },
  { text: 'pressure_hPa = 300.0', pressure: 300, altitude: null },
  { text: 'pressure_hPa = 1100', pressure: 1100, altitude: null },
])('$text is allowed', ({ text, pressure, altitude }) => {
  expect(parseSite(text, 'club.toml')).toMatchObject({ pressure, altitude });
});

describe('one message, at the right line, about', () => {
  it.each([
    {
      why: 'a slip of syntax',
      text: 'place = "Club"\nzone = Europe/London\n',
      says:
        'club.toml:2:8: this is not TOML, invalid value: zone = Europe/London\n' +
        '  a line is key = value, [table] or [[list of tables]]; text stands in "quotes", each key once',
    },
    {
      why: 'a key that stands twice',
      text: 'altitude_m = 1\naltitude_m = 2\n',
      says:
        'club.toml:2:1: this is not TOML, trying to redefine an already defined table or value: altitude_m = 2\n' +
        '  a line is key = value, [table] or [[list of tables]]; text stands in "quotes", each key once',
    },
    {
      why: 'an unknown key, near to a known one',
      text: logger('cadense = "PT30M"'),
      says: 'club.toml:4:1: logger[1].cadense is not a known key\n  did you mean cadence?',
    },
    {
      why: 'an unknown key that lacks its unit',
      text: '# here\n  altitude = 62\n',
      says: 'club.toml:2:3: altitude is not a known key\n  did you mean altitude_m?',
    },
    {
      why: 'an unknown key that could be either of two',
      text: logger('sensor.relative_humidity = 2'),
      says:
        'club.toml:4:1: logger[1].sensor.relative_humidity is not a known key\n' +
        '  did you mean relative_humidity_accuracy_pct or relative_humidity_range_pct?',
    },
    {
      why: 'a key after the header of another table',
      text: '[limits]\naltitude_m = 62\n',
      says:
        'club.toml:2:1: limits.altitude_m is not a known key\n' +
        '  altitude_m belongs in the top part, before the first [table]',
    },
    {
      why: 'a key of a logger or a surface in another table of the logger',
      text: logger('[logger.sensor]\nname = "loft"'),
      says:
        'club.toml:5:1: logger[1].sensor.name is not a known key\n' +
        '  name belongs in [[logger]] or [[logger.surface]]',
    },
    {
      why: 'a key near to nothing',
      text: '[limits]\nwatchdog = 1\n',
      says:
        'club.toml:2:1: limits.watchdog is not a known key\n' +
        '  known here: air_temperature_degC, relative_humidity_pct, spike, rate_of_change, flat_line, saturation',
    },
    {
      why: 'a misspelt key rather than the one it leaves missing',
      text: '[[logger]]\nidd = "boat-hall"\nfiles = []\n',
      says: 'club.toml:2:1: logger[1].idd is not a known key\n  did you mean id?',
    },
    {
      why: 'a key that every object has by birth',
      text: 'toString = 1\n',
      says:
        'club.toml:1:1: toString is not a known key\n' +
        '  known here: place, zone, altitude_m, pressure_hPa, latitude_deg, longitude_deg, limits, logger',
    },
    {
      why: 'a table that is not known',
      text: 'place = "Club"\n\n[heating]\npump = 1\n',
      says:
        'club.toml:3:1: heating is not a known key\n' +
        '  known here: place, zone, altitude_m, pressure_hPa, latitude_deg, longitude_deg, limits, logger',
    },
    {
      why: 'a logger without id, at its header',
      text: `${logger('')}\n[[logger]]\nfiles = []\n`,
      says: 'club.toml:6:1: logger[2].id is missing\n  add a line such as id = "boat-hall"',
    },
    {
      why: 'a logger without files',
      text: '[[logger]]\nid = "boat-hall"\n',
      says:
        'club.toml:1:1: logger[1].files is missing\n' +
        '  add a line such as files = ["boat-hall*.csv"], or files = [] if it has no files',
    },
    {
      why: 'a number in quotes',
      text: 'altitude_m = "62"\n',
      says: 'club.toml:1:1: altitude_m must be a number from -500 to 9000 m: "62"',
    },
    {
      why: 'an altitude under the deepest valley',
      text: 'altitude_m = -500.1\n',
      says: 'club.toml:1:1: altitude_m must be a number from -500 to 9000 m: -500.1',
    },
    {
      why: 'an altitude over the highest peak',
      text: 'altitude_m = 9001\n',
      says: 'club.toml:1:1: altitude_m must be a number from -500 to 9000 m: 9001',
    },
    {
      why: 'a pressure in another unit',
      text: 'pressure_hPa = 29.9\n',
      says: 'club.toml:1:1: pressure_hPa must be a number from 300 to 1100 hPa: 29.9',
    },
    {
      why: 'a pressure in Pa',
      text: 'pressure_hPa = 101_325\n',
      says: 'club.toml:1:1: pressure_hPa must be a number from 300 to 1100 hPa: 101325',
    },
    {
      why: 'a number that is none',
      text: 'altitude_m = nan\n',
      says: 'club.toml:1:1: altitude_m must be a number from -500 to 9000 m: NaN',
    },
    {
      why: 'altitude and pressure together',
      text: 'altitude_m = 62\npressure_hPa = 1008\n',
      says:
        'club.toml:2:1: pressure_hPa cannot stand beside altitude_m: 1008\n' +
        '  the one is worked out from the other: keep the one you know better',
    },
    {
      why: 'a latitude alone',
      text: 'latitude_deg = 54.4\n',
      says: 'club.toml:1:1: latitude_deg needs longitude_deg beside it: 54.4',
    },
    {
      why: 'a longitude alone',
      text: 'longitude_deg = -3\n',
      says: 'club.toml:1:1: longitude_deg needs latitude_deg beside it: -3',
    },
    {
      why: 'a latitude off the globe',
      text: 'latitude_deg = 91\nlongitude_deg = 0\n',
      says: 'club.toml:1:1: latitude_deg must be a number from -90 to 90 degrees: 91',
    },
    {
      why: 'limits in the wrong order',
      text: '[limits]\nair_temperature_degC = [60, -80]\n',
      says: 'club.toml:2:1: limits.air_temperature_degC must be two numbers, the lesser first, as in [-40, 80]: [60, -80]',
    },
    {
      why: 'a range without width',
      text: logger('[logger.sensor]\nrelative_humidity_range_pct = [50, 50]'),
      says:
        'club.toml:5:1: logger[1].sensor.relative_humidity_range_pct must be two numbers, ' +
        'the lesser first, as in [-40, 80]: [50, 50]',
    },
    {
      why: 'a range with one end',
      text: 'limits.relative_humidity_pct = [0]\n',
      says: 'club.toml:1:1: limits.relative_humidity_pct must be two numbers, the lesser first, as in [-40, 80]: [0]',
    },
    {
      why: 'an endless range',
      text: 'limits.relative_humidity_pct = [0, inf]\n',
      says:
        'club.toml:1:1: limits.relative_humidity_pct must be two numbers, the lesser first, ' +
        'as in [-40, 80]: [0, Infinity]',
    },
    {
      why: 'a negative accuracy, in the second logger',
      text: `${logger('')}${logger('[logger.sensor]\nair_temperature_accuracy_K = -0.5').replace('boat', 'oar')}`,
      says: 'club.toml:9:1: logger[2].sensor.air_temperature_accuracy_K must be a number of kelvins, 0 or more: -0.5',
    },
    {
      why: 'an endless accuracy',
      text: logger('sensor.relative_humidity_accuracy_pct = inf'),
      says:
        'club.toml:4:1: logger[1].sensor.relative_humidity_accuracy_pct must be a number of percent, ' +
        '0 or more: Infinity',
    },
    {
      why: 'an id that stands twice',
      text: `${logger('')}\n${logger('')}`,
      says: 'club.toml:7:1: logger[2].id is the same as logger[1].id: "boat-hall"',
    },
    {
      why: 'a blank id',
      text: '[[logger]]\nid = " "\nfiles = []\n',
      says: 'club.toml:2:1: logger[1].id must not be blank: " "',
    },
    {
      why: 'a surface that stands twice',
      text: surface('model = "air"\n[[logger.surface]]\nname = "winch"\nmodel = "air"'),
      says: 'club.toml:8:1: logger[1].surface[2].name is the same as logger[1].surface[1].name: "winch"',
    },
    {
      why: 'a model that there is not',
      text: surface('model = "stone"'),
      says:
        'club.toml:6:1: logger[1].surface[1].model must be ' +
        '"air", "mass", "measured", "between" or "night-sky": "stone"',
    },
    {
      why: 'a surface without model',
      text: surface(''),
      says:
        'club.toml:4:1: logger[1].surface[1].model is missing\n' +
        '  add a line such as model = "air"; there are air, mass, measured, between, night-sky',
    },
    {
      why: 'a time constant of nothing',
      text: surface('model = "mass"\ntime_constant = "PT0S"'),
      says: 'club.toml:7:1: logger[1].surface[1].time_constant must be longer than nothing: "PT0S"',
    },
    {
      why: 'one mark for two jobs',
      text: logger('[logger.reading]\ndelimiter = ","\ndecimal = ","'),
      says: 'club.toml:6:1: logger[1].reading.decimal cannot be the delimiter too: ","',
    },
    {
      why: 'a delimiter that is none',
      text: logger('[logger.reading]\ndelimiter = "comma"'),
      says: 'club.toml:5:1: logger[1].reading.delimiter must be ",", ";", "\\t", "|" or " ": "comma"',
    },
    {
      why: 'a single table where a list belongs',
      text: '[logger]\nid = "boat-hall"\nfiles = []\n',
      says:
        'club.toml:1:1: logger must be a list of tables, each under a line [[logger]]: ' +
        '{ id = "boat-hall", files = [] }',
    },
    {
      why: 'a list where a table belongs',
      text: logger('[[logger.sensor]]\nair_temperature_accuracy_K = 1'),
      says: 'club.toml:4:1: logger[1].sensor must be a table: [{ air_temperature_accuracy_K = 1 }]',
    },
    {
      why: 'a date where a table belongs',
      text: 'limits = 2025-10-01T00:00:00Z\n',
      says: 'club.toml:1:1: limits must be a table: 2025-10-01T00:00:00.000Z',
    },
    {
      why: 'files that are not a list',
      text: '[[logger]]\nid = "boat-hall"\nfiles = "boat-hall.csv"\n',
      says:
        'club.toml:3:1: logger[1].files must be a list of file names or globs, as in ["boat-hall*.csv"]: ' +
        '"boat-hall.csv"',
    },
    {
      why: 'one file of several, at its own line',
      text: '[[logger]]\nid = "boat-hall"\nfiles = [\n  "a.csv",\n  7,\n]\n',
      says: 'club.toml:5:3: logger[1].files[2] must be text in quotes: 7',
    },
  ])('$why', ({ text, says }) => {
    expect(explain(mistakeIn(text))).toBe(says);
  });

  it.each([
    { key: 'zone', text: 'zone = "Europe/Londn"', starts: 'club.toml:1:1: zone is wrong: ' },
    {
      key: 'zone of a logger',
      text: logger('zone = "nowhere"'),
      starts: 'club.toml:4:1: logger[1].zone is wrong: ',
    },
    {
      key: 'cadence',
      text: logger('cadence = "30 min"'),
      starts: 'club.toml:4:1: logger[1].cadence is wrong: ',
    },
    { key: 'bridge', text: logger('bridge = "P1M"'), starts: 'club.toml:4:1: logger[1].bridge is wrong: ' },
    {
      key: 'time constant',
      text: surface('model = "mass"\ntime_constant = "3h"'),
      starts: 'club.toml:7:1: logger[1].surface[1].time_constant is wrong: ',
    },
  ])('a $key that names nothing, with the advice of who reads it', ({ text, starts }) => {
    const error = mistakeIn(text);
    expect(explain(error).slice(0, starts.length)).toBe(starts);
    expect(error.place.text).toMatch(/^".+"$/);
    expect(error.advice).toBeTruthy();
  });

  it('a key inside an inline table', () => {
    const { place } = mistakeIn('zone = "UTC"\nlogger = [\n  { id = "a", files = [], cadence = 30 },\n]\n');
    expect(place).toMatchObject({ line: 3, column: 27 });
  });
});

describe('hostile content', () => {
  it('is kept as the text it is', () => {
    const id = '"><script>alert(1)</script>';
    const name = '\u001b[31mred\u0007 __proto__';
    const text = `[[logger]]\nid = '${id}'\nname = "\\u001b[31mred\\u0007 __proto__"\nfiles = []\n`;
    expect(parseSite(text, 'club.toml').loggers[0]).toMatchObject({ id, name });
  });

  it('reaches a message with its control characters shown', () => {
    const twice = '[[logger]]\nid = "\\u001b[2J\\n"\nfiles = []\n';
    expect(explain(mistakeIn(twice + twice))).toBe(
      'club.toml:5:1: logger[2].id is the same as logger[1].id: "\\x1b[2J\\x0a"',
    );
    expect(explain(mistakeIn('"\\u001b[2J" = 1\n')).split('\n')[0]).toBe(
      'club.toml:1:1: "\\x1b[2J" is not a known key',
    );
    expect(explain(mistakeIn('limits = { "\\u001b" = 1 }\n'))).not.toContain('\u001b');
  });

  it('cannot reach the prototype of anything', () => {
    expect(mistakeIn('[__proto__]\nplace = "x"\n').message).toBe('__proto__ is not a known key');
    expect(mistakeIn('[limits.__proto__]\nx = 1\n').message).toBe('limits.__proto__ is not a known key');
    expect(Object.hasOwn(Object.prototype, 'place')).toBe(false);
  });
});

describe('loadSite', () => {
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'site-'));
  });
  afterAll(() => rm(folder, { recursive: true }));

  const refusal = (path: string) =>
    loadSite(path).then(
      () => null,
      (error: unknown) => (error instanceof InputError ? error.message : error),
    );

  it('reads a file, with a byte order mark too', async () => {
    const path = join(folder, 'marked.toml');
    await writeFile(path, '\ufeffplace = "Bootshaus am See, Tür 2"\r\n');
    expect(await loadSite(path)).toMatchObject({ file: path, place: 'Bootshaus am See, Tür 2' });
  });

  it('tells line and column in a file with a byte order mark', async () => {
    const path = join(folder, 'wrong.toml');
    await writeFile(path, '\ufeffplace = 1\r\n');
    await expect(loadSite(path)).rejects.toMatchObject({
      place: { file: path, line: 1, column: 1, text: '1' },
    });
  });

  it('refuses what is not UTF-8', async () => {
    const path = join(folder, 'latin.toml');
    await writeFile(path, Buffer.from('place = "T\xfcr"', 'latin1'));
    expect(await refusal(path)).toBe('the site file is not UTF-8 text');
  });

  it('refuses a missing file and a folder', async () => {
    expect(await refusal(join(folder, 'none.toml'))).toBe(
      'the site file cannot be read: there is no such file',
    );
    expect(await refusal(folder)).toBe('the site file cannot be read: this is a folder');
  });
});

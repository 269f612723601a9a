import { parseOffset } from '../calendar/zone.js';
import type { Milliseconds } from '../units.js';

/** What a heading says that its column holds. */
export interface HeadingMeaning {
  readonly role: 'time' | 'date' | 'clock' | 'temperature' | 'humidity' | 'logger' | null;
  /** Unit that the heading names. */
  readonly unit: 'degC' | 'degF' | 'K' | 'pct' | 'fraction' | null;
  /** Offset from UTC that stamps are said to have; null where nothing is said. */
  readonly offset: Milliseconds | null;
  /** Words of the heading other than those of its role and unit: what tells `T1` from `T2`. */
  readonly rest: string;
}

// The words that people and database schemas use for these columns, in the languages of the trade's
// users (common practice, no source). All in lower case without accents.
const TIME = words(
  'time timestamp datetime ts stamp recorded measured observed sampled created received inserted logged at when zeit zeitpunkt zeitstempel heure horodatage momento tijd tijdstip tidspunkt tid aika utc gmt epoch hora ora',
);
const DATE = words('date day datum tag jour fecha data dato dag');
const CLOCK = words('clock uhrzeit uhr');
const TEMPERATURE = words(
  'temp temps temperature temperatur temperatura temperatuur tempc tempf t ta tair tmp lufttemperatur aussentemperatur innentemperatur lampotila',
);
const HUMIDITY = words(
  'hum humid humidity h rh hr rf ur relhum luftfeuchte luftfeuchtigkeit feuchte feuchtigkeit humidite humedad umidita umidade umidade luchtvochtigheid vochtigheid luftfuktighet fuktighet kosteus',
);
const LOGGER = words(
  'logger device sensor station node origin location room place name host mac probe channel topic entity deviceid sensorid loggerid nodeid geraet gerat standort raum capteur lieu sonda luogo',
);
/** A column with one of these is another quantity, or no reading at all. */
const OTHER = words(
  'dew dewp dewpt dewpoint tdew tdewpoint frost point wet bulb heat index humidex feels apparent wind chill set setpoint target min max minimum maximum avg mean std ratio absolute abs specific mixing deficit soil water cpu chip board internal surface battery rssi voltage flag quality status taupunkt rosee rocio id uptime light lux pressure press error',
);
const FAHRENHEIT = words('f degf fahrenheit');
const CELSIUS = words('c degc celsius celcius');
const KELVIN = words('k kelvin');
const PERCENT = words('pct percent prozent');
const FILLER = words(
  'air luft rel relative relativ relativa relatieve the of in deg degree degrees reading value',
);

/**
 * What a heading means, by its words.
 *
 * @param heading as people read it, in any case and writing (`airTemp`, `RH_1`, `Temperatur [°C]`)
 */
export function meaningOf(heading: string): HeadingMeaning {
  const unit = unitOf(heading);
  const parts = partsOf(heading);
  const known = parts.filter((part) => OTHER.has(part));
  const has = (list: ReadonlySet<string>) => parts.some((part) => list.has(part));
  const isLogger = has(LOGGER) && parts.every((part) => LOGGER.has(part) || part === 'id');
  let role: HeadingMeaning['role'] = null;
  let spent: ReadonlySet<string> = new Set();
  if (isLogger) [role, spent] = ['logger', LOGGER];
  else if (known.length === 0) {
    if (has(TEMPERATURE)) [role, spent] = ['temperature', TEMPERATURE];
    else if (has(HUMIDITY)) [role, spent] = ['humidity', HUMIDITY];
    else if (has(CLOCK)) [role, spent] = ['clock', CLOCK];
    else if (has(TIME)) [role, spent] = ['time', TIME];
    else if (has(DATE)) [role, spent] = ['date', DATE];
    else if (has(LOGGER)) [role, spent] = ['logger', LOGGER];
  }
  const rest = parts
    .filter((part) => !spent.has(part) && !FILLER.has(part) && !UNIT_WORDS.has(part))
    .join(' ');
  return { role, unit: unitFor(role, unit), offset: offsetOf(heading), rest };
}

const UNIT_WORDS = new Set([...CELSIUS, ...FAHRENHEIT, ...KELVIN, ...PERCENT]);

function words(list: string): ReadonlySet<string> {
  return new Set(list.split(' '));
}

/** Lower case, without accents, cut at everything that is no letter or digit, at aB, and between letters and digits. */
function partsOf(heading: string): string[] {
  return heading
    .replace(/[[(].*?[\])]/g, ' ')
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/([a-z])(\d)/g, '$1 $2')
    .replace(/(\d)([a-z])/g, '$1 $2')
    .split(/[^\p{L}\d]+/u)
    .filter((part) => part !== '');
}

function unitOf(heading: string): HeadingMeaning['unit'] {
  if (/°\s*F|º\s*F|℉/i.test(heading)) return 'degF';
  if (/°\s*C|º\s*C|℃/i.test(heading)) return 'degC';
  if (heading.includes('%')) return 'pct';
  const bracket = /[[(]\s*(.*?)\s*[\])]/.exec(heading)?.[1]?.toLowerCase();
  const last = bracket ?? partsOf(heading).at(-1) ?? '';
  if (FAHRENHEIT.has(last)) return 'degF';
  if (CELSIUS.has(last)) return 'degC';
  if (KELVIN.has(last)) return 'K';
  if (PERCENT.has(last)) return 'pct';
  if (partsOf(heading).some((part) => part === 'tempf')) return 'degF';
  if (partsOf(heading).some((part) => part === 'tempc')) return 'degC';
  return null;
}

const IN_UTC = /(?<![a-z])(?:utc|gmt)(?![a-z])\s*([+-]\s*\d{1,2}(?::?\d\d)?)?/i;

/** The offset that a heading names: `time_utc`, `Time (UTC)`, `Date Time, GMT+01:00`. */
function offsetOf(heading: string): Milliseconds | null {
  const match = IN_UTC.exec(heading.replace(/([a-z])([A-Z])/g, '$1 $2'));
  if (match === null) return null;
  const offset = parseOffset(match[1]?.replace(/\s/g, '') ?? '+0');
  return Number.isNaN(offset) ? null : offset;
}

function unitFor(role: HeadingMeaning['role'], unit: HeadingMeaning['unit']): HeadingMeaning['unit'] {
  if (role === 'temperature') return unit === 'degC' || unit === 'degF' || unit === 'K' ? unit : null;
  if (role === 'humidity') return unit === 'pct' || unit === 'fraction' ? unit : null;
  return null;
}

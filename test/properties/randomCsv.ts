import fc from 'fast-check';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const DAY = 24 * HOUR;

export const ZONES = [
  'UTC',
  'Europe/London',
  'America/New_York',
  // changes by half an hour
  'Australia/Lord_Howe',
  '+05:45',
] as const;

/** Instants around which something happens to clocks: ends and starts of daylight saving in the zones above. */
const TURNS = [
  '2025-03-30T01:00:00Z',
  '2025-10-26T01:00:00Z',
  '2025-03-09T07:00:00Z',
  '2025-11-02T06:00:00Z',
  '2025-04-05T15:00:00Z',
  '2025-10-04T15:30:00Z',
  '2024-12-31T23:00:00Z',
  '2024-02-29T12:00:00Z',
].map((text) => Date.parse(text));

/** How the stamps are written. All but `local` say themselves what instant they mean. */
export type Stamps = 'utc' | 'offset' | 'epoch' | 'local';

export interface RandomCsv {
  readonly zone: string;
  readonly header: string;
  /** Lines below the header, damaged ones among them. */
  readonly lines: readonly string[];
}

export const textOf = ({ header, lines }: Pick<RandomCsv, 'header' | 'lines'>) =>
  [header, ...lines, ''].join('\n');

interface Dialect {
  readonly delimiter: string;
  readonly decimal: string;
}

const dialects: readonly Dialect[] = [
  { delimiter: ',', decimal: '.' },
  { delimiter: ';', decimal: ',' },
  { delimiter: '\t', decimal: '.' },
];

/** What befalls a reading on its way into the file. */
const mishap = fc.oneof(
  { arbitrary: fc.constant('none' as const), weight: 60 },
  { arbitrary: fc.constant('conflict' as const), weight: 6 },
  {
    arbitrary: fc.constantFrom(
      'lost' as const,
      'hours lost' as const,
      'twice' as const,
      'no temperature' as const,
      'no humidity' as const,
      'word' as const,
      'sentinel' as const,
      'absurd' as const,
      'torn' as const,
      'noise' as const,
      'blank line' as const,
      'header again' as const,
      'late' as const,
    ),
    weight: 10,
  },
);

const reading = fc.record({
  // steady air as often as not: that is where equally near readings of one instant are to be met
  warmer: fc.oneof(fc.constant(0), fc.integer({ min: -8, max: 8 })),
  damper: fc.oneof(fc.constant(0), fc.integer({ min: -30, max: 30 })),
  wobble: fc.integer({ min: -4, max: 4 }),
  mishap,
});

/**
 * Logs of up to a few days, near saturation and around 0 °C as often as not, with every damage we could think of.
 *
 * @param conflicts whether an instant may have several readings that differ
 */
export function randomCsv(stamps: readonly Stamps[], conflicts = true): fc.Arbitrary<RandomCsv> {
  return fc
    .record({
      zone: fc.constantFrom(...ZONES),
      turn: fc.constantFrom(...TURNS),
      before: fc.integer({ min: 0, max: 40 }),
      cadence: fc.constantFrom(1, 5, 7, 10, 30, 60),
      jitter: fc.boolean(),
      style: fc.constantFrom(...stamps),
      dialect: fc.constantFrom(...dialects),
      temperature: fc.integer({ min: -60, max: 250 }),
      humidity: fc.integer({ min: 300, max: 1000 }),
      readings: fc.array(reading, { minLength: 12, maxLength: 150 }),
    })
    .map(({ zone, turn, before, cadence, jitter, style, dialect, readings, ...start }) => {
      const header = ['time', 'temperature_degC', 'humidity_pct'].join(dialect.delimiter);
      const lines: string[] = [];
      const late: string[] = [];
      let words = 0;
      let { temperature, humidity } = start;
      let time = turn - before * cadence * MINUTE;
      for (const { warmer, damper, wobble, mishap: what } of readings) {
        time += cadence * MINUTE;
        temperature = Math.max(-100, Math.min(350, temperature + warmer));
        humidity = Math.max(100, Math.min(1000, humidity + damper));
        const at = stampOf(jitter ? time + wobble * 1000 : time, style);
        const line = (t: string, u: string) => [at, t, u].join(dialect.delimiter);
        const t = tenths(temperature, dialect);
        const u = tenths(humidity, dialect);
        const whole = line(t, u);
        switch (what) {
          case 'lost':
            break;
          case 'hours lost':
            time += (3 + (warmer + 8)) * HOUR;
            lines.push(whole);
            break;
          case 'twice':
            lines.push(whole, whole);
            break;
          case 'conflict':
            if (!conflicts) break;
            lines.push(line(tenths(temperature - 5, dialect), u), line(tenths(temperature + 5, dialect), u));
            break;
          case 'no temperature':
            lines.push(line('', u));
            break;
          case 'no humidity':
            lines.push(line(t, 'NaN'));
            break;
          case 'word':
            // a column that holds words more often is none of numbers
            lines.push(words * 10 < lines.length ? line(t, 'wet') : whole);
            words++;
            break;
          case 'sentinel':
            lines.push(line('-999', u));
            break;
          case 'absurd':
            lines.push(line(t, '131'));
            break;
          case 'torn':
            lines.push(whole.slice(0, at.length - 3));
            break;
          case 'noise':
            lines.push('### restarted');
            break;
          case 'blank line':
            lines.push('', whole);
            break;
          case 'header again':
            lines.push(header, whole);
            break;
          case 'late':
            late.push(whole);
            break;
          default:
            lines.push(whole);
        }
        if (late.length > 3) lines.push(...late.splice(0));
      }
      return { zone, header, lines: [...lines, ...late] };
    });
}

function tenths(value: number, { decimal }: Dialect): string {
  return (value / 10).toFixed(1).replace('.', decimal);
}

function stampOf(instant: number, style: Stamps): string {
  const utc = new Date(instant).toISOString().slice(0, 19);
  if (style === 'utc') return `${utc}Z`;
  if (style === 'epoch') return String(instant / 1000);
  if (style === 'local') return utc.replace('T', ' ');
  return `${new Date(instant + 2 * HOUR).toISOString().slice(0, 19)}+02:00`;
}

export const lengthOf = (period: { period_start: string; period_end: string }) =>
  (Date.parse(period.period_end) - Date.parse(period.period_start)) / HOUR;

export const daysBetween = (from: string, until: string) => (Date.parse(until) - Date.parse(from)) / DAY;

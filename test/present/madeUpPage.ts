import type { DayCalendar, Document, Grid, LineChart, Span, StripChart } from '../../src/report/document.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';

/** Midnight of the first of October 2025 by the clocks of London [ms since 1970 UTC]. */
export const FROM = Date.UTC(2025, 8, 30, 23);
/** Midnight of the first of November: the month has 31 days and an hour. */
export const UNTIL = Date.UTC(2025, 10, 1);

/** What markup, terminals and the direction of writing can be upset by. */
export const HOSTILE = `"><script>alert('1')</script>&amp; \u001b[31mred\u001b[0m \u202eback`;

const axis = {
  from: FROM,
  until: UNTIL,
  ticks: Array.from({ length: 31 }, (_, i) => ({
    at: Date.UTC(2025, 9, i + 1) - (i < 26 ? HOUR : 0),
    label: i === 0 ? '1 Oct' : String(i + 1),
  })),
};

/** A wave a day on a slow one, with a little noise; the same at every run. */
export function course(cadence: number, mean: number, swing: number, lag = 0): LineChart['lines'][number] {
  const rows = Math.floor((UNTIL - FROM) / cadence);
  const time = Float64Array.from({ length: rows }, (_, i) => FROM + i * cadence);
  const values = time.map((at, i) => {
    const days = (at - FROM) / DAY;
    const slow = Math.sin(days / 4.3 + lag) * swing * 0.8;
    const noise = ((i * 7919) % 13) / 13 - 0.5;
    return mean + slow + Math.sin((days - 0.4) * 2 * Math.PI) * swing * (0.6 + 0.4 * Math.sin(days)) + noise;
  });
  return { name: '', time, values };
}

const nights: Span[] = Array.from({ length: 14 }, (_, i) => ({
  from: FROM + (i * 2 + 3) * DAY + HOUR * (i % 4),
  until: FROM + (i * 2 + 3) * DAY + HOUR * (4 + (i % 5)),
}));
const lost: Span[] = [
  { from: FROM + 11.2 * DAY, until: FROM + 12.9 * DAY },
  { from: FROM + 24.5 * DAY, until: FROM + 24.6 * DAY },
];

function blanked(line: LineChart['lines'][number], name: string): LineChart['lines'][number] {
  const values = line.values.map((value, i) =>
    lost.some(({ from, until }) => line.time[i]! >= from && line.time[i]! < until) ? Number.NaN : value,
  );
  return { ...line, name, values };
}

export function airChart(name: string, cadence: number, mean: number): LineChart {
  return {
    kind: 'lines',
    title: `Air temperature and dew point in ${name}`,
    words: 'Between 1.4 °C (27 October, 06:10) and 16.9 °C (3 October, 14:30); condensation on 14 nights.',
    unit: '°C',
    axis,
    lines: [
      blanked(course(cadence, mean, 4), 'air'),
      blanked(course(cadence, mean - 3, 1.5, 1), 'dew point'),
    ],
    bands: [{ name: 'condensation on the hull', tone: 'caution', spans: nights }],
    unknown: lost,
  };
}

export function humidityChart(name: string, cadence: number): LineChart {
  const line = blanked(course(cadence, 80, 15, 2), 'relative humidity');
  return {
    kind: 'lines',
    title: `Relative humidity in ${name}`,
    words: 'Between 52 and 100 %.',
    unit: '%',
    axis,
    lines: [{ ...line, values: line.values.map((value) => Math.min(100, value)) }],
    bands: [],
    unknown: lost,
  };
}

export const strips: StripChart = {
  kind: 'strips',
  title: 'What the loggers did',
  words: 'boat-hall was silent for 1 d 17 h from 12 October; the others read all the month.',
  axis,
  states: [
    { key: 'reading', name: 'reading', tone: 'good' },
    { key: 'late', name: 'late', tone: 'note' },
    { key: 'faulty', name: 'faulty', tone: 'caution' },
    { key: 'silent', name: 'silent', tone: 'alarm' },
    { key: 'unknown', name: 'not known', tone: 'unknown' },
  ],
  strips: ['boat-hall', 'sail-loft', 'battery-locker'].map((name, i) => ({
    name,
    spans: [
      { from: FROM, until: FROM + (9 + i) * DAY, state: 'reading' },
      { from: FROM + (9 + i) * DAY, until: FROM + (10 + i) * DAY, state: 'late' },
      { from: FROM + (10 + i) * DAY, until: FROM + 16 * DAY, state: 'reading' },
      { from: FROM + 16 * DAY, until: FROM + (17.7 - i * 0.8) * DAY, state: 'silent' },
      { from: FROM + (17.7 - i * 0.8) * DAY, until: FROM + 22 * DAY, state: 'reading' },
      { from: FROM + 22 * DAY, until: FROM + (23 + i) * DAY, state: 'faulty' },
      { from: FROM + (23 + i) * DAY, until: UNTIL - i * DAY, state: 'reading' },
      { from: UNTIL - i * DAY, until: UNTIL, state: 'unknown' },
    ],
  })),
};

export const calendar: DayCalendar = {
  kind: 'calendar',
  title: 'Days of October',
  words: 'Condensation on 14 days, most on the 27th with 9.5 h; two days are not wholly known.',
  meaning: 'share of the day with condensation on the hull',
  days: Array.from({ length: 31 }, (_, i) => {
    const hours = i % 2 === 1 ? (i % 9) + 0.5 : 0;
    const known = i === 11 ? 0.2 : i === 12 ? 0.55 : 1;
    return {
      date: `2025-10-${String(i + 1).padStart(2, '0')}`,
      weekday: ((i + 2) % 7) + 1,
      lines: [`${(4 + (i % 5)).toFixed(1)} to ${(11 + (i % 6)).toFixed(1)} °C`, `${hours.toFixed(1)} h wet`],
      share: i === 20 ? null : hours / 24,
      known: i === 20 ? 0 : known,
    };
  }),
};

const days: Grid = {
  kind: 'grid',
  caption: 'Extremes and condensation by day, in local time',
  columns: [
    { heading: 'day', align: 'left' },
    { heading: 'lowest [°C]', align: 'right' },
    { heading: 'highest [°C]', align: 'right' },
    { heading: 'mean [°C]', align: 'right' },
    { heading: 'condensation, certain [h]', align: 'right' },
    { heading: 'condensation, expected [h]', align: 'right' },
    { heading: 'condensation, possible [h]', align: 'right' },
    { heading: 'not known [h]', align: 'right' },
  ],
  rows: calendar.days.map(({ date }, i) => [
    date,
    `${4 + (i % 5)}.0`,
    '14.2',
    '9.1',
    '0.0',
    '2.5',
    '4.0',
    '0.0',
  ]),
};

/** A page with every kind of part, as a month of three loggers could give it. */
export const madeUpPage: Document = {
  title: 'Skerry Mere Rowing Club',
  subtitle: 'October 2025, from 1 October 00:00 to 1 November 00:00, Europe/London',
  parts: [
    {
      kind: 'verdict',
      tone: 'alarm',
      text: 'boat-hall has been silent since 30 October, 14:05, and water stood on the hull for 61 h on 14 nights.',
    },
    {
      kind: 'items',
      items: [
        {
          tone: 'alarm',
          text: 'boat-hall sends nothing.',
          more: 'Last heartbeat 30 October, 14:05. Look at its supply.',
        },
        {
          tone: 'caution',
          text: 'Humidity of sail-loft stays at 99.9 % for 31 h.',
          more: 'Seen by: saturation.',
        },
        { tone: 'note', text: 'The clocks went back on 26 October; the repeated hour is in order.' },
        { tone: 'unknown', text: `What ${HOSTILE} did is not known.` },
      ],
    },
    {
      kind: 'section',
      id: 'figures',
      title: 'The month in figures',
      parts: [
        {
          kind: 'facts',
          facts: [
            { name: 'Coldest', value: '1.4 °C', more: 'boat-hall, 27 October, 06:10' },
            { name: 'Warmest', value: '16.9 °C', more: 'battery-locker, 3 October, 14:30' },
            {
              name: 'Condensation on the hull',
              value: '61 h',
              more: 'between 22 and 118 h',
              tone: 'caution',
            },
            { name: 'Readings kept', value: '98.4 %', tone: 'good' },
          ],
        },
        {
          kind: 'caution',
          text: 'Water and mains electricity do not mix: have a wet charger looked at before it is used.',
        },
      ],
    },
    {
      kind: 'section',
      id: 'loggers',
      title: 'Loggers',
      parts: [
        strips,
        {
          kind: 'paragraph',
          text: 'A reading is late when it comes more than half a cadence after its time.',
        },
      ],
    },
    {
      kind: 'section',
      id: 'air',
      title: 'Air and dew point',
      parts: [
        calendar,
        ...(
          [
            ['boat-hall', 30 * MINUTE, 9],
            ['sail-loft', 10 * MINUTE, 11],
            ['battery-locker', 5 * MINUTE, 12],
          ] as const
        ).map(([name, cadence, mean], i) => ({
          kind: 'section' as const,
          id: `air-${i + 1}`,
          title: name,
          parts: [airChart(name, cadence, mean), humidityChart(name, cadence)],
        })),
      ],
    },
    { kind: 'section', id: 'days', title: 'Day by day', folded: true, parts: [days] },
    {
      kind: 'section',
      id: 'made-of',
      title: 'What this page is made of',
      folded: true,
      parts: [
        { kind: 'paragraph', text: 'Between two good readings the value is taken to run straight.' },
        {
          kind: 'grid',
          caption: 'Logs',
          columns: [
            { heading: 'logger', align: 'left' },
            { heading: 'source', align: 'left' },
            { heading: 'readings', align: 'right' },
          ],
          rows: [['boat-hall', 'boat-hall.csv', '1486'], [HOSTILE, `${HOSTILE}.csv`, '0'], ['short']],
        },
      ],
    },
  ],
};

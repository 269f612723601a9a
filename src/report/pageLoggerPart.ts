import { CHECKS } from '../audit/checks.js';
import { HUMIDITY_SPAN } from '../audit/sensorRange.js';
import { formatDuration } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { fixed } from '../figures.js';
import type { CheckName } from '../log/finding.js';
import type { Range } from '../log/sensor.js';
import type { Outage } from '../outages/outage.js';
import type { QuantitySummary } from '../period/summary.js';
import { HOUR, type Milliseconds } from '../units.js';
import { DAMP_HEADINGS, dampCells, dampProse } from './dampReport.js';
import type { Facts, Grid, Items, Part, Section } from './document.js';
import type { Extreme } from './extremes.js';
import { ADVICE_HEADINGS, adviceCells, FINDING_HEADINGS, findingLines } from './findingsTable.js';
import { spellsInWords, wetInWords } from './needs.js';
import { outageCells, worstOutagesFirst } from './outagesReport.js';
import type { PageLogger } from './page.js';
import { dayCalendar, lineCharts } from './pageCharts.js';
import type { When } from './when.js';
import { inHours, percent } from './written.js';

/** Everything about one logger. */
export function loggerPart(
  logger: PageLogger,
  place: number,
  outages: readonly Outage[],
  when: When,
  zone: Zone,
): Section {
  const { id, logger: described, reading } = logger;
  const title = described.name === null ? id : `${id}: ${described.name}`;
  const parts: Part[] =
    reading.log.length === 0
      ? [{ kind: 'paragraph', text: 'No reading in this time.' }, ...outageParts(logger, outages, zone)]
      : [
          airFacts(logger, when),
          ...surfaceParts(logger, place, when, zone),
          ...outageParts(logger, outages, zone),
          ...lineCharts(logger, zone),
          ...calendarParts(logger, place, outages, zone),
          ...findingsPart(logger, place, zone),
        ];
  return { kind: 'section', id: `logger-${place}`, title, parts };
}

function airFacts({ whole, extremes, coverage, audit, logger }: PageLogger, when: When): Facts {
  const { airTemperature: air, relativeHumidity: damp, dewPointMean, frost, period, readings } = whole;
  const withheld = 'withheld: too much of the time is unknown';
  const { expected, observed, fraction, unknown } = coverage;
  return {
    kind: 'facts',
    facts: [
      { name: 'warmest', ...extremeInWords(extremes.warmest, air, 'max', when) },
      { name: 'coldest', ...extremeInWords(extremes.coldest, air, 'min', when) },
      Number.isNaN(air.mean)
        ? { name: 'mean', value: 'unknown', more: withheld, tone: 'unknown' }
        : { name: 'mean', value: `${fixed(air.mean, 1)} °C`, more: `dew point ${fixed(dewPointMean, 1)} °C` },
      humidityFact(damp, logger.sensorRange.relativeHumidity ?? HUMIDITY_SPAN),
      ...(frost.below > 0 ? [{ name: 'frost', value: inHours(frost.below), more: 'below 0 °C' }] : []),
      {
        name: 'readings',
        value: fraction === null ? `${readings}` : percent(fraction, 1),
        more: [
          expected === null ? '' : `${observed} of ${expected} came`,
          audit.cadence === null ? '' : `one every ${formatDuration(audit.cadence)}`,
          unknown === null || unknown === 0
            ? 'no time unknown'
            : `${formatDuration(unknown)} of ${formatDuration(period.end - period.start)} unknown`,
        ]
          .filter((text) => text !== '')
          .join(', '),
        tone: unknown === 0 ? 'good' : 'plain',
      },
    ],
  };
}

/** @param range what the sensor can measure [%] */
function humidityFact({ min, max, mean }: QuantitySummary, [least, greatest]: Range): Facts['facts'][number] {
  const beyond = [
    ...(max > greatest ? [`above ${greatest} %`] : []),
    ...(min < least ? [`below ${least} %`] : []),
  ].join(' or ');
  const more = [
    ...(Number.isNaN(mean) ? [] : [`mean ${fixed(mean, 0)} %`]),
    ...(beyond === '' ? [] : [`values ${beyond} are not to be believed: the range of the sensor ends there`]),
  ].join('; ');
  return {
    name: 'humidity',
    value: Number.isNaN(max) ? 'unknown' : `${fixed(min, 0)} to ${fixed(max, 0)} %`,
    ...(more === '' ? {} : { more }),
    ...(beyond === '' ? {} : { tone: 'caution' }),
  };
}

function extremeInWords(
  extreme: Extreme | null,
  quantity: QuantitySummary & { readonly completeness: string },
  end: 'min' | 'max',
  when: When,
): Omit<Facts['facts'][number], 'name'> {
  if (extreme === null) return { value: 'unknown', tone: 'unknown' };
  const bound = quantity.completeness === 'bounded' ? (end === 'max' ? 'at least ' : 'at most ') : '';
  const { value, at, doubts, before, after, beyond } = extreme;
  const beside = [before, after].every(Number.isNaN)
    ? ''
    : ` (${fixed(before, 1) || 'nothing'} before, ${fixed(after, 1) || 'nothing'} after)`;
  const belief =
    doubts.length === 0
      ? `no check speaks against it${beside}`
      : `doubtful: ${doubts.map(inWords).join(', ')}${beside}`;
  const aside =
    beyond === null
      ? ''
      : `; ${fixed(beyond.value, 1)} °C of ${when.at(beyond.at)} is not counted: ${inWords(beyond.check)}`;
  return {
    value: `${bound}${fixed(value, 1)} °C`,
    more: `${when.at(at)}; ${belief}${aside}`,
    tone: doubts.length === 0 ? 'plain' : 'caution',
  };
}

function inWords(check: CheckName): string {
  return CHECKS.find(({ name }) => name === check)?.looksFor ?? check;
}

function surfaceParts({ damp, surfaces, span }: PageLogger, place: number, when: When, zone: Zone): Part[] {
  const items: Items['items'] = damp.surfaces.map(({ surface, condensation }, i) => {
    const sum = condensation[0]!;
    const { name } = surface;
    if (sum.unknown >= span.end - span.start)
      return { tone: 'unknown', text: `${name}: unknown whether it was wet` };
    const unseen = sum.unknown < WORTH_TELLING ? '' : `; ${inHours(sum.unknown)} unknown`;
    if (sum.expected === 0) {
      const perhaps =
        sum.possible > 0 ? `, though within the accuracy it may have been, for ${inHours(sum.possible)}` : '';
      return { tone: unseen === '' ? 'good' : 'unknown', text: `${name}: not wet${perhaps}${unseen}` };
    }
    return {
      tone: sum.certain > 0 ? 'caution' : 'note',
      text: `${name}: ${wetInWords(sum)}${unseen}`,
      more: spellsInWords(surfaces[i]!.times.wet, sum, when),
    };
  });
  const grid: Grid = {
    kind: 'grid',
    caption: 'Condensation',
    columns: ['surface', ...DAMP_HEADINGS.slice(1)].map((heading, i) => ({
      heading,
      align: i === 0 ? 'left' : 'right',
    })),
    rows: damp.surfaces.map(({ surface, condensation }) => [
      surface.name,
      ...dampCells(condensation[0]!, 'day', zone).slice(1),
    ]),
  };
  const rest = damp.surfaces.map((exposure): Part => {
    const sentences = dampProse(damp, exposure, zone);
    return { kind: 'paragraph', text: `${exposure.surface.name}: ${sentences.join('; ')}.` };
  });
  const details: Section = {
    kind: 'section',
    id: `damp-${place}`,
    title: 'Near misses, time of wetness, wood and mould',
    folded: true,
    parts: rest,
  };
  return [{ kind: 'items', items }, grid, details];
}

/** From this much on, time in which nobody knows whether a surface was wet is told with it. */
const WORTH_TELLING: Milliseconds = HOUR;

function outageParts({ id }: PageLogger, outages: readonly Outage[], zone: Zone): Grid[] {
  const own = worstOutagesFirst(outages.filter(({ logger }) => logger === id));
  if (own.length === 0) return [];
  const columns = ['when', 'cause', 'down', 'what'];
  return [
    {
      kind: 'grid',
      caption: 'Outages, worst first',
      columns: columns.map((heading) => ({ heading, align: heading === 'down' ? 'right' : 'left' })),
      rows: own.map((outage) => {
        const [, , cause, time, down, what] = outageCells(outage, zone);
        return [time!, cause!, down!, what!];
      }),
    },
  ];
}

/** A calendar of more days is for those who look closer: on a telephone it is a line for each. */
const MOST_DAYS = 62;

function calendarParts(logger: PageLogger, place: number, outages: readonly Outage[], zone: Zone): Part[] {
  const calendar = dayCalendar(logger, outages, zone);
  if (calendar === null) return [];
  const { days } = calendar;
  if (days.length <= MOST_DAYS) return [calendar];
  const title = `Day by day (${days.length} days)`;
  return [{ kind: 'section', id: `days-${place}`, title, folded: true, parts: [calendar] }];
}

function findingsPart({ audit }: PageLogger, place: number, zone: Zone): Part[] {
  if (audit.findings.length === 0) return [];
  return [
    {
      kind: 'section',
      id: `findings-${place}`,
      title: `Findings in the log (${audit.findings.length})`,
      folded: true,
      parts: [
        {
          kind: 'grid',
          caption: 'What the checks found, worst first',
          columns: FINDING_HEADINGS.map((heading) => ({ heading, align: 'left' })),
          rows: findingLines(audit.findings, audit.cadence, zone).map(({ cells }) => cells),
        },
        {
          kind: 'grid',
          caption: 'What to look at on the device',
          columns: ADVICE_HEADINGS.map((heading) => ({ heading, align: 'left' })),
          rows: adviceCells(audit.findings),
        },
      ],
    },
  ];
}

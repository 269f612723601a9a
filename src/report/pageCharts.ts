import { formatDate } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { knownTime, lineCourse } from '../damp/conditionCourse.js';
import { both, type Intervals } from '../damp/intervals.js';
import { fixed } from '../figures.js';
import { nextGood } from '../log/bridging.js';
import type { Cause, Outage } from '../outages/outage.js';
import type { Watch } from '../outages/silences.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';
import { CAUSES_IN_WORDS } from './causes.js';
import type { DayCalendar, LineChart, Span, StripChart, Tone } from './document.js';
import { listed } from './needs.js';
import type { Page, PageLogger } from './page.js';
import { axisOf } from './pageAxis.js';
import { type When, weekdayOf, whenOn } from './when.js';
import { inHours } from './written.js';

/** Temperature with dew point and the time in which surfaces were wet, then humidity. */
export function lineCharts(logger: PageLogger, zone: Zone): LineChart[] {
  const { id, course, bridge, span, damp, surfaces, whole, dewPoints: dew } = logger;
  const { time, temperature, humidity } = course;
  const line = (name: string, values: Float64Array) => ({ name, ...broken(time, values, bridge, span) });
  const unknown = (values: Float64Array) => unknownIn(span, knownTime(lineCourse(time, values, bridge)));
  const { airTemperature: air, relativeHumidity: damped } = whole;
  const bands = damp.surfaces.flatMap(({ surface }, i) => {
    const { wet } = surfaces[i]!.times;
    return wet.length === 0
      ? []
      : [{ name: `${surface.name} wet`, tone: 'caution' as const, spans: spansOf(wet) }];
  });
  const wetWords = bands.length === 0 ? 'no surface wet' : `marked: ${listed(bands.map(({ name }) => name))}`;
  const axis = axisOf(span, zone);
  return [
    {
      kind: 'lines',
      title: `${id}: air temperature and dew point`,
      words: `air from ${fixed(air.min, 1)} to ${fixed(air.max, 1)} °C; ${wetWords}`,
      unit: '°C',
      axis,
      lines: [line('air', temperature), line('dew point', dew)],
      bands,
      unknown: unknown(dew),
    },
    {
      kind: 'lines',
      title: `${id}: relative humidity`,
      words: `from ${fixed(damped.min, 0)} to ${fixed(damped.max, 0)} %`,
      unit: '%',
      axis,
      lines: [line('humidity', humidity)],
      bands: [],
      unknown: unknown(humidity),
    },
  ];
}

/** The values of a stretch, with a NaN in every hole that is too long to be joined over. */
function broken(
  time: Float64Array,
  values: Float64Array,
  bridge: Milliseconds,
  { start, end }: PageLogger['span'],
): { time: Float64Array; values: Float64Array } {
  const times = new Float64Array(2 * time.length);
  const kept = new Float64Array(2 * time.length);
  let length = 0;
  let last = Number.NaN;
  for (let row = nextGood(values, 0); row < time.length; row = nextGood(values, row + 1)) {
    const at = time[row]!;
    if (at < start) continue;
    if (at > end) break;
    if (at - last > bridge) {
      times[length] = last + bridge;
      kept[length++] = Number.NaN;
    }
    times[length] = at;
    kept[length++] = values[row]!;
    last = at;
  }
  return { time: times.slice(0, length), values: kept.slice(0, length) };
}

function spansOf(intervals: Intervals): Span[] {
  return Array.from({ length: intervals.length / 2 }, (_, i) => ({
    from: intervals[2 * i]!,
    until: intervals[2 * i + 1]!,
  }));
}

function unknownIn({ start, end }: PageLogger['span'], known: Intervals): Span[] {
  const edges = both(known, [start, end]);
  return spansOf([start, ...edges, end]).filter(({ from, until }) => until > from);
}

/** What a logger was, from the worst on: where several hold at once, the first of them is shown. */
const STATES = [
  { key: 'silent', name: 'silent', tone: 'alarm' },
  { key: 'no-readings', name: 'no readings', tone: 'caution' },
  { key: 'unseen', name: 'unknown', tone: 'unknown' },
  { key: 'no-beats', name: 'weak or no heartbeats', tone: 'note' },
  { key: 'well', name: 'reporting', tone: 'good' },
] as const satisfies readonly { key: string; name: string; tone: Tone }[];
type StateKey = (typeof STATES)[number]['key'];

const UNSEEN: ReadonlySet<Cause> = new Set(['censored', 'deleted']);
const HARDLY: ReadonlySet<Cause> = new Set(['heartbeat', 'weak_link']);

function stateOf({ cause, deviceDown, dataDown }: Outage): StateKey | null {
  if (UNSEEN.has(cause)) return 'unseen';
  if (deviceDown) return 'silent';
  if (dataDown) return 'no-readings';
  return HARDLY.has(cause) ? 'no-beats' : null;
}

/** What state each logger was in, all the time. */
export function stateStrips({ outages, loggers, zone, span }: Page): StripChart | null {
  if (span === null || outages.watch === null || loggers.length === 0) return null;
  const { watch } = outages;
  const when = whenOn(span, zone);
  const names = outages.loggers.map(({ logger }) => logger);
  const strips = names.map((name) => ({
    name,
    spans: statesOf(
      outages.outages.filter(({ logger }) => logger === name),
      watch,
      span,
    ),
  }));
  const used = new Set<string>(strips.flatMap(({ spans }) => spans.map(({ state }) => state)));
  return {
    kind: 'strips',
    title: 'When each logger was heard',
    words: strips.map((strip) => stripInWords(strip, when)).join('. '),
    axis: axisOf(span, zone),
    states: STATES.filter(({ key }) => used.has(key)).reverse(),
    strips,
  };
}

function statesOf(
  outages: readonly Outage[],
  watch: Watch,
  { start, end }: PageLogger['span'],
): { from: Instant; until: Instant; state: StateKey }[] {
  const told = [
    { from: start, until: watch.from, state: 'unseen' as StateKey },
    { from: watch.until, until: end, state: 'unseen' as StateKey },
    ...outages.flatMap((outage) => {
      const state = stateOf(outage);
      return state === null ? [] : [{ from: outage.from, until: outage.until, state }];
    }),
  ];
  const cuts = told.flatMap(({ from, until }) => [from, until]).filter((at) => at > start && at < end);
  const edges = [...new Set([start, ...cuts, end])].sort((a, b) => a - b);
  const spans: { from: Instant; until: Instant; state: StateKey }[] = [];
  for (let i = 1; i < edges.length; i++) {
    const from = edges[i - 1]!;
    const until = edges[i]!;
    const held = new Set(
      told.filter((each) => each.from < until && each.until > from).map(({ state }) => state),
    );
    const state = STATES.find(({ key }) => held.has(key))?.key ?? 'well';
    const last = spans.at(-1);
    if (last?.state === state) last.until = until;
    else spans.push({ from, until, state });
  }
  return spans;
}

/** More stretches than these are counted, not told. */
const MOST_TOLD = 4;

function stripInWords(
  { name, spans }: { readonly name: string; readonly spans: readonly (Span & { readonly state: string })[] },
  when: When,
): string {
  const away = spans.filter(({ state }) => state !== 'well');
  if (away.length === 0) return `${name}: reporting all the time`;
  const told = away
    .slice(0, MOST_TOLD)
    .map(
      ({ from, until, state }) =>
        `${STATES.find(({ key }) => key === state)!.name} ${when.during(from, until)}`,
    );
  return `${name}: ${told.join(', ')}${away.length > MOST_TOLD ? ` and ${away.length - MOST_TOLD} more` : ''}`;
}

/** The days of a logger: extremes, hours in which its wettest surface was wet, and what is not known and why. */
export function dayCalendar(logger: PageLogger, outages: readonly Outage[], zone: Zone): DayCalendar | null {
  const { id, days, surfaces, damp } = logger;
  if (days.length < 2) return null;
  const own = outages.filter((outage) => outage.logger === id && outage.dataDown);
  return {
    kind: 'calendar',
    title: `${id}: day by day`,
    words: `extremes of the air, hours in which ${listed(
      damp.surfaces.map(({ surface }) => surface.name),
      'or',
    )} was wet, and what is unknown`,
    meaning: 'hours of condensation on the wettest surface',
    days: days.map(({ period, airTemperature: air, both: { coverage } }, d) => {
      const wet = surfaces.map((surface) => surface.days[d]!);
      const most = Math.max(0, ...wet.map((day) => day.wet));
      const known = wet.some(({ unknown }) => unknown < period.end - period.start);
      const lines: string[] = [];
      if (!Number.isNaN(air.min)) lines.push(`${fixed(air.min, 1)} to ${fixed(air.max, 1)} °C`);
      if (most > 0) lines.push(`wet ${inHours(most)}`);
      const why = [
        ...new Set(
          own
            .filter(({ from, until }) => from < period.end && until > period.start)
            .map(({ cause }) => cause),
        ),
      ];
      const unknown = (1 - coverage) * (period.end - period.start);
      if (unknown >= WORTH_TELLING)
        lines.push(
          `${inHours(unknown)} unknown${why.length === 0 ? '' : `: ${why.map((cause) => CAUSES_IN_WORDS[cause].short).join(', ')}`}`,
        );
      return {
        date: formatDate(period.start, zone),
        weekday: weekdayOf(period.start, zone),
        lines,
        share: known ? most / (period.end - period.start) : null,
        known: coverage,
      };
    }),
  };
}

/** Holes of a day that are shorter in all are not told of in its few lines. */
const WORTH_TELLING: Milliseconds = HOUR;

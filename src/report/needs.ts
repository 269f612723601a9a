import { CHECKS } from '../audit/checks.js';
import { formatDuration } from '../calendar/print.js';
import { DECAY_LIMIT } from '../damp/board.js';
import { explain } from '../errors.js';
import { fixed } from '../figures.js';
import { type CheckName, type Finding, SEVERITIES, type Severity } from '../log/finding.js';
import { downTimes, type Outage } from '../outages/outage.js';
import { HOUR, type Instant, type Milliseconds } from '../units.js';
import { CAUSES_IN_WORDS } from './causes.js';
import type { Page, PageLogger } from './page.js';
import { type When, whenOn } from './when.js';
import { inHours } from './written.js';

/** Something that a person ought to know of, or see to. */
export interface Need {
  readonly severity: Severity;
  readonly about: 'input' | 'outage' | 'finding' | 'surface';
  readonly loggers: readonly string[];
  /** When it began and ended; null where it has no time. */
  readonly from: Instant | null;
  readonly until: Instant | null;
  /** Whether it still was so at the end of what is looked at. */
  readonly isOpen: boolean;
  /** What is the matter, in plain words. */
  readonly text: string;
  /** What to do about it. */
  readonly advice: string;
}

/** First growth that can be seen (Hukka & Viitanen). */
const VISIBLE_MOULD = 3;
/** Growth under the microscope. */
const FIRST_MOULD = 1;

/**
 * All that is the matter, worst first, each thing once: what belongs together is one need, and a gap that an
 * outage explains is told as the outage.
 */
export function needsOf(page: Page): Need[] {
  const { span, loggers, outages, failures } = page;
  const inputs = failures.map(
    (failure): Need => ({
      severity: 'error',
      about: 'input',
      loggers: [],
      from: null,
      until: null,
      isOpen: false,
      text: `an input could not be read: ${explain(failure).split('\n')[0]}`,
      advice: failure.advice ?? 'look at the file',
    }),
  );
  if (span === null) return inputs;
  const when = whenOn(span, page.zone);
  const needs = [
    ...inputs,
    ...outageNeeds(outages.outages, when),
    ...loggers.flatMap((logger) => [
      ...emptyNeeds(logger, outages.outages),
      ...findingNeeds(logger, outages.outages, when),
      ...surfaceNeeds(logger, when),
    ]),
  ];
  return needs.sort(
    (a, b) =>
      rank(b.severity) - rank(a.severity) ||
      Number(b.isOpen) - Number(a.isOpen) ||
      (b.until ?? 0) - (b.from ?? 0) - ((a.until ?? 0) - (a.from ?? 0)),
  );
}

export function rank(severity: Severity): number {
  return SEVERITIES.indexOf(severity);
}

function worst(severities: readonly Severity[]): Severity {
  return severities.reduce((most, each) => (rank(each) > rank(most) ? each : most), 'note');
}

/** Things of one key together, in the order in which the keys are first met. */
function grouped<Thing>(things: readonly Thing[], keyOf: (thing: Thing) => string): Thing[][] {
  const groups = new Map<string, Thing[]>();
  for (const thing of things) {
    const key = keyOf(thing);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [thing]);
    else group.push(thing);
  }
  return [...groups.values()];
}

/** Of more occurrences than these only the longest are told one by one. */
const MOST_TOLD = 3;

function outageNeeds(outages: readonly Outage[], when: When): Need[] {
  const together = (outage: Outage) =>
    outage.together.length > 1 ? outage.together.join('\n') : outage.logger;
  return grouped(outages, (outage) => `${outage.cause}\n${together(outage)}`).map((group): Need => {
    const [first] = group as [Outage];
    const loggers = [...new Set(group.map(({ logger }) => logger))];
    // what several suffered together is told by the times of one of them
    const told = group.filter(({ logger }) => logger === first.logger);
    const longestFirst = told.toSorted((a, b) => lengthOf(b) - lengthOf(a));
    const isOpen = group.some(({ nextSign, cause }) => nextSign === null && cause !== 'censored');
    const { was, advice } = CAUSES_IN_WORDS[first.cause];
    const also = [...new Set(group.flatMap(({ alternatives }) => alternatives))];
    const parts = longestFirst.slice(0, MOST_TOLD).map((outage) => {
      const length = lengthOf(outage);
      return `${when.during(outage.from, outage.until)}${length > 0 ? ` (${formatDuration(length)})` : ''}`;
    });
    const count = told.length === 1 ? '' : ` ${told.length} times`;
    const more = told.length > MOST_TOLD ? ', the longest' : '';
    return {
      severity: worst(group.map(({ severity }) => severity)),
      about: 'outage',
      loggers,
      from: Math.min(...told.map(({ from }) => from)),
      until: Math.max(...told.map(({ until }) => until)),
      isOpen,
      text: `${listed(loggers)}: ${was}${count}${more}: ${parts.join('; ')}`,
      advice: `${advice}${
        also.length > 0
          ? `; or it was ${listed(
              also.map((cause) => CAUSES_IN_WORDS[cause].was),
              'or',
            )}`
          : ''
      }`,
    };
  });
}

function lengthOf(outage: Outage): Milliseconds {
  return downTimes(outage).expected;
}

/** `a, b and c` */
export function listed(names: readonly string[], word = 'and'): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} ${word} ${names.at(-1)}`;
}

/** A logger of which there is nothing, and no outage says so. */
function emptyNeeds({ id, reading }: PageLogger, outages: readonly Outage[]): Need[] {
  if (reading.log.length > 0 || outages.some(({ logger }) => logger === id)) return [];
  return [
    {
      severity: 'error',
      about: 'outage',
      loggers: [id],
      from: null,
      until: null,
      isOpen: true,
      text: `${id}: no reading in this time`,
      advice: 'see whether it still runs, and whether its file is where the site file says',
    },
  ];
}

/** Checks whose findings are the other side of an outage. */
const SIDES_OF_OUTAGES: ReadonlySet<CheckName> = new Set(['gap', 'missing_value', 'sentinel', 'disorder']);

function isTold(finding: Finding, logger: string, outages: readonly Outage[]): boolean {
  const { check, severity, from, until } = finding;
  if (!SIDES_OF_OUTAGES.has(check) || from === null || until === null) return false;
  return outages.some(
    (outage) =>
      outage.logger === logger &&
      rank(outage.severity) >= rank(severity) &&
      outage.from <= until &&
      outage.until >= from,
  );
}

function findingNeeds({ id, audit }: PageLogger, outages: readonly Outage[], when: When): Need[] {
  const untold = audit.findings.filter((finding) => !isTold(finding, id, outages));
  return grouped(untold, ({ check, severity }) => `${check} ${severity}`).map((group): Need => {
    const [first] = group as [Finding];
    const parts = group
      .slice(0, MOST_TOLD)
      .map(({ message, from }) => (from === null ? message : `${message}, ${when.at(from)}`));
    const rest = group.length > MOST_TOLD ? `; and ${group.length - MOST_TOLD} more` : '';
    const times = group.flatMap(({ from, until }) => [from, until]).filter((time) => time !== null);
    return {
      severity: first.severity,
      about: 'finding',
      loggers: [id],
      from: times.length > 0 ? Math.min(...times) : null,
      until: times.length > 0 ? Math.max(...times) : null,
      isOpen: false,
      text: `${id}: ${parts.join('; ')}${rest}`,
      advice: CHECKS.find(({ name }) => name === first.check)!.advice,
    };
  });
}

function surfaceNeeds({ id, damp, surfaces }: PageLogger, when: When): Need[] {
  return damp.surfaces.flatMap(({ surface, condensation, wood, mould }, i): Need[] => {
    const where = `${surface.name} (${id})`;
    const needs: Need[] = [];
    const add = (severity: Severity, text: string, advice: string, from?: Instant, until?: Instant) =>
      needs.push({
        severity,
        about: 'surface',
        loggers: [id],
        from: from ?? null,
        until: until ?? null,
        isOpen: false,
        text: `${where}: ${text}`,
        advice,
      });
    const [wet] = condensation;
    if (wet !== undefined && wet.expected > 0) {
      const [start, end, next] = surfaces[i]!.times.wet;
      const isOnce = start !== undefined && end !== undefined && next === undefined;
      add(
        wet.certain > 0 ? 'warning' : 'note',
        `wet for ${inHours(wet.expected)} (certainly ${inHours(wet.certain)}, possibly ${inHours(wet.possible)}), ` +
          (isOnce
            ? when.during(start, end)
            : `${wet.spells} times, ${fixed(wet.longestSpell / HOUR, 1)} h the longest`),
        'see whether it is still wet; wipe it dry, and air when it is drier outside',
        isOnce ? start : undefined,
        isOnce ? end : undefined,
      );
    }
    const moist = wood?.expected[0];
    if (moist !== undefined && moist.aboveDecayLimit > 0) {
      add(
        'warning',
        `its wood was above ${DECAY_LIMIT} % moist for ${inHours(moist.aboveDecayLimit)}`,
        'measure the wood itself; find where the water comes from, and let it dry',
      );
    }
    const index = mould[0]?.greatest ?? NaN;
    if (index >= FIRST_MOULD) {
      add(
        'warning',
        `mould index ${fixed(index, 1)}: ${index >= VISIBLE_MOULD ? 'growth that can be seen is likely' : 'growth may have begun'}`,
        'look and smell there; drier and warmer air stops it',
      );
    }
    return needs;
  });
}

import { CHECKS } from '../audit/checks.js';
import { formatDuration } from '../calendar/print.js';
import { DECAY_LIMIT } from '../damp/board.js';
import type { CondensationSummary } from '../damp/condensation.js';
import type { Intervals } from '../damp/intervals.js';
import { explain } from '../errors.js';
import { fixed } from '../figures.js';
import { type CheckName, type Finding, SEVERITIES, type Severity } from '../log/finding.js';
import { downTimes, type Outage } from '../outages/outage.js';
import { HOUR, type Instant, MINUTE, type Milliseconds } from '../units.js';
import { CAUSES_IN_WORDS } from './causes.js';
import type { Page, PageLogger } from './page.js';
import { type When, whenOn } from './when.js';
import { inHours } from './written.js';

/** What a need may be about; among equally bad ones in this order. */
const SUBJECTS = ['input', 'outage', 'surface', 'finding'] as const;

/** Something that a person ought to know of, or see to. */
export interface Need {
  readonly severity: Severity;
  readonly about: (typeof SUBJECTS)[number];
  readonly loggers: readonly string[];
  /** When it began and ended; null where it has no time. */
  readonly from: Instant | null;
  readonly until: Instant | null;
  /** Whether it still was so at the end of what is looked at. */
  readonly isOpen: boolean;
  /** How much of it there was, among equals of its kind: time [ms] or number. */
  readonly weight: number;
  /** The same in a few words, for the sentence at the top. */
  readonly brief: string;
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
      weight: 1,
      brief: `${failures.length} input${failures.length === 1 ? '' : 's'} could not be read`,
      text: `an input could not be read: ${explain(failure).split('\n')[0]}`,
      advice: failure.advice ?? 'look at the file',
    }),
  );
  if (span === null) return inputs;
  const when = whenOn(span, page.zone);
  const needs = [
    ...inputs,
    ...outageNeeds(outages.outages, loggers.length, when),
    ...loggers.flatMap((logger) => emptyNeeds(logger, outages.outages)),
    ...surfaceNeeds(loggers, when),
    ...findingNeeds(loggers, outages.outages, when),
  ];
  return needs.sort(
    (a, b) =>
      rank(b.severity) - rank(a.severity) ||
      Number(b.isOpen) - Number(a.isOpen) ||
      SUBJECTS.indexOf(a.about) - SUBJECTS.indexOf(b.about) ||
      b.weight - a.weight,
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

/** Outages that several loggers suffered at once are one occurrence. */
interface Occurrence {
  readonly loggers: string[];
  readonly outage: Outage;
}

function occurrencesOf(outages: readonly Outage[]): Occurrence[] {
  const found: Occurrence[] = [];
  for (const outage of outages) {
    const same = found.find(
      (other) =>
        outage.together.length > 1 &&
        other.outage.together.join('\n') === outage.together.join('\n') &&
        other.outage.from <= outage.until &&
        other.outage.until >= outage.from,
    );
    if (same === undefined) found.push({ loggers: [outage.logger], outage });
    else if (!same.loggers.includes(outage.logger)) same.loggers.push(outage.logger);
  }
  // what is still so is always told
  return found.toSorted(
    (a, b) => Number(isOpen(b.outage)) - Number(isOpen(a.outage)) || lengthOf(b.outage) - lengthOf(a.outage),
  );
}

function outageNeeds(outages: readonly Outage[], loggers: number, when: When): Need[] {
  return grouped(outages, ({ cause }) => cause).map((group): Need => {
    const { was, advice } = CAUSES_IN_WORDS[group[0]!.cause];
    const also = [...new Set(group.flatMap(({ alternatives }) => alternatives))];
    const occurrences = occurrencesOf(group);
    const whose = new Set(occurrences.map(({ loggers }) => listed(loggers)));
    const isOneOf = whose.size === 1;
    const parts = occurrences.slice(0, MOST_TOLD).map(({ loggers, outage }) => {
      const length = lengthOf(outage);
      const time = `${when.during(outage.from, outage.until)}${length > 0 ? ` (${formatDuration(length)})` : ''}`;
      return isOneOf ? time : `${listed(loggers)} ${time}`;
    });
    const rest = occurrences.length - parts.length;
    const count = occurrences.length === 1 ? '' : `, ${occurrences.length} times`;
    const or = also.map((cause) => CAUSES_IN_WORDS[cause].short);
    return {
      severity: worst(group.map((outage) => (isSlight(outage) ? 'note' : outage.severity))),
      about: 'outage',
      loggers: [...new Set(group.map(({ logger }) => logger))],
      from: Math.min(...group.map(({ from }) => from)),
      until: Math.max(...group.map(({ until }) => until)),
      isOpen: group.some(isOpen),
      weight: sum(occurrences.map(({ outage }) => lengthOf(outage))),
      brief: outageInBrief(occurrences, loggers, when),
      text: `${isOneOf ? `${[...whose][0]}: ` : ''}${was}${count}: ${parts.join('; ')}${rest > 0 ? `; and ${rest} shorter` : ''}`,
      advice: `${advice}${or.length > 0 ? `; it may also have been: ${listed(or, 'or')}` : ''}`,
    };
  });
}

/** An outage this short that took no reading with it needs nobody (project rule). */
const SLIGHT: Milliseconds = 10 * MINUTE;

function isSlight(outage: Outage): boolean {
  return !outage.dataDown && !isOpen(outage) && lengthOf(outage) < SLIGHT;
}

/** Who was away for how long, or who has not been heard of since, of all loggers there are. */
function outageInBrief(occurrences: readonly Occurrence[], loggers: number, when: When): string {
  const names = (some: readonly Occurrence[]) => {
    const all = [...new Set(some.flatMap((each) => each.loggers))];
    return all.length === loggers && all.length > 1 ? `all ${all.length} loggers` : listed(all);
  };
  const open = occurrences.filter(({ outage }) => isOpen(outage));
  if (open.length > 0) {
    return `nothing from ${names(open)} since ${when.at(Math.min(...open.map(({ outage }) => outage.from)))}`;
  }
  const [{ outage: first }] = occurrences as [Occurrence];
  const isAway = occurrences.some(({ outage }) => outage.deviceDown || outage.dataDown);
  const longest = Math.max(...occurrences.map(({ outage }) => lengthOf(outage)));
  const count = occurrences.length;
  const often = count === 1 ? '' : ` ${count} times,`;
  const most = count === 1 ? '' : ' at most';
  const length = longest > 0 ? `${often} for ${formatDuration(longest)}${most}` : often.slice(0, -1);
  return `${names(occurrences)}${isAway ? ' away' : `: ${CAUSES_IN_WORDS[first.cause].was}`}${length}`;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}

/** Whether nothing has been heard since. */
function isOpen({ nextSign, deviceDown, dataDown }: Outage): boolean {
  return nextSign === null && (deviceDown || dataDown);
}

function lengthOf(outage: Outage): Milliseconds {
  return downTimes(outage).expected;
}

/** `a, b and c` */
export function listed(names: readonly string[], word = 'and'): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} ${word} ${names.at(-1)}`;
}

/** A logger of which there is nothing, and no outage says so as loudly. */
function emptyNeeds({ id, reading }: PageLogger, outages: readonly Outage[]): Need[] {
  const isSaid = outages.some(({ logger, severity }) => logger === id && severity === 'error');
  if (reading.log.length > 0 || isSaid) return [];
  return [
    {
      severity: 'error',
      about: 'outage',
      loggers: [id],
      from: null,
      until: null,
      isOpen: true,
      weight: Number.POSITIVE_INFINITY,
      brief: `no reading from ${id}`,
      text: `${id}: no reading in this time`,
      advice: 'see whether it still runs, and whether its file is where the site file says',
    },
  ];
}

/** Checks whose findings are the other side of an outage. */
const SIDES_OF_OUTAGES: ReadonlySet<CheckName> = new Set(['gap', 'missing_value', 'sentinel', 'disorder']);

function isTold(finding: Finding, { id, bridge, reading }: PageLogger, outages: readonly Outage[]): boolean {
  const { check, severity, from, until } = finding;
  if (check === 'gap' && reading.log.length === 0) return true;
  if (!SIDES_OF_OUTAGES.has(check) || from === null || until === null) return false;
  return outages.some(
    (outage) =>
      outage.logger === id &&
      rank(outage.severity) >= rank(severity) &&
      // the first reading after it may still be that of a start
      outage.from <= until &&
      outage.until + bridge >= from,
  );
}

/** Checks whose findings cleaning has dealt with: a few of them are no reason to get up. */
const DEALT_WITH: ReadonlySet<CheckName> = new Set(['unreadable', 'conflict', 'sentinel', 'gap']);
/** So many of a check in one log are a few (project rule). */
const FEW = 3;
/** A hole this long is one in the figures (as everywhere on the page). */
const HOLE: Milliseconds = HOUR;

/** How bad a finding is for a page: a torn line, a conflict, a code for "no value" are worth a note. */
function weighed({ check, severity, count, from, until }: Finding): Severity {
  const isLong = from !== null && until !== null && until - from > HOLE;
  return severity === 'warning' && DEALT_WITH.has(check) && count <= FEW && !isLong ? 'note' : severity;
}

function findingNeeds(loggers: readonly PageLogger[], outages: readonly Outage[], when: When): Need[] {
  const untold = loggers.flatMap((logger) =>
    logger.audit.findings
      .filter((finding) => !isTold(finding, logger, outages))
      .map((finding) => ({ id: logger.id, finding })),
  );
  return grouped(untold, ({ finding }) => `${finding.check} ${weighed(finding)}`).map((group): Need => {
    const { check } = group[0]!.finding;
    const loggers = [...new Set(group.map(({ id }) => id))];
    const parts = group.slice(0, MOST_TOLD).map(({ id, finding: { message, from } }, i) => {
      const who = id === group[i - 1]?.id ? '' : `${id}: `;
      return `${who}${message}${from === null ? '' : `, ${when.at(from)}`}`;
    });
    const rest = group.length - parts.length;
    const times = group
      .flatMap(({ finding: { from, until } }) => [from, until])
      .filter((time) => time !== null);
    return {
      severity: weighed(group[0]!.finding),
      about: 'finding',
      loggers,
      from: times.length > 0 ? Math.min(...times) : null,
      until: times.length > 0 ? Math.max(...times) : null,
      isOpen: false,
      weight: sum(group.map(({ finding }) => finding.count)),
      brief: `odd values or lines from ${listed(loggers)}`,
      text: `${parts.join('; ')}${rest > 0 ? `; and ${rest} more` : ''}`,
      advice: CHECKS.find(({ name }) => name === check)!.advice,
    };
  });
}

/** What is the matter with one surface: the kind of it, how bad, how much, and how it is told. */
interface Trouble extends Pick<Need, 'severity' | 'weight'> {
  readonly kind: keyof typeof SURFACE_ADVICE;
  readonly logger: string;
  readonly surface: string;
  readonly brief: string;
  readonly text: string;
  /** How much of it, where it is not the worst of its kind. */
  readonly amount: string;
}

const SURFACE_ADVICE = {
  wet: 'see whether it is still wet; wipe it dry, and air when it is drier outside',
  wood: 'measure the wood itself; find where the water comes from, and let it dry',
  mould: 'look and smell there; drier air stops it',
} as const;

/** One need of each kind: the worst of its surfaces, and how much of it the others have. */
function surfaceNeeds(loggers: readonly PageLogger[], when: When): Need[] {
  const troubles = loggers.flatMap((logger) => surfaceTroubles(logger, when));
  return grouped(troubles, ({ kind, severity }) => `${kind} ${severity}`).map((group): Need => {
    const [first, ...others] = group.toSorted((a, b) => b.weight - a.weight) as [Trouble, ...Trouble[]];
    const { severity, kind, weight, logger, surface, brief, text } = first;
    const rest =
      others.length === 0 ? '' : ` and ${others.length} other surface${others.length === 1 ? '' : 's'}`;
    const also = others.map((other) => `${other.surface} (${other.logger}) ${other.amount}`);
    return {
      severity,
      about: 'surface',
      loggers: [...new Set(group.map((trouble) => trouble.logger))],
      from: null,
      until: null,
      isOpen: false,
      weight,
      brief: `${brief}${rest && `,${rest}`}`,
      text: `${surface} (${logger}): ${text}${also.length === 0 ? '' : `; also ${listed(also)}: see below`}`,
      advice: SURFACE_ADVICE[kind],
    };
  });
}

function surfaceTroubles({ id, damp, surfaces }: PageLogger, when: When): Trouble[] {
  return damp.surfaces.flatMap(({ surface: { name }, condensation, wood, mould }, i): Trouble[] => {
    const troubles: Trouble[] = [];
    const add = (trouble: Omit<Trouble, 'logger' | 'surface'>) =>
      troubles.push({ logger: id, surface: name, ...trouble });
    const wet = condensation[0]!;
    if (wet.expected > 0) {
      add({
        kind: 'wet',
        severity: wet.certain > 0 ? 'warning' : 'note',
        weight: wet.certain > 0 ? wet.certain : wet.expected,
        brief: `${name} wet for ${inHours(wet.expected)} (certainly ${inHours(wet.certain)})`,
        amount: `for ${inHours(wet.expected)}`,
        text: `${wetInWords(wet)}, ${spellsInWords(surfaces[i]!.times.wet, wet, when)}`,
      });
    }
    const above = wood?.expected[0]?.aboveDecayLimit ?? 0;
    if (above > 0) {
      const moist = `above ${DECAY_LIMIT} % moist for ${inHours(above)}`;
      add({
        kind: 'wood',
        severity: 'warning',
        weight: above,
        brief: `the wood of ${name} ${moist}`,
        amount: `for ${inHours(above)}`,
        text: `its wood ${moist}`,
      });
    }
    const index = mould[0]?.greatest ?? NaN;
    if (index >= FIRST_MOULD) {
      const growth = index >= VISIBLE_MOULD ? 'growth that can be seen is likely' : 'growth may have begun';
      add({
        kind: 'mould',
        severity: 'warning',
        weight: index,
        brief: `mould index ${fixed(index, 1)} on ${name}`,
        amount: fixed(index, 1),
        text: `mould index ${fixed(index, 1)}: ${growth}`,
      });
    }
    return troubles;
  });
}

/** For how long a surface was wet, and how sure that is. */
export function wetInWords({ certain, expected, possible }: CondensationSummary): string {
  return `wet for ${inHours(expected)} (certainly ${inHours(certain)}, possibly ${inHours(possible)})`;
}

/** When it was wet, or how often where that would be too long a list. */
export function spellsInWords(
  wet: Intervals,
  { spells, longestSpell }: CondensationSummary,
  when: When,
): string {
  if (wet.length > 2 * MOST_TOLD) return `${spells} times, ${inHours(longestSpell)} the longest`;
  const times = Array.from({ length: wet.length / 2 }, (_, k) => when.during(wet[2 * k]!, wet[2 * k + 1]!));
  return listed(times);
}

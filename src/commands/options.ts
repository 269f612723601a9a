import { type Command, InvalidArgumentError, Option } from 'commander';

import { PERIOD_KINDS } from '../calendar/period.js';
import { CHECK_NAMES, type CheckName, SEVERITIES } from '../log/finding.js';

/** How a file is written, as far as a site file can say it; values as written. */
export interface LayoutWords {
  readonly timeColumn?: string;
  readonly temperatureColumn?: string;
  readonly humidityColumn?: string;
  readonly loggerColumn?: string;
  readonly delimiter?: string;
  readonly decimal?: '.' | ',';
  readonly dateOrder?: 'day-first' | 'month-first';
  readonly temperatureUnit?: 'degC' | 'degF' | 'K';
}

/** What every command that reads logs takes. Values as written; null-ness and defaults are settled later. */
export interface ReadingOptions extends LayoutWords {
  readonly site?: string;
  readonly zone?: string;
  readonly since?: string;
  readonly until?: string;
  readonly last?: string;
  readonly day?: string;
  readonly logger?: readonly string[];
  readonly header: boolean;
  readonly humidityUnit?: 'pct' | 'fraction';
  readonly cadence?: string;
  readonly bridge?: string;
  readonly skip?: readonly CheckName[];
}

/** What every command takes that writes something. */
export interface WritingOptions {
  readonly output?: string;
  readonly quiet?: boolean;
  readonly verbose?: boolean;
  readonly color?: boolean;
  readonly failOn: FailOn;
}

export const FORMATS = ['table', 'csv', 'json', 'markdown', 'html'] as const;
export type Format = (typeof FORMATS)[number];
/** Those of what is more than rows: a page, and what a site file means. */
export const PAGE_FORMATS = ['table', 'json', 'markdown', 'html'] as const;
export type PageFormat = (typeof PAGE_FORMATS)[number];

export const SHELLS = ['bash', 'zsh', 'fish'] as const;
export type Shell = (typeof SHELLS)[number];

export const FAIL_ON = [...SEVERITIES, 'never'] as const;
export type FailOn = (typeof FAIL_ON)[number];

const READING = 'How the logs are read:';
const CHOOSING = 'What is looked at:';
const WRITING = 'How the result is written:';

/** How a file is written, as far as a site file can say it. */
function layoutOptions(): Option[] {
  return [
    new Option('--time-column <column>', 'heading or number of the time; date+time for two columns'),
    new Option('--temperature-column <column>', 'heading or number of the temperature'),
    new Option('--humidity-column <column>', 'heading or number of the relative humidity, or none'),
    new Option('--logger-column <column>', 'heading or number of the name of the logger, or none'),
    new Option('--delimiter <character>', 'what stands between cells; tab and space by name').argParser(
      delimiter,
    ),
    new Option('--decimal <mark>', 'decimal mark').choices(['.', ',']),
    new Option('--date-order <order>', 'order of day and month').choices(['day-first', 'month-first']),
    new Option('--temperature-unit <unit>', 'unit in the file').choices(['degC', 'degF', 'K']),
  ];
}

/** Options that mean the same in every command that reads logs. */
export function addReadingOptions(command: Command): Command {
  const options: [group: string, option: Option][] = [
    [CHOOSING, new Option('--site <file>', 'site file that describes place, loggers and surfaces')],
    [CHOOSING, zoneOption()],
    [CHOOSING, new Option('--since <time>', 'from this moment or day on')],
    [CHOOSING, new Option('--until <time>', 'up to, and without, this moment or the start of this day')],
    [CHOOSING, new Option('--last <duration>', 'so long back from now (ISO 8601: P7D, PT36H, P1M)')],
    [CHOOSING, new Option('--day <day>', 'one civil day: a date, today or yesterday')],
    [CHOOSING, new Option('--logger <id>', 'only this logger; may be given again').argParser(collect)],
    ...layoutOptions().map((option): [string, Option] => [READING, option]),
    [READING, new Option('--no-header', 'the first line is a reading already')],
    [READING, new Option('--humidity-unit <unit>', 'unit in the file').choices(['pct', 'fraction'])],
    [READING, new Option('--cadence <duration>', 'nominal time between readings (PT10M), else inferred')],
    [
      READING,
      new Option('--bridge <duration>', 'join readings up to so far apart, else 2 cadences and at most PT3H'),
    ],
    [
      READING,
      new Option('--skip <checks>', 'leave out checks, by name, with commas between').argParser(checkNames),
    ],
  ];
  for (const [group, option] of options) command.addOption(option.helpGroup(group));
  return command;
}

export function addLayoutOptions(command: Command): Command {
  for (const option of layoutOptions()) command.addOption(option.helpGroup(READING));
  return command;
}

/** Options that mean the same in every command. */
export function addWritingOptions(
  command: Command,
  format: Format,
  failOn: FailOn,
  formats: readonly string[] = FORMATS,
): Command {
  const options: Option[] = [
    new Option('--format <format>', 'how to write it').choices(formats).default(format),
    outputOption(),
    new Option('--quiet', 'say nothing beside the result; with nothing to report, no result either'),
    new Option('--verbose', 'say on stderr what was assumed'),
    new Option('--color', 'colour, whatever the output is'),
    new Option('--no-color', 'no colour'),
    new Option('--colour').hideHelp(),
    new Option('--no-colour').hideHelp(),
    new Option('--fail-on <severity>', 'exit with 1 for findings of this severity and above')
      .choices(FAIL_ON)
      .default(failOn),
  ];
  for (const option of options) command.addOption(option.helpGroup(WRITING));
  return command;
}

export function zoneOption(): Option {
  const means = 'zone of days, and of stamps without offset (Europe/London, UTC, +01:00)';
  return new Option('--zone <zone>', means).helpGroup(CHOOSING);
}

export function outputOption(): Option {
  return new Option('-o, --output <file>', 'write to this file, whole or not at all').helpGroup(WRITING);
}

export function addPeriodOption(command: Command): Command {
  return command.addOption(
    new Option('--per <period>', 'length of the periods')
      .choices(PERIOD_KINDS)
      .default('day')
      .helpGroup(CHOOSING),
  );
}

export function addAirOptions(command: Command): Command {
  const options = [
    new Option('--altitude <metres>', 'height above sea level, for the pressure').argParser(numberOption),
    new Option('--pressure <hPa>', 'station pressure').argParser(numberOption),
    new Option('--formula <name>', 'saturation vapour pressure')
      .choices(['buck1996', 'magnusWmo', 'hylandWexler'])
      .default('buck1996'),
    new Option('--ideal', 'leave out the enhancement factor of moist air'),
  ];
  for (const option of options) command.addOption(option.helpGroup('The air:'));
  return command;
}

export function addAccuracyOptions(command: Command): Command {
  const options = [
    new Option(
      '--temperature-accuracy <kelvin>',
      'greatest error of the temperature to either side',
    ).argParser(notNegative),
    new Option('--humidity-accuracy <percent>', 'greatest error of the humidity to either side').argParser(
      notNegative,
    ),
  ];
  for (const option of options) command.addOption(option.helpGroup('The sensor:'));
  return command;
}

/** What `spells` has conditions ready for. */
export const SPELL_PURPOSES = ['painting', 'airing', 'frost-free'] as const;
export type SpellPurpose = (typeof SPELL_PURPOSES)[number];

export function addSpellsOptions(command: Command): Command {
  const options = [
    new Option(
      '--where <condition>',
      'what has to hold, such as "relative_humidity<=85" or "hull.margin>=3"; all that are given have to',
    ).argParser(collect),
    new Option('--for <purpose>', 'conditions that are ready-made').choices(SPELL_PURPOSES),
    new Option('--lasting <duration>', 'for so long or longer (4h, 90min, PT4H); 4h for painting, else any'),
    new Option(
      '--surface <name[=duration]>',
      'for painting: this surface, else all beside the logger; with a time constant a mass that no site file ' +
        'states, which conditions may name as well; may be given again',
    ).argParser(collect),
    new Option('--indoor <id>', 'for airing: the logger in the room'),
    new Option('--outdoor <id>', 'for airing: the logger outside'),
  ];
  for (const option of options) command.addOption(option.helpGroup('What to look for:'));
  return command;
}

/** Number() takes '', ' ', 0x10 and Infinity for numbers: not here. */
export function numberOption(text: string): number {
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text))
    throw new InvalidArgumentError('a number is needed.');
  return Number(text);
}

export function notNegative(text: string): number {
  const value = numberOption(text);
  if (value < 0) throw new InvalidArgumentError('a number of 0 or more is needed.');
  return value;
}

export function collect(value: string, before: readonly string[] = []): string[] {
  return [...before, value];
}

/** `--skip a,b` and `--skip a --skip b` are the same. */
function checkNames(value: string, before: readonly string[] = []): string[] {
  const names = value.split(',').map((name) => name.trim());
  const known: readonly string[] = CHECK_NAMES;
  const wrong = names.find((name) => !known.includes(name));
  if (wrong !== undefined)
    throw new InvalidArgumentError(`there is no check "${wrong}": ${known.join(', ')}.`);
  return [...before, ...names];
}

const DELIMITERS: Readonly<Record<string, string>> = { tab: '\t', '\\t': '\t', space: ' ', blank: ' ' };

function delimiter(value: string): string {
  const named = DELIMITERS[value.toLowerCase()] ?? value;
  if (named.length !== 1 || /["\r\n\w.+-]/.test(named)) {
    throw new InvalidArgumentError('one character is needed, or tab or space.');
  }
  return named;
}

/** `--colour` and `--color` are one option under two spellings. */
export function colourOf(options: { color?: boolean; colour?: boolean }): boolean | undefined {
  return options.color ?? options.colour;
}

import { readFileSync } from 'node:fs';
import { Argument, Command, Option } from 'commander';
import type { Io } from '../present/io.js';
import {
  addAccuracyOptions,
  addAirOptions,
  addPeriodOption,
  addReadingOptions,
  addWritingOptions,
  collect,
} from './options.js';

export type CommandName = 'audit' | 'clean' | 'daily' | 'damp' | 'air';
/** Runs a command; errors are thrown. */
export type Runner = (name: CommandName, words: string[], options: unknown) => Promise<void>;

const EXIT_CODES = `
Exit codes:
  0  done, nothing at or above --fail-on
  1  done, findings at or above --fail-on
  2  the work could not be done`;

const SUMMARY = `From the exported log of a temperature and humidity logger to figures you can stand behind.`;

interface Described {
  readonly name: CommandName;
  readonly summary: string;
  readonly examples: readonly (readonly [words: string, does: string])[];
  build(command: Command): Command;
}

const TABLE_FIRST = ['table', 'csv', 'json'];

/** Every command: help, completion and the manual are made from this table. */
const COMMANDS: readonly Described[] = [
  {
    name: 'audit',
    summary: 'list what is wrong with the logs and how complete they are',
    examples: [
      ['audit october.csv', 'what is wrong with this log'],
      ['audit --site site.toml --day yesterday --quiet', 'from cron: silent while all is well'],
      ['audit - --format json < october.csv', 'for a program'],
    ],
    build: (command) => addWritingOptions(addReadingOptions(logs(command)), TABLE_FIRST, 'table', 'error'),
  },
  {
    name: 'clean',
    summary: 'write the cleaned log as CSV, with a flag for every value',
    examples: [
      ['clean october.csv -o clean.csv', 'sorted, one reading per instant, bad values blank'],
      ['clean october.csv --add dew_point_temperature,absolute_humidity', 'with derived columns'],
      ['clean october.csv --changes changes.csv --rejects rejects.txt', 'and what was done, line by line'],
    ],
    build: (command) =>
      addAirOptions(
        addWritingOptions(addReadingOptions(logs(command)), ['csv', 'json', 'table'], 'csv', 'never'),
      )
        .addOption(
          new Option('--add <quantities>', 'derived columns, by name, with commas between').argParser(
            collect,
          ),
        )
        .addOption(
          new Option('--bad <policy>', 'what becomes of bad values')
            .choices(['blank', 'keep'])
            .default('blank'),
        )
        .addOption(new Option('--crlf', 'end lines with CR LF'))
        .addOption(new Option('--changes <file>', 'write what was changed, a row per touched line'))
        .addOption(new Option('--rejects <file>', 'write the lines that could not be read, verbatim')),
  },
  {
    name: 'daily',
    summary: 'extremes, means and coverage per day, or per hour, week, month or year',
    examples: [
      ['daily october.csv', 'a row per day'],
      ['daily october.csv --per month --format csv', 'the month, for a spreadsheet'],
      ['daily logs/*.csv.gz --zone Europe/London --since 2025-10-01', 'many files, days of this zone'],
    ],
    build: (command) =>
      addPeriodOption(addWritingOptions(addReadingOptions(logs(command)), TABLE_FIRST, 'table', 'never')),
  },
  {
    name: 'damp',
    summary: 'hours in which water condensed on each surface: certain, expected, possible',
    examples: [
      ['damp --site site.toml --per month', 'the surfaces that the site file describes'],
      ['damp october.csv --surface winch=PT3H', 'a mass that follows the air with 3 h of time constant'],
    ],
    build: (command) =>
      addAccuracyOptions(
        addPeriodOption(addWritingOptions(addReadingOptions(logs(command)), TABLE_FIRST, 'table', 'never')),
      ).addOption(
        new Option(
          '--surface <name=duration>',
          'a mass beside each logger, by its time constant; may be given again',
        )
          .argParser(collect)
          .helpGroup('What is looked at:'),
      ),
  },
  {
    name: 'air',
    summary: 'every quantity of one state of air, with intervals',
    examples: [
      ['air 20 60', '20 °C and 60 %'],
      ['air -5 85 --altitude 800 --format json', 'a frosty morning at 800 m'],
    ],
    build: (command) =>
      addAccuracyOptions(
        addAirOptions(
          addWritingOptions(
            command
              .addArgument(new Argument('<temperature>', 'air temperature [°C]'))
              .addArgument(new Argument('<humidity>', 'relative humidity [%]')),
            TABLE_FIRST,
            'table',
            'never',
          ),
        ),
      ),
  },
];

function logs(command: Command): Command {
  return command.addArgument(
    new Argument('[LOG...]', 'files, quoted patterns, or - for standard input; none: those of the site file'),
  );
}

/** The command line, ready to be parsed. Nothing is printed but through `io`, nothing ends the process. */
export function program(io: Io, runner: Runner): Command {
  const main = new Command('dewledger')
    .description(SUMMARY)
    .usage('<command> [LOG...] [options]')
    .option('--version', 'print the version')
    .addHelpText(
      'after',
      `${EXIT_CODES}\n\nExamples:\n${exampleLines(COMMANDS.map(({ examples }) => examples[0]!))}`,
    )
    .helpCommand('help [command]', 'help for a command');
  settle(main, io);
  for (const described of COMMANDS) {
    const command = main.command(described.name).description(described.summary);
    settle(command, io);
    described
      .build(command)
      .usage(described.name === 'air' ? '<temperature> <humidity> [options]' : '[LOG...] [options]')
      .addHelpText('before', `Examples:\n${exampleLines(described.examples)}\n`)
      .addHelpText('after', EXIT_CODES)
      .action(async (...args: unknown[]) => {
        const words = args.slice(0, -2).flat().map(String);
        const options = command.opts();
        if (words.length === 0 && nothingToRead(options, io)) {
          command.help({ error: true });
        }
        await runner(described.name, words, options);
      });
  }
  main.action(() => {
    const { version, verbose } = main.opts();
    if (version !== true) main.help({ error: true });
    io.stdout.write(versionText(verbose === true));
  });
  main.addOption(new Option('--verbose', 'with --version: of the runtime, too'));
  return main;
}

function settle(command: Command, io: Io): void {
  command
    .exitOverride()
    .showHelpAfterError('(--help shows all options)')
    .allowExcessArguments(false)
    .configureOutput({
      writeOut: (text) => io.stdout.write(text),
      writeErr: (text) => io.stderr.write(text),
      outputError: (text, write) => write(text.replace(/^error: /, 'dewledger: ')),
      getOutHelpWidth: () => io.stdout.columns ?? 100,
      getErrHelpWidth: () => io.stderr.columns ?? 100,
      getOutHasColors: () => false,
      getErrHasColors: () => false,
    });
}

/** No LOG, no site file named, and a terminal where the log would come from: waiting would be silent for ever. */
function nothingToRead(options: { site?: string }, io: Io): boolean {
  return io.stdin.isTTY === true && options.site === undefined && (io.env.DEWLEDGER_SITE ?? '') === '';
}

function exampleLines(examples: readonly (readonly [string, string])[]): string {
  const longest = Math.max(...examples.map(([words]) => words.length));
  return examples.map(([words, does]) => `  dewledger ${words.padEnd(longest)}  ${does}`).join('\n');
}

function versionText(verbose: boolean): string {
  const manifest = new URL('../../package.json', import.meta.url);
  const { version } = JSON.parse(readFileSync(manifest, 'utf8')) as { version: string };
  const line = `dewledger ${version}\n`;
  const { node, icu, tz } = process.versions;
  return verbose ? `${line}node ${node}\nicu ${icu}\ntime zone data ${tz}\n` : line;
}

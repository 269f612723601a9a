import { Argument, Command, Option } from 'commander';
import { nearest } from '../calendar/nearest.js';
import { InputError } from '../errors.js';
import type { Io } from '../present/io.js';
import {
  addAccuracyOptions,
  addAirOptions,
  addLayoutOptions,
  addPeriodOption,
  addReadingOptions,
  addSpellsOptions,
  addWritingOptions,
  collect,
  outputOption,
  PAGE_FORMATS,
  SHELLS,
  zoneOption,
} from './options.js';
import { say } from './session.js';
import { nameAndVersion } from './version.js';

export type CommandName =
  | 'audit'
  | 'clean'
  | 'daily'
  | 'damp'
  | 'spells'
  | 'outages'
  | 'report'
  | 'air'
  | 'site init'
  | 'site check'
  | 'completion'
  | 'manual';
/** Runs a command; errors are thrown. */
export type Runner = (name: CommandName, words: string[], options: unknown) => Promise<void>;

/** A command that looks for nothing finds nothing: it has no 1. */
function exitCodes(finds: boolean): string {
  const codes = finds
    ? ['0  done, nothing at or above --fail-on', '1  done, findings at or above --fail-on']
    : ['0  done'];
  return ['', 'Exit codes:', ...[...codes, '2  the work could not be done'].map((line) => `  ${line}`)].join(
    '\n',
  );
}

/** Commands of two words, by the first of them. */
const GROUPS: Readonly<Record<string, string>> = {
  site: 'write a first site file, or check one',
};

const SUMMARY = `From the exported log of a temperature and humidity logger to figures you can stand behind.`;

interface Described {
  readonly name: CommandName;
  readonly summary: string;
  readonly examples: readonly (readonly [words: string, does: string])[];
  build(command: Command): Command;
}

const HANDING_OUT = 'Before others get it:';

/** Every command: help, completion and the manual are made from this table. */
const COMMANDS: readonly Described[] = [
  {
    name: 'audit',
    summary: 'list what is wrong with the logs and how complete they are',
    examples: [
      ['audit october.csv', 'what is wrong with this log'],
      ['audit --site site.toml --day yesterday --quiet', 'from cron: silent while all is well'],
      ['audit - --format json < october.csv', 'for a program'],
      ['audit --explain spike', 'how this check works, and its limits here'],
    ],
    build: (command) =>
      addWritingOptions(addReadingOptions(logs(command)), 'table', 'error')
        .addOption(
          new Option(
            '--explain <checks>',
            'read no log: say how checks work, by name or all, and their limits',
          )
            .argParser(collect)
            .helpGroup('What is looked at:'),
        )
        .addOption(
          new Option('--sharing', 'also say what a stranger could read from the logs').helpGroup(
            'What is looked at:',
          ),
        ),
  },
  {
    name: 'clean',
    summary: 'write the cleaned log as CSV, with a flag for every value',
    examples: [
      ['clean october.csv -o clean.csv', 'sorted, one reading per instant, bad values blank'],
      ['clean october.csv --add dew_point_temperature,absolute_humidity', 'with derived columns'],
      ['clean october.csv --changes changes.csv --rejects rejects.txt', 'and what was done, line by line'],
      ['clean loft.csv --zone UTC --coarsen PT1H --rename loft=A', 'to hand to a stranger'],
    ],
    build: (command) =>
      addAirOptions(addWritingOptions(addReadingOptions(logs(command)), 'csv', 'never'))
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
        .addOption(new Option('--rejects <file>', 'write the lines that could not be read, verbatim'))
        .addOption(
          new Option('--coarsen <duration>', 'one mean for each step of this length (PT1H)').helpGroup(
            HANDING_OUT,
          ),
        )
        .addOption(
          new Option('--rename <name=other>', 'write this logger under another name; may be given again')
            .argParser(collect)
            .helpGroup(HANDING_OUT),
        ),
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
      addPeriodOption(addWritingOptions(addReadingOptions(logs(command)), 'table', 'never')),
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
        addPeriodOption(addWritingOptions(addReadingOptions(logs(command)), 'table', 'never')),
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
    name: 'spells',
    summary: 'when stated conditions held long enough: for painting, airing or anything else',
    examples: [
      ['spells --site site.toml --for painting --surface "cedar hull"', 'when the hull could be painted'],
      ['spells october.csv --where "relative_humidity<=85" --lasting 4h', 'dry for 4 h or longer'],
      ['spells --site site.toml --for airing --indoor loft --outdoor wall', 'when it was drier outside'],
    ],
    build: (command) =>
      addAirOptions(
        addAccuracyOptions(
          addWritingOptions(addReadingOptions(addSpellsOptions(logs(command))), 'table', 'never'),
        ),
      ),
  },
  {
    name: 'outages',
    summary: 'what was down, when and why, by readings and heartbeats, and how available it all was',
    examples: [
      ['outages --site site.toml --last P30D', 'the loggers and heartbeats that the site file describes'],
      ['outages loft.csv --heartbeats loft-beats.csv.gz', 'one log and its heartbeats'],
    ],
    build: (command) =>
      addWritingOptions(addHeartbeatOptions(addReadingOptions(logs(command))), 'table', 'error'),
  },
  {
    name: 'report',
    summary: 'the page of a night or a month: is all well, and if not, what, where, since when, what to do',
    examples: [
      ['report --site site.toml --day yesterday', 'at seven in the morning'],
      ['report --site site.toml --day yesterday --quiet', 'from cron: silent while all is well'],
      ['report october.csv', 'one log, without a site file'],
    ],
    build: (command) =>
      addWritingOptions(
        addHeartbeatOptions(addReadingOptions(logs(command))),
        'table',
        'error',
        PAGE_FORMATS,
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
            'table',
            'never',
          ),
        ),
      ),
  },
  {
    name: 'site init',
    summary: 'write a first site file from what the logs show, every line with a word about it',
    examples: [
      ['site init logs/*.csv -o dewledger.toml --zone Europe/London', 'what the logs show, to be filled in'],
      ['site init loft.csv loft-heartbeats.csv.gz', 'look at it first'],
    ],
    build: (command) =>
      addLayoutOptions(
        command
          .addArgument(new Argument('<LOG...>', 'logs and heartbeat logs, or quoted patterns'))
          .addOption(zoneOption()),
      )
        .addOption(outputOption())
        .addOption(
          new Option('--force', 'overwrite a file that is there').helpGroup('How the result is written:'),
        ),
  },
  {
    name: 'site check',
    summary: 'check a site file, and tell what it means',
    examples: [
      ['site check site.toml', 'loggers, the files that are theirs, surfaces'],
      ['site check', 'the one that the other commands would use'],
    ],
    build: (command) =>
      addWritingOptions(
        command.addArgument(new Argument('[FILE]', 'the site file; else the one that is found')),
        'table',
        'error',
        PAGE_FORMATS,
      ),
  },
  {
    name: 'completion',
    summary: 'write the script by which a shell completes commands, options and their values',
    examples: [
      ['completion bash', 'in ~/.bashrc: source <(dewledger completion bash)'],
      ['completion fish -o ~/.config/fish/completions/dewledger.fish', 'for good'],
    ],
    build: (command) =>
      command
        .addArgument(new Argument('<shell>', 'the shell that is to complete').choices(SHELLS))
        .addOption(outputOption()),
  },
  {
    name: 'manual',
    summary: 'write the manual page',
    examples: [['manual | man -l -', 'read it']],
    build: (command) => command.addOption(outputOption()),
  },
];

function addHeartbeatOptions(command: Command): Command {
  return command
    .addOption(
      new Option('--heartbeats <file>', 'heartbeat log, or a quoted pattern; may be given again')
        .argParser(collect)
        .helpGroup('What is looked at:'),
    )
    .addOption(
      new Option('--heartbeat-cadence <duration>', 'time between heartbeats (PT1M), else inferred').helpGroup(
        'How the logs are read:',
      ),
    );
}

export const COMMAND_NAMES: readonly CommandName[] = COMMANDS.map(({ name }) => name);

/** Examples of a command, by its words; those of the program itself by none. */
export function examplesOf(words: string): Described['examples'] {
  if (words === '') return COMMANDS.map(({ examples }) => examples[0]!);
  return COMMANDS.find(({ name }) => name === words)?.examples ?? [];
}

function logs(command: Command): Command {
  return command.addArgument(
    new Argument('[LOG...]', 'files, quoted patterns, or - for standard input; none: those of the site file'),
  );
}

/**
 * The command line, ready to be parsed. Nothing ends the process.
 *
 * @param words what will be parsed
 * @param print takes what was asked for of the program itself, its help or its version
 */
export function program(
  words: readonly string[],
  io: Io,
  print: (text: string) => void,
  runner: Runner,
): Command {
  const main = new Command('dewledger')
    .description(SUMMARY)
    .usage('<command> [LOG...] [options]')
    // it stands in a file of its own, which costs as much to read as all of this
    .version(
      words.includes('--version') ? versionText(words.includes('--verbose')) : '',
      '--version',
      'print the version',
    )
    .option('--verbose', 'with --version: of the runtime, too')
    .addHelpText('after', `${exitCodes(true)}\n\nExamples:\n${exampleLines(examplesOf(''))}`)
    .helpCommand(false)
    // else an option that a command has, too, would be taken from it
    .enablePositionalOptions();
  settle(main, io, print);
  for (const described of COMMANDS) {
    const path = described.name.split(' ');
    const above = path.length === 1 ? main : groupNamed(path[0]!, main, io, print);
    const command = above.command(path.at(-1)!).description(described.summary);
    // making the options of all the commands would take half as long as starting the program
    if (!path.every((word) => words.includes(word))) continue;
    settle(command, io, print);
    described.build(command);
    command
      .usage(usageOf(command))
      .addHelpText('before', `Examples:\n${exampleLines(described.examples)}\n`)
      .addHelpText('after', exitCodes('failOn' in command.opts()))
      .action(async (...args: unknown[]) => {
        const words = args
          .slice(0, -2)
          .flat()
          .filter((word) => word !== undefined)
          .map(String);
        const options = command.opts();
        if (words.length === 0 && readsLogs(command) && nothingToRead(options, io)) {
          command.help({ error: true });
        }
        await runner(described.name, words, options);
      });
  }
  const help = main
    .command('help')
    .description('help for a command')
    .argument('[command...]')
    .usage('[command]');
  settle(help, io, print);
  help.action((names: readonly string[]) => {
    names
      .reduce((above, name) => {
        const asked = above.commands.find((command) => command.name() === name);
        if (asked === undefined) throw unknownCommand(name, above);
        return asked;
      }, main)
      .help();
  });
  main.on('command:*', ([name]: [string]) => {
    throw unknownCommand(name, main);
  });
  return main;
}

/** The command that stands above those of two words, made when the first of them needs it. */
function groupNamed(name: string, main: Command, io: Io, print: (text: string) => void): Command {
  const there = main.commands.find((command) => command.name() === name);
  if (there !== undefined) return there;
  const examples = COMMANDS.filter((each) => each.name.startsWith(`${name} `)).map(
    (each) => each.examples[0]!,
  );
  const group = main
    .command(name)
    .description(GROUPS[name]!)
    .usage('<command>')
    .helpCommand(false)
    .addHelpText('before', `Examples:\n${exampleLines(examples)}\n`)
    .addHelpText('after', exitCodes(true));
  settle(group, io, print);
  group.on('command:*', ([word]: [string]) => {
    throw unknownCommand(word, group);
  });
  return group;
}

function unknownCommand(name: string, above: Command): InputError {
  const names = above.commands.map((command) => command.name());
  const near = nearest(name, names);
  return new InputError(
    'there is no command of this name',
    { text: name },
    near.length > 0 ? `did you mean ${near.join(' or ')}?` : `the commands are ${names.join(', ')}`,
  );
}

function settle(command: Command, io: Io, print: (text: string) => void): void {
  command
    .exitOverride()
    .allowExcessArguments(false)
    .configureOutput({
      writeOut: print,
      writeErr: (text) => io.stderr.write(text),
      outputError: (text) => say(io, inHouseForm(text)),
      getOutHelpWidth: () => io.stdout.columns ?? 100,
      getErrHelpWidth: () => io.stderr.columns ?? 100,
      getOutHasColors: () => false,
      getErrHasColors: () => false,
    });
}

/** A message of the command line parser, worded like those of an `InputError`. */
function inHouseForm(text: string): string {
  return text
    .trimEnd()
    .replace(/^error: /, 'dewledger: ')
    .replace(/\n\(Did you mean (.*)\?\)$/, '\n  did you mean $1?');
}

function usageOf({ registeredArguments }: Command): string {
  const operands = registeredArguments.map((argument) => {
    const name = `${argument.name()}${argument.variadic ? '...' : ''}`;
    return argument.required ? `<${name}>` : `[${name}]`;
  });
  return [...operands, '[options]'].join(' ');
}

function readsLogs({ registeredArguments }: Command): boolean {
  return registeredArguments[0]?.name() === 'LOG';
}

/** No LOG, no site file named, and a terminal where the log would come from: waiting would be silent for ever. */
function nothingToRead(options: { site?: string; explain?: unknown }, io: Io): boolean {
  if (options.explain !== undefined) return false;
  return io.stdin.isTTY === true && options.site === undefined && (io.env.DEWLEDGER_SITE ?? '') === '';
}

function exampleLines(examples: readonly (readonly [string, string])[]): string {
  const longest = Math.max(...examples.map(([words]) => words.length));
  return examples.map(([words, does]) => `  dewledger ${words.padEnd(longest)}  ${does}`).join('\n');
}

function versionText(verbose: boolean): string {
  const line = nameAndVersion();
  const { node, icu, tz } = process.versions;
  return verbose ? `${line}\nnode ${node}\nicu ${icu}\ntime zone data ${tz}` : line;
}

import type { Argument, Command, Option } from 'commander';
import { CHECK_NAMES } from '../log/finding.js';
import type {
  CommandEntry,
  CommandTable,
  OperandEntry,
  OptionEntry,
  Values,
} from '../present/commandTable.js';
import type { Io } from '../present/io.js';
import { quantities } from '../psychrometry/quantities.js';
import { COMMAND_NAMES, examplesOf, program } from './program.js';

/** What `--help` says of every command, as a table. */
export function commandTable(io: Io): CommandTable {
  const main = program(
    [...COMMAND_NAMES.flatMap((name) => name.split(' ')), '--version'],
    io,
    () => {},
    async () => {},
  );
  const commands = [...entriesOf(main, [])];
  return {
    program: main.name(),
    summary: main.description(),
    version: main.version() ?? '',
    commands: commands.map((entry) =>
      entry.path.join(' ') === 'help' ? { ...entry, operands: [commandOperand(commands)] } : entry,
    ),
  };
}

function* entriesOf(command: Command, path: readonly string[]): Generator<CommandEntry> {
  const help = command.createHelp();
  yield {
    path,
    summary: command.description(),
    usage: command.usage(),
    operands: command.registeredArguments.map(operandOf),
    options: help.visibleOptions(command).map(optionOf),
    examples: examplesOf(path.join(' ')),
    next: command.commands.map((each) => each.name()),
  };
  for (const each of command.commands) yield* entriesOf(each, [...path, each.name()]);
}

function commandOperand(commands: readonly CommandEntry[]): OperandEntry {
  const words = commands.find(({ path }) => path.length === 0)!.next;
  return {
    name: 'command',
    summary: 'the command to be explained',
    values: { kind: 'words', words },
    repeats: false,
  };
}

function operandOf(argument: Argument): OperandEntry {
  const name = argument.name();
  return {
    name,
    summary: argument.description,
    values: valuesOf(name, argument.argChoices),
    repeats: argument.variadic,
  };
}

function optionOf(option: Option): OptionEntry {
  const value = /<(.*)>/.exec(option.flags)?.[1] ?? null;
  const { defaultValue, helpGroupHeading } = option;
  return {
    short: option.short ?? null,
    long: option.long!,
    value,
    values: valuesOf(value, option.argChoices),
    summary: option.description,
    fallback: typeof defaultValue === 'string' ? defaultValue : null,
    group: helpGroupHeading?.replace(/:$/, '') ?? '',
  };
}

/** By the name that help gives the value: it says what belongs there. */
function valuesOf(name: string | null, choices: readonly string[] | undefined): Values {
  if (choices !== undefined) return { kind: 'words', words: choices };
  switch (name) {
    case 'file':
    case 'LOG':
    case 'FILE':
      return { kind: 'file' };
    case 'checks':
      return { kind: 'list', words: CHECK_NAMES };
    case 'quantities':
      return { kind: 'list', words: quantities.map((quantity) => quantity.name) };
    case 'zone':
      return { kind: 'some', words: ['UTC', ...Intl.supportedValuesOf('timeZone')] };
    case 'day':
      return { kind: 'some', words: ['today', 'yesterday'] };
    default:
      return { kind: 'any' };
  }
}

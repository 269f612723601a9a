import type { CommandEntry, CommandTable, OptionEntry } from './commandTable.js';

/** A part of the manual that no table holds. */
export interface ManualSection {
  readonly title: string;
  readonly paragraphs?: readonly string[];
  /** Names and what they mean. */
  readonly entries?: readonly (readonly [name: string, meaning: string])[];
}

/**
 * The manual page in the man macros, ASCII only, so that every roff shows it.
 *
 * An option that several commands share is told of once.
 *
 * @param date when the text was last worked on, as `2026-11-25`
 * @param before sections before the options, `after` those behind
 */
export function manualPage(
  { program, summary, version, commands }: CommandTable,
  date: string,
  before: readonly ManualSection[],
  after: readonly ManualSection[],
): string {
  const named = commands.filter(({ path, next }) => path.length > 0 && next.length === 0);
  return [
    `.TH ${program.toUpperCase()} 1 ${date} "${version}"`,
    '.SH NAME',
    `${text(program)} \\- ${text(summary[0]!.toLowerCase() + summary.slice(1).replace(/\.$/, ''))}`,
    '.SH SYNOPSIS',
    ...named.flatMap((command, i) => [...(i === 0 ? [] : ['.br']), synopsis(program, command)]),
    ...before.flatMap(sectionLines),
    '.SH COMMANDS',
    ...named.flatMap(({ path, summary: does }) => entryLines(path.join(' '), `${does}.`)),
    '.SH OPTIONS',
    ...optionLines(commands),
    ...after.flatMap(sectionLines),
    '.SH EXAMPLES',
    ...named.flatMap(({ examples }) =>
      examples.flatMap(([words, does]) => entryLines(`${program} ${words}`, `${does}.`)),
    ),
    '',
  ].join('\n');
}

function synopsis(program: string, { path, usage }: CommandEntry): string {
  const words = usage
    .split(' ')
    .map((word) =>
      text(word).replace(/[A-Za-z]+/, (name) => (word === '[options]' ? name : `\\fI${name}\\fR`)),
    );
  return `\\fB${text([program, ...path].join(' '))}\\fR ${words.join(' ')}`;
}

function sectionLines({ title, paragraphs = [], entries = [] }: ManualSection): string[] {
  return [
    `.SH ${title.toUpperCase()}`,
    ...paragraphs.flatMap((each, i) => [...(i === 0 ? [] : ['.PP']), text(each)]),
    ...entries.flatMap(([name, meaning]) => entryLines(name, meaning)),
  ];
}

function entryLines(name: string, meaning: string): string[] {
  return ['.TP', `\\fB${text(name)}\\fR`, text(meaning)];
}

/** Options that read the same, and the commands that have them. */
interface SharedOption {
  readonly option: OptionEntry;
  /** By command, what holds without the option. */
  readonly fallbacks: Map<string, string | null>;
}

function optionLines(commands: readonly CommandEntry[]): string[] {
  const groups = new Map<string, Map<string, SharedOption>>();
  for (const { path, options } of commands) {
    for (const option of options) {
      const group = groups.get(option.group) ?? new Map<string, SharedOption>();
      groups.set(option.group, group);
      const key = JSON.stringify([option.long, option.value, option.summary, option.values]);
      const shared = group.get(key) ?? { option, fallbacks: new Map<string, string | null>() };
      group.set(key, shared);
      shared.fallbacks.set(path.join(' '), option.fallback);
    }
  }
  const last = (title: string) => (title === '' ? 1 : 0);
  return [...groups]
    .toSorted(([a], [b]) => last(a) - last(b))
    .flatMap(([title, options]) => {
      const shared = [...options.values()];
      const usual = title === '' ? '' : commonest(shared.map(commandsOf));
      return [
        `.SS ${text(title === '' ? 'Others' : title)}`,
        ...(title === '' ? [] : [`In ${text(usual)}:`]),
        ...shared.flatMap((each) => sharedLines(each, usual)),
      ];
    });
}

function commandsOf({ fallbacks }: SharedOption): string {
  return [...fallbacks.keys()].filter((name) => name !== '').join(', ');
}

function commonest(texts: readonly string[]): string {
  const count = (text: string) => texts.filter((each) => each === text).length;
  return texts.reduce((best, each) => (count(each) > count(best) ? each : best));
}

/** @param usual the commands that need not be named */
function sharedLines(shared: SharedOption, usual: string): string[] {
  const { option, fallbacks } = shared;
  const { short, long, value, values, summary } = option;
  const flags = [short, long].filter((flag) => flag !== null).map((flag) => `\\fB${text(flag)}\\fR`);
  const told = [summary];
  if (values.kind === 'words' && values.words.length <= 12) told.push(`one of ${values.words.join(', ')}`);
  if (values.kind === 'list') told.push(`of ${values.words.join(', ')}`);
  const fallback = fallbackText(fallbacks);
  if (fallback !== '') told.push(`else ${fallback}`);
  const commands = commandsOf(shared);
  const where = commands === usual || commands === '' ? '' : ` (${commands})`;
  return [
    '.TP',
    `${flags.join(', ')}${value === null ? '' : ` \\fI${text(value)}\\fR`}`,
    text(`${told.join('; ')}${where}.`),
  ];
}

/** One value for all commands, or each with those that have it. */
function fallbackText(fallbacks: ReadonlyMap<string, string | null>): string {
  const commands = new Map<string, string[]>();
  for (const [command, value] of fallbacks) {
    if (value !== null) commands.set(value, [...(commands.get(value) ?? []), command]);
  }
  const entries = [...commands];
  if (entries.length <= 1) return entries[0]?.[0] ?? '';
  return entries.map(([value, names]) => `${value} for ${names.join(', ')}`).join('; ');
}

/** A text as roff shows it: nothing in it is a request, a hyphen can be copied, the rest of Unicode by number. */
function text(words: string): string {
  return words
    .replaceAll('\\', '\\e')
    .replaceAll('-', '\\-')
    .replace(/^['.]/, '\\&$&')
    .replace(
      /[^\n -~]/gu,
      (character) => `\\[u${character.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}]`,
    );
}

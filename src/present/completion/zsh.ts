import {
  type CommandEntry,
  type CommandTable,
  longLists,
  type OperandEntry,
  type OptionEntry,
  type Values,
} from '../commandTable.js';

/** Completion for zsh, with what each word means beside it. Works sourced, and as a file in `fpath`. */
export function zshCompletion(table: CommandTable): string {
  const { program, commands } = table;
  const long = longLists(table);
  const lists = [...long].map(
    ([name, words]) => `${listName(program, name)}() {\n  compadd "$@" -- ${words.join(' ')}\n}\n`,
  );
  const functions = commands.map((entry) => functionFor(entry, table, new Set(long.keys())));
  const main = functionName(program, []);
  return `#compdef ${program}
# Completion of ${program} for zsh, in ~/.zshrc after compinit: source <(${program} completion zsh)

${[...lists, ...functions].join('\n')}
if [[ $funcstack[1] == ${main} ]]; then
  ${main} "$@"
else
  compdef ${main} ${program}
fi
`;
}

function functionName(program: string, path: readonly string[]): string {
  return ['', program, ...path].join('_');
}

/** No command has a hyphen in its name, so that none of their functions is called like this. */
function listName(program: string, value: string): string {
  return `_${program}-${value}`;
}

function functionFor(
  entry: CommandEntry,
  { program, commands }: CommandTable,
  listed: ReadonlySet<string>,
): string {
  const { path, options, operands, next } = entry;
  const specs = options.map((option) =>
    optionSpec(
      option,
      option.value !== null && listed.has(option.value)
        ? listName(program, option.value)
        : action(option.values),
    ),
  );
  const name = functionName(program, path);
  if (next.length === 0) {
    return `${name}() {\n  _arguments -S -s${lines([...specs, ...operands.map(operandSpec)])}\n}\n`;
  }
  const summaries = next.map((word) => {
    const { summary } = commands.find((each) => each.path.join(' ') === [...path, word].join(' '))!;
    return quoted(`${word}:${summary}`);
  });
  const cases = next.map((word) => `        ${word}) ${functionName(program, [...path, word])} ;;`);
  return `${name}() {
  local state line
  typeset -A opt_args
  _arguments -C -S -s${lines([...specs, quoted('1: :->command'), quoted('*:: :->rest')])}
  case $state in
    command)
      local -a commands=(
        ${summaries.join('\n        ')}
      )
      _describe command commands ;;
    rest)
      case $line[1] in
${cases.join('\n')}
      esac ;;
  esac
}
`;
}

function lines(specs: readonly string[]): string {
  return specs.map((spec) => ` \\\n    ${spec}`).join('');
}

/** Options may be given again: which of them add up is not for completion to know. */
function optionSpec({ short, long, value, summary }: OptionEntry, does: string): string {
  const told = `[${summary.replace(/[[\]\\:]/g, '\\$&')}]`;
  const takes = value === null ? '' : `:${value.replaceAll(':', ' ')}:${does}`;
  const wide = value === null ? long : `${long}=`;
  const flags = short === null ? [wide] : [short, wide];
  return flags.map((flag) => quoted(`*${flag}${told}${takes}`)).join(' ');
}

function operandSpec({ name, values, repeats }: OperandEntry): string {
  return quoted(`${repeats ? '*' : ''}:${name}:${action(values)}`);
}

function action(values: Values): string {
  switch (values.kind) {
    case 'words':
    case 'some':
      return `(${values.words.join(' ')})`;
    case 'list':
      return `_values -s , word ${values.words.join(' ')}`;
    case 'file':
      return '_files';
    case 'any':
      return ' ';
  }
}

function quoted(text: string): string {
  return `'${text.replaceAll("'", "'\\''")}'`;
}

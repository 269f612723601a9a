import { type CommandEntry, type CommandTable, longLists, type Values } from '../commandTable.js';

/** Completion for fish 3 and later, with what each word means beside it. */
export function fishCompletion(table: CommandTable): string {
  const { program, commands } = table;
  const long = longLists(table);
  const lists = [...long].map(([name, words]) => `set -g __${program}_${name} ${words.join(' ')}`);
  const rules = commands.flatMap((entry) => rulesFor(entry, table, new Set(long.keys())));
  return `# Completion of ${program} for fish, in ~/.config/fish/config.fish: ${program} completion fish | source

# Whether the words before the cursor are exactly these, options apart.
function __${program}_at
    set -l said (string match --invert -- '-*' (commandline -opc)[2..-1])
    test "$said" = "$argv"
end

# Whether the words before the cursor begin with these, options apart.
function __${program}_in
    set -l said (string match --invert -- '-*' (commandline -opc)[2..-1])
    set -l last (count $argv)
    test (count $said) -ge $last; and test "$said[1..$last]" = "$argv"
end

complete -c ${program} -e
complete -c ${program} -f
${[...lists, ...rules].join('\n')}
`;
}

function rulesFor(
  entry: CommandEntry,
  { program, commands }: CommandTable,
  listed: ReadonlySet<string>,
): string[] {
  const { path, options, operands, next } = entry;
  const isLeaf = next.length === 0;
  const where = quoted([`__${program}_${isLeaf ? 'in' : 'at'}`, ...path].join(' '));
  const rule = (...parts: string[]) => [`complete -c ${program} -n ${where}`, ...parts].join(' ');
  return [
    ...next.map((word) => {
      const { summary } = commands.find((each) => each.path.join(' ') === [...path, word].join(' '))!;
      return rule('-a', word, '-d', quoted(summary));
    }),
    ...options.map(({ short, long, value, values, summary }) =>
      rule(
        ...(short === null ? [] : ['-s', short.slice(1)]),
        '-l',
        long.slice(2),
        ...(value === null
          ? []
          : [
              '-r',
              ...(listed.has(value) ? ['-f', '-a', quoted(`$__${program}_${value}`)] : candidates(values)),
            ]),
        '-d',
        quoted(summary),
      ),
    ),
    ...operands
      .filter(({ values }) => values.kind !== 'any')
      .map(({ values }) => rule(...candidates(values))),
  ];
}

function candidates(values: Values): string[] {
  switch (values.kind) {
    case 'words':
    case 'some':
      return ['-f', '-a', quoted(values.words.join(' '))];
    case 'list':
      return ['-f', '-a', quoted(`(__fish_append , ${values.words.join(' ')})`)];
    case 'file':
      return ['-F'];
    case 'any':
      return ['-f'];
  }
}

function quoted(text: string): string {
  return `'${text.replace(/[\\']/g, '\\$&')}'`;
}

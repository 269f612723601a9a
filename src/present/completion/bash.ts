import type { CommandEntry, CommandTable, Values } from '../commandTable.js';

/**
 * Completion for bash 3.2 and later, which needs nothing installed besides. Words are told apart here and not
 * by the program, so that a key press costs no start of it.
 */
export function bashCompletion({ program, commands }: CommandTable): string {
  const name = `_${program}`;
  const groups = commands.filter(({ path, next }) => path.length > 0 && next.length > 0);
  return `# Completion of ${program} for bash, in ~/.bashrc: source <(${program} completion bash)

${name}() {
  local IFS=$' \\t\\n' word i current="\${COMP_WORDS[COMP_CWORD]}" before="\${COMP_WORDS[COMP_CWORD-1]}" command='' ended=''
  # bash cuts --format=json at the equals sign
  if [[ $current == '=' ]]; then
    current=''
  elif [[ $before == '=' ]]; then
    before="\${COMP_WORDS[COMP_CWORD-2]}"
  fi
  for ((i = 1; i < COMP_CWORD; i++)); do
    word="\${COMP_WORDS[i]}"
    if [[ $word == -- ]]; then ended=yes; fi
    if [[ $word == -* ]]; then continue; fi
    case "$command" in
      '') command="$word" ;;
${groups.map(({ path }) => `      ${quoted(path.join(' '))}) command="$command $word" ;;`).join('\n')}
      *) break ;;
    esac
  done
  COMPREPLY=()
  local words='' list='' files=''
  if [[ -z $ended ]]; then
    case "$command $before" in
${valueCases(commands)}
    esac
  fi
  if [[ -z $words$list$files ]]; then
    case "$command" in
${commands.map(commandCase).join('\n')}
    esac
  fi
  if [[ -n $list ]]; then
    local start=''
    if [[ $current == *,* ]]; then start="\${current%,*},"; fi
    COMPREPLY=($(compgen -P "$start" -W "$list" -- "\${current##*,}"))
  elif [[ -n $words ]]; then
    COMPREPLY=($(compgen -W "$words" -- "$current"))
  fi
  if [[ $files == yes ]]; then
    IFS=$'\\n'
    compopt -o filenames 2>/dev/null
    COMPREPLY+=($(compgen -f -- "$current"))
  fi
}

complete -F ${name} ${program}
`;
}

/** What stands after an option that takes a value; options that take the same share a line. */
function valueCases(commands: readonly CommandEntry[]): string {
  const places = new Map<string, string[]>();
  for (const { path, options } of commands) {
    for (const { short, long, value, values } of options) {
      if (value === null) continue;
      const places_ = places.get(assigned(values)) ?? [];
      places.set(assigned(values), places_);
      for (const flag of [short, long]) if (flag !== null) places_.push(quoted(`${path.join(' ')} ${flag}`));
    }
  }
  return [...places].map(([does, where]) => `      ${where.join(' | ')}) ${does} ;;`).join('\n');
}

function assigned(values: Values): string {
  switch (values.kind) {
    case 'words':
    case 'some':
      return `words=${quoted(values.words.join(' '))}`;
    case 'list':
      return `list=${quoted(values.words.join(' '))}`;
    case 'file':
      return 'files=yes';
    case 'any':
      return 'return';
  }
}

/** What may stand where no value is due: an option, or else an operand. */
function commandCase({ path, options, operands, next }: CommandEntry): string {
  const flags = options.flatMap(({ short, long }) => (short === null ? [long] : [short, long]));
  const [operand] = operands;
  const otherwise =
    next.length > 0
      ? `words=${quoted(next.join(' '))}`
      : operand === undefined || operand.values.kind === 'any'
        ? ':'
        : assigned(operand.values);
  return `      ${quoted(path.join(' '))})
        if [[ $current == -* && -z $ended ]]; then words=${quoted(flags.join(' '))}; else ${otherwise}; fi ;;`;
}

function quoted(text: string): string {
  return `'${text.replaceAll("'", "'\\''")}'`;
}

import { execFileSync, spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { CHECK_NAMES } from '../../src/log/finding.js';
import { call, folderOf } from './call.js';

/** Words typed so far, and what may follow: all of it, or some of it. */
const CASES: readonly { typed: string; gives?: string[]; among?: string[] }[] = [
  { typed: 'aud', gives: ['audit'] },
  { typed: '', among: ['audit', 'damp', 'air', 'completion', 'help'] },
  { typed: 'audit --fo', gives: ['--format'] },
  { typed: 'audit --format ', gives: ['csv', 'html', 'json', 'markdown', 'table'] },
  { typed: 'audit --no-header --format j', gives: ['json'] },
  { typed: 'damp --per mo', gives: ['month'] },
  { typed: 'audit --zone Europe/Lon', gives: ['Europe/London'] },
  { typed: 'audit --fail-on e', gives: ['error'] },
  { typed: 'audit --day yes', gives: ['yesterday'] },
  { typed: 'audit --last ', gives: [] },
  { typed: 'audit octo', gives: ['october.csv'] },
  { typed: 'audit --site octo', gives: ['october.csv'] },
  { typed: 'audit october.csv --output no', gives: ['november.csv'] },
  { typed: 'completion ', gives: ['bash', 'fish', 'zsh'] },
  { typed: 'help d', gives: ['daily', 'damp'] },
  { typed: 'site ', gives: ['check', 'init'] },
  { typed: 'site init --fo', gives: ['--force'] },
  { typed: 'site check --format m', gives: ['markdown'] },
  { typed: 'site check octo', gives: ['october.csv'] },
  { typed: 'air ', gives: [] },
];

const folder = folderOf({ 'october.csv': '', 'november.csv': '' });
const has = (shell: string) => spawnSync(shell, ['-c', 'exit'], { stdio: 'ignore' }).status === 0;

const LINES = CASES.map(({ typed }) => typed);
const LISTS = 'audit --skip gap,spi';

describe.each([
  { shell: 'bash', complete: inBash, lists: ['gap,spike'] },
  { shell: 'zsh', complete: inZsh, lists: ['spike'] },
  { shell: 'fish', complete: inFish, lists: ['gap,spike'] },
])('completion $shell', ({ shell, complete, lists }) => {
  describe.skipIf(!has(shell))(`where ${shell} is installed`, () => {
    let offered: string[][] = [];
    beforeAll(async () => {
      const { stdout, stderr, code } = await call(['completion', shell]);
      expect({ stderr, code }).toEqual({ stderr: '', code: 0 });
      const script = join(folderOf({ [`completion.${shell}`]: stdout }), `completion.${shell}`);
      offered = complete(script, [...LINES, LISTS]).map((words) => words.toSorted());
    }, 60_000);

    it.each(CASES.map((each, place) => ({ ...each, place })))(
      'dewledger $typed',
      ({ place, gives, among }) => {
        if (gives !== undefined) expect(offered[place]).toEqual(gives);
        if (among !== undefined) expect(offered[place]).toEqual(expect.arrayContaining(among));
      },
    );

    it('goes on after a comma where several names may stand', () => {
      expect(CHECK_NAMES).toContain('spike');
      expect(offered.at(-1)).toEqual(lists);
    });
  });
});

it('bash goes on after an equals sign, at which it cuts words itself', async () => {
  const { stdout } = await call(['completion', 'bash']);
  const script = join(folderOf({ script: stdout }), 'script');
  expect(bashWords(script, ['dewledger', 'audit', '--format', '=', 'js'])).toEqual(['json']);
  expect(bashWords(script, ['dewledger', 'audit', '--format', '='])).toHaveLength(5);
  expect(bashWords(script, ['dewledger', 'audit', '--', '--fo'])).toEqual([]);
});

it('refuses other shells', async () => {
  const { code, stdout, stderr } = await call(['completion', 'ksh']);
  expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
  expect(stderr).toContain('Allowed choices are bash, zsh, fish.');
});

function inBash(script: string, lines: readonly string[]): string[][] {
  return lines.map((line) => bashWords(script, ['dewledger', ...line.split(' ')]));
}

function bashWords(script: string, words: readonly string[]): string[] {
  const program = `source "$1"; shift
    COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _dewledger; printf '%s\\n' "\${COMPREPLY[@]}"`;
  return shownBy('bash', ['--norc', '-c', program, 'bash', script, ...words]);
}

function inFish(script: string, lines: readonly string[]): string[][] {
  const program = 'source $argv[1]; for line in $argv[2..-1]; complete -C "dewledger $line"; echo END; end';
  const said = shownBy('fish', ['--no-config', '-c', program, script, ...lines]);
  return sections(said.map((line) => line.split('\t')[0]!));
}

/** At the prompt of a zsh in a terminal of its own: what the key offers is not to be had otherwise. */
function inZsh(script: string, lines: readonly string[]): string[][] {
  const program = `
    zmodload zsh/zpty
    zpty shell zsh -f -i
    zpty -w shell 'PROMPT=; autoload -Uz compinit; compinit -D -u; source '$1
    zpty -w shell 'compadd() {
      builtin compadd "$@"
      if [[ " $* " == *" -"[OAD]" "* ]] return
      local -a offered; builtin compadd -O offered "$@"; print -rl -- OFFERED:$^offered
    }'
    zpty -w shell 'offer() { zle list-choices; print -r -- "<""END>"; zle kill-whole-line }'
    zpty -w shell 'zle -N offer; bindkey "^I" offer; print REA""DY'
    zpty -r shell said '*READY*'
    for line in "\${@[2,-1]}"; do
      zpty -n -w shell "dewledger $line"$'\\t'
      zpty -r shell said '*<END>*'
      print -r -- $said
      print END
    done
    zpty -d shell`;
  const said = shownBy('zsh', ['-f', '-c', program, 'zsh', script, ...lines]);
  return sections(said).map((section) => [
    ...new Set(section.flatMap((line) => /OFFERED:(.+?)\s*$/.exec(line)?.[1] ?? [])),
  ]);
}

function shownBy(shell: string, words: readonly string[]): string[] {
  const env = { ...process.env, LANG: 'C.UTF-8', TERM: 'dumb', HOME: folder };
  const said = execFileSync(shell, words, { cwd: folder, env, encoding: 'utf8', timeout: 50_000 });
  return said.split('\n').filter((line) => line !== '');
}

function sections(lines: readonly string[]): string[][] {
  const found: string[][] = [[]];
  for (const line of lines) {
    if (line === 'END') found.push([]);
    else found.at(-1)!.push(line);
  }
  return found.slice(0, -1);
}

import { CommanderError } from 'commander';
import type { AirCommandOptions } from './commands/air.js';
import type { AuditOptions } from './commands/audit.js';
import type { CleanOptions } from './commands/clean.js';
import type { DailyOptions } from './commands/daily.js';
import type { DampOptions } from './commands/damp.js';
import type { Shell, WritingOptions } from './commands/options.js';
import type { OutagesOptions } from './commands/outages.js';
import { program } from './commands/program.js';
import type { ReportOptions } from './commands/report.js';
import { deliver, Exit, say } from './commands/session.js';
import type { SiteCheckOptions } from './commands/siteCheck.js';
import type { SiteInitOptions } from './commands/siteInit.js';
import type { SpellsOptions } from './commands/spells.js';
import { explain, InputError } from './errors.js';
import type { Io } from './present/io.js';
import { isClosedPipe, ownFailures } from './present/output.js';

export type { Io };

/** The commands, loaded when they are called: `--help` needs none of them. */
const RUNNERS = {
  audit: async (words: string[], options: unknown, io: Io) =>
    (await import('./commands/audit.js')).runAudit(words, options as AuditOptions, io),
  clean: async (words: string[], options: unknown, io: Io) =>
    (await import('./commands/clean.js')).runClean(words, options as CleanOptions, io),
  daily: async (words: string[], options: unknown, io: Io) =>
    (await import('./commands/daily.js')).runDaily(words, options as DailyOptions, io),
  damp: async (words: string[], options: unknown, io: Io) =>
    (await import('./commands/damp.js')).runDamp(words, options as DampOptions, io),
  spells: async (words: string[], options: unknown, io: Io) =>
    (await import('./commands/spells.js')).runSpells(words, options as SpellsOptions, io),
  outages: async (words: string[], options: unknown, io: Io) =>
    (await import('./commands/outages.js')).runOutages(words, options as OutagesOptions, io),
  report: async (words: string[], options: unknown, io: Io) =>
    (await import('./commands/report.js')).runReport(words, options as ReportOptions, io),
  air: async ([temperature, humidity]: string[], options: unknown, io: Io) =>
    (await import('./commands/air.js')).runAir([temperature!, humidity!], options as AirCommandOptions, io),
  'site init': async (words: string[], options: unknown, io: Io) =>
    (await import('./commands/siteInit.js')).runSiteInit(words, options as SiteInitOptions, io),
  'site check': async ([file]: string[], options: unknown, io: Io) =>
    (await import('./commands/siteCheck.js')).runSiteCheck(file, options as SiteCheckOptions, io),
  completion: async ([shell]: string[], options: unknown, io: Io) =>
    (await import('./commands/completion.js')).runCompletion(shell as Shell, options as WritingOptions, io),
  manual: async (_words: string[], options: unknown, io: Io) =>
    (await import('./commands/manual.js')).runManual(options as WritingOptions, io),
};

/**
 * The whole program: words and streams in, exit code out. Never ends the process, never throws.
 *
 * @param words the command line without the name of the program
 */
export async function run(words: readonly string[], io: Io): Promise<Exit> {
  ownFailures(io.stdout);
  ownFailures(io.stderr);
  try {
    return await obey(words, io);
  } catch (error) {
    if (isClosedPipe(error)) return Exit.done; // `… | head` has read enough
    if (error instanceof InputError) {
      say(io, `dewledger: ${explain(error)}`);
      return Exit.failed;
    }
    sayBug(error, words, io);
    return Exit.failed;
  }
}

async function obey(words: readonly string[], io: Io): Promise<Exit> {
  let code: Exit = Exit.done;
  const printed: string[] = [];
  const commander = program(
    words,
    io,
    (text) => printed.push(text),
    async (name, args, options) => {
      code = await RUNNERS[name](args, options, io);
    },
  );
  try {
    await commander.parseAsync([...words], { from: 'user' });
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    if (error.exitCode !== 0) return Exit.failed; // the parser has said why
  }
  if (printed.length > 0) await deliver(printed, {}, io);
  return code;
}

function sayBug(error: unknown, words: readonly string[], io: Io): void {
  const fault = error instanceof Error ? error : new Error(String(error));
  say(io, `dewledger: this is a bug: ${fault.message}`);
  say(
    io,
    words.includes('--verbose')
      ? `${fault.stack}`
      : '  run it again with --verbose for the place where it happened',
  );
}

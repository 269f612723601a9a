import { bashCompletion } from '../present/completion/bash.js';
import { fishCompletion } from '../present/completion/fish.js';
import { zshCompletion } from '../present/completion/zsh.js';
import type { Io } from '../present/io.js';
import { commandTable } from './commandTable.js';
import type { Shell, WritingOptions } from './options.js';
import { deliver, Exit } from './session.js';

const SCRIPTS = { bash: bashCompletion, zsh: zshCompletion, fish: fishCompletion };

/** Writes the script by which a shell completes the words of this program. */
export async function runCompletion(
  shell: Shell,
  options: Pick<WritingOptions, 'output'>,
  io: Io,
): Promise<Exit> {
  await deliver([SCRIPTS[shell](commandTable(io))], options, io);
  return Exit.done;
}

import { exactDuration } from '../calendar/duration.js';
import { nearest } from '../calendar/nearest.js';
import { coarsen } from '../cleaning/coarsen.js';
import { InputError } from '../errors.js';
import type { CleanLog, Flags } from '../log/log.js';
import { DAY, type Milliseconds } from '../units.js';

/** What is to be taken out of cleaned logs before others get them. */
export interface HandingOut {
  /** Length of a step (ISO 8601), of which one mean remains. */
  readonly coarsen?: string;
  /** `NAME=OTHER`. */
  readonly rename?: readonly string[];
}

interface Handed {
  readonly log: CleanLog;
  readonly flags: Flags;
}

/**
 * How cleaned logs are made ready for others.
 *
 * @throws InputError for a step that divides no day, and for a renaming that does not say what is meant
 */
export function handOut({
  coarsen: step,
  rename = [],
}: HandingOut): (logs: readonly Handed[]) => readonly Handed[] {
  const length = step === undefined ? null : stepFrom(step);
  const renamings = rename.map(renamingFrom);
  return (logs) => {
    const names = namesAfter(
      logs.map(({ log }) => log.logger),
      renamings,
    );
    return logs.map((each, i) => {
      const { log, flags } = length === null ? each : coarsen(each, length);
      return { log: { ...log, logger: names[i]! }, flags };
    });
  };
}

function stepFrom(text: string): Milliseconds {
  const step = exactDuration(text);
  if (step > 0 && DAY % step === 0) return step;
  throw new InputError('a day must be so many whole steps', { text }, 'such as --coarsen PT1H, PT3H or P1D');
}

function renamingFrom(text: string): readonly [from: string, to: string] {
  const at = text.lastIndexOf('=');
  const [from, to] = [text.slice(0, at).trim(), text.slice(at + 1).trim()];
  if (at > 0 && from !== '' && to !== '') return [from, to];
  throw new InputError('a renaming is a name and another', { text }, 'such as --rename boat-hall=A');
}

function namesAfter(names: readonly string[], renamings: readonly (readonly [string, string])[]): string[] {
  for (const [i, [from]] of renamings.entries()) {
    if (renamings.findIndex(([other]) => other === from) < i)
      throw new InputError('a logger is renamed twice', { text: from }, 'keep one of the two');
    if (names.includes(from)) continue;
    const near = nearest(from, names);
    throw new InputError(
      'there is no logger of this name to rename',
      { text: from },
      near.length > 0 ? `did you mean ${near.join(' or ')}?` : `there is ${names.join(', ')}`,
    );
  }
  const after = names.map((name) => renamings.find(([from]) => from === name)?.[1] ?? name);
  const twice = after.find((name, i) => after.indexOf(name) < i);
  if (twice !== undefined)
    throw new InputError(
      'two loggers would have one name',
      { text: twice },
      'their readings could not be told apart',
    );
  return after;
}

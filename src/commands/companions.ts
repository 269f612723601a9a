import type { Companion } from '../damp/companion.js';
import type { ModelledSurface } from '../damp/surface.js';
import { InputError } from '../errors.js';
import type { Io } from '../present/io.js';
import { STDIN } from '../reading/source.js';
import { type Intake, takeIn, type Work } from './intake.js';
import type { ReadingOptions } from './options.js';

/** Finds the second thermometer that a surface needs; null for a surface that needs none. */
export type CompanionFinder = (surface: ModelledSurface, work: Work) => Promise<Companion | null>;

/**
 * Second thermometers are other loggers, which may be among those asked for already, or further columns of a
 * logger's own file. What is not there is read in a run of its own, once.
 *
 * @throws InputError, when it is asked for, where a thermometer cannot be read
 */
export function companionFinder(
  logs: readonly string[],
  options: ReadingOptions,
  io: Io,
  intake: Intake,
): CompanionFinder {
  const found = new Map<string, Promise<Companion>>();

  async function read(own: ReadingOptions, logger: string, surface: string): Promise<Companion> {
    if (logs.includes(STDIN) || intake.paths.includes(STDIN)) {
      throw new InputError(
        `surface "${surface}" needs a second thermometer, and standard input can be read only once`,
        {},
        'give the log as a file',
      );
    }
    const { works, failures } = await takeIn(logs, { ...own, logger: [logger] }, io);
    const work = works[0];
    if (work === undefined || failures.length > 0) {
      throw (
        failures[0] ??
        new InputError(`surface "${surface}" needs logger "${logger}", which is not among the logs`, {})
      );
    }
    return { log: work.course, bridge: work.bridge };
  }

  function once(key: string, make: () => Promise<Companion>): Promise<Companion> {
    const known = found.get(key) ?? make();
    found.set(key, known);
    return known;
  }

  return async (surface, work) => {
    if (surface.model !== 'measured' && surface.model !== 'between') return null;
    const own = work.reading.log.logger;
    if (surface.model === 'measured' && 'column' in surface.thermometer) {
      const { column } = surface.thermometer;
      const columns = { ...options, temperatureColumn: column, humidityColumn: 'none' };
      return once(`column ${own} ${column}`, () => read(columns, own, surface.name));
    }
    const id =
      surface.model === 'between' ? surface.outside : (surface.thermometer as { logger: string }).logger;
    const other = intake.works.find(({ reading }) => reading.log.logger === id);
    if (other !== undefined) return { log: other.course, bridge: other.bridge };
    return once(`logger ${id}`, () => read(options, id, surface.name));
  };
}

import { InputError } from '../errors.js';
import { cellsOf, lookOf, textOf } from './dialect.js';
import type { Encoding } from './encoding.js';
import type { Layout } from './layout.js';
import type { LineRecord } from './records.js';
import { meaningOf } from './words.js';

/**
 * The layout from here on, if this line is the heading once more: monthly files joined end to end repeat
 * it, and a later file may have its columns in another order, or more of them.
 *
 * @returns null where the line is no heading
 * @throws InputError where it is one, but lacks a column that is read: the lines below mean something else
 */
export function headerMap(
  record: LineRecord,
  layout: Layout,
  encoding: Encoding,
  file: string,
): Layout | null {
  if (layout.headerLine === null || record.count < 2) return null;
  if (record.raw() === layout.headerText) return layout;
  const cells = cellsOf(record).map((cell) => cell.replaceAll('"', ''));
  if (!cells.every((cell) => cell.trim() === '' || lookOf(cell) === 'text')) return null;
  const named = cells.map((cell) => textOf(cell, encoding));
  // short of the same name in front as the first heading was
  const names = layout.headings[0] === '' && named[0] !== '' ? ['', ...named] : named;
  const place = (column: number | null): number | null => {
    if (column === null) return null;
    const heading = layout.headings[column]!;
    return heading === '' ? column : names.indexOf(heading);
  };
  const pairs = layout.pairs.map((pair) => ({
    logger: pair.logger,
    temperature: place(pair.temperature),
    humidity: place(pair.humidity),
  }));
  const time = layout.time.map((column) => place(column)!);
  const logger = place(layout.logger);
  const flags =
    layout.flags === null
      ? null
      : { temperature: place(layout.flags.temperature)!, humidity: place(layout.flags.humidity)! };
  const places = [...time, logger, flags?.temperature, flags?.humidity];
  for (const pair of pairs) places.push(pair.temperature, pair.humidity);
  if (places.includes(-1)) {
    if (namesAReading(named, layout)) throw otherHeading(named, layout, file, record.line);
    return null;
  }
  return {
    ...layout,
    headerText: record.raw(),
    headings: names,
    width: names.length,
    time,
    logger,
    pairs,
    flags,
  };
}

/** Whether a line of words names everything that a reading has. A damaged line seldom does. */
function namesAReading(names: readonly string[], { pairs }: Layout): boolean {
  const roles = names.map((name) => meaningOf(name).role);
  return (
    (roles.includes('time') || roles.includes('date')) &&
    (roles.includes('temperature') || pairs[0]!.temperature === null) &&
    (roles.includes('humidity') || pairs[0]!.humidity === null)
  );
}

function otherHeading(names: readonly string[], layout: Layout, file: string, line: number): InputError {
  const read = [...layout.time, ...layout.pairs.flatMap((pair) => [pair.temperature, pair.humidity])];
  const missing = read
    .map((column) => (column === null ? '' : layout.headings[column]!))
    .filter((heading) => heading !== '' && !names.includes(heading));
  return new InputError(
    `another heading begins here, without the column "${missing[0] ?? layout.headings[layout.logger!]}"`,
    { file, line, text: names.join(' ') },
    'cut the file in two above this line, and read both parts',
  );
}

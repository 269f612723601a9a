import { cellsOf, lookOf, textOf } from './dialect.js';
import type { Encoding } from './encoding.js';
import type { Layout } from './layout.js';
import type { LineRecord } from './records.js';

const BOM = '\u00ef\u00bb\u00bf';

/**
 * The layout from here on, if this line is the heading once more: monthly files joined end to end repeat
 * it, and a later file may have its columns in another order, or more of them.
 *
 * @returns null where the line is no heading, or lacks one of the columns that are read
 */
export function headerMap(record: LineRecord, layout: Layout, encoding: Encoding): Layout | null {
  if (layout.headerLine === null || record.count < 2) return null;
  if (record.raw().replace(BOM, '') === layout.headerText) return layout;
  const cells = cellsOf(record).map((cell) => cell.replace(BOM, '').replaceAll('"', ''));
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
  if (places.includes(-1)) return null;
  return { ...layout, headings: names, width: names.length, time, logger, pairs, flags };
}

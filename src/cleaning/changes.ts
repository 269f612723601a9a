import type { Audit } from '../audit/audit.js';
import { displacedRows } from '../audit/disorder.js';
import { inputOrders } from '../audit/inputOrder.js';
import { formatInstant } from '../calendar/print.js';
import type { Zone } from '../calendar/zone.js';
import { Flag } from '../log/flag.js';
import { lineAt } from '../log/lines.js';
import { type Log, valuesOf } from '../log/log.js';
import { ascendingOrder } from '../log/order.js';
import { pieceAt, rowAt } from '../log/pieces.js';
import { firstFrom } from '../log/span.js';
import type { Cleaned } from './clean.js';

/** One thing that cleaning did to one line. With the cleaned log and the rejects, the input can be rebuilt. */
export interface Change {
  readonly source: string;
  readonly line: number;
  /**
   * `air_temperature` or `relative_humidity`: a value was blanked; `reading`: the whole reading was left out,
   * `before` is its instant and its two values; `position`: it was moved, from its place among the readings
   * of its source, in order of input, to that in order of time. Places count from the oldest: in a source that
   * runs from the newest reading to the oldest, from its end.
   */
  readonly field: 'air_temperature' | 'relative_humidity' | 'reading' | 'position';
  readonly before: string;
  readonly after: string;
  /** The check that gave the reason, and for `reading` what was kept instead. */
  readonly reason: string;
}

/** More than a source can have. */
const LINES = 2 ** 32;

/**
 * What cleaning changed, in order of source and line.
 *
 * @param zone in which instants are written, the zone of the cleaned file
 */
export function changesOf(audit: Audit, cleaned: Cleaned, zone: Zone): Change[] {
  const changes = [
    ...blankedValues(audit, cleaned),
    ...unreadableCells(audit),
    ...droppedReadings(audit, cleaned, zone),
    ...movedLines(audit),
  ];
  const rank = new Map(audit.log.sources.map((source, index) => [source, index]));
  // a few lists that are in order already: they are merged
  const order = ascendingOrder(
    Float64Array.from(changes, ({ source, line }) => rank.get(source)! * LINES + line),
  );
  return order === null ? changes : Array.from(order, (i) => changes[i]!);
}

function placeOf(log: Log, row: number): { source: string; line: number } {
  return { source: log.sources[log.source[row]!]!, line: lineAt(log.lines, row) };
}

function* blankedValues({ log, marks }: Audit, { log: after, kept }: Cleaned): Generator<Change> {
  for (const quantity of ['air_temperature', 'relative_humidity'] as const) {
    const reasons = new Map<number, string>();
    for (const { check, mark } of marks) {
      if (mark.quantity !== quantity || mark.flag === Flag.questionable) continue;
      for (let i = 0; i < mark.rows.length; i++)
        if (!reasons.has(mark.rows[i]!)) reasons.set(mark.rows[i]!, check);
    }
    const values = valuesOf(log, quantity);
    const left = valuesOf(after, quantity);
    for (let place = nextBlank(left, 0); place < left.length; place = nextBlank(left, place + 1)) {
      const row = rowAt(kept, place);
      if (Number.isNaN(values[row])) continue;
      const reason = reasons.get(row) ?? 'flag in the input';
      yield { ...placeOf(log, row), field: quantity, before: `${values[row]}`, after: '', reason };
    }
  }
}

function nextBlank(values: Float64Array, from: number): number {
  for (let place = from; place < values.length; place++) if (Number.isNaN(values[place]!)) return place;
  return values.length;
}

function* unreadableCells({ unreadable }: Audit): Generator<Change> {
  for (const { source, line, quantity, text } of unreadable) {
    yield { source, line, field: quantity, before: text, after: '', reason: 'unreadable' };
  }
}

function* droppedReadings(
  { log, around, asked }: Audit,
  { dropped }: Cleaned,
  zone: Zone,
): Generator<Change> {
  const said = (value: number) => (Number.isNaN(value) ? '-' : `${value}`);
  for (const { row, for: kept, conflicting } of dropped) {
    const before = [
      formatInstant(log.time[row]!, zone),
      said(log.temperature[row]!),
      said(log.humidity[row]!),
    ];
    // what was kept may lie before the readings that were asked for
    const { line } = placeOf(around.log, asked.first + kept);
    const check =
      log.time[row] !== around.log.time[asked.first + kept]
        ? 'repeat_submission'
        : conflicting
          ? 'conflict'
          : 'duplicate';
    const reason = `${check}, line ${line} kept`;
    yield { ...placeOf(log, row), field: 'reading', before: before.join(' '), after: '', reason };
  }
}

function* movedLines({ log, newestFirst, cadence }: Audit): Generator<Change> {
  const displaced = displacedRows(log, newestFirst, cadence);
  if (displaced.length === 0) return;
  const places = new Map<number, { readonly inInput: number; readonly inTime: number }>();
  for (const { inInput, inTime } of inputOrders(log, newestFirst)) {
    let before = 0; // rows of the source in front of the piece
    for (const piece of inTime) {
      const { from, to } = pieceAt(inInput, piece);
      for (let i = firstFrom(displaced, from); displaced[i]! < to; i++) {
        const further = displaced[i]! - from + 1;
        places.set(displaced[i]!, { inInput: inInput.starts[piece]! + further, inTime: before + further });
      }
      before += to - from;
    }
  }
  for (const row of displaced) {
    const { inInput, inTime } = places.get(row)!;
    yield {
      ...placeOf(log, row),
      field: 'position',
      before: `${inInput}`,
      after: `${inTime}`,
      reason: 'disorder',
    };
  }
}

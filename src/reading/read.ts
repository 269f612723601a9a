import type { Zone } from '../calendar/zone.js';
import { InputError } from '../errors.js';
import type { RejectReason } from '../log/account.js';
import { isFlag } from '../log/flag.js';
import { lineAt } from '../log/lines.js';
import type { WallTime } from '../units.js';
import { isFurniture, textOf } from './dialect.js';
import { type ByteText, ENOUGH, type Encoding, encodingOf, toPlainBytes } from './encoding.js';
import { headerMap } from './header.js';
import { type Layout, type LayoutOptions, layoutOf } from './layout.js';
import { type Feed, lineFeed } from './lineFeed.js';
import { findName, type NameTable, nameTable } from './nameTable.js';
import { cellKind, parseNumber, parseWithUnit } from './number.js';
import { type PlainBlock, type PlainColumns, type PlainLines, plainLines } from './plainLines.js';
import { type LineRecord, recordScanner } from './records.js';
import { addReject, type RejectRuns } from './rejections.js';
import { append, appendRows, emptySeries, flagRow, type Series, takeOut } from './series.js';
import { openSource, sourceName } from './source.js';
import { EARLIEST, LATEST, stampParser } from './stamp.js';
import { goesOn, goOn, type HeldLines, isSuspect, unsetGroups } from './unsetClock.js';
import { meaningOf } from './words.js';

/** One input and how it is to be read. */
export interface Input {
  /** A path, or `-` for standard input. */
  readonly path: string;
  /** The logger whose log it is where the input does not say. */
  readonly logger: string;
  readonly layout: LayoutOptions;
  /** Zone of stamps that carry no offset. */
  readonly zone: Zone;
}

/** Told of every line that cannot be made into a reading, as it stands in the input. */
export type RejectListener = (raw: ByteText) => void;

/** What one input holds: readings as written, in order of input, and where each line went. */
export interface SourceReading {
  readonly source: string;
  readonly encoding: Encoding;
  /** Null where the input holds no line of values at all. */
  readonly layout: Layout | null;
  /** The zone that was applied to stamps without offset; null where none was needed. */
  readonly zone: Zone | null;
  readonly loggers: ReadonlyMap<string, LoggerReading>;
  readonly header: number;
  readonly blank: number;
  /** Rejected lines by reason; those that name a logger stand with it. */
  readonly rejections: RejectRuns;
  /** Of a file with a pair of columns for each logger: lines that hold a value for any, and for none. */
  readonly wide: { readonly filled: number; readonly empty: number } | null;
}

export interface LoggerReading {
  readonly series: Series;
  /** Lines of a wide file that hold nothing for this logger. */
  absent: number;
  readonly rejections: RejectRuns;
  readonly held: HeldLines;
  readonly unreadable: { line: number; quantity: 'air_temperature' | 'relative_humidity'; text: ByteText }[];
}

/** So much of an input is looked at before anything is decided about it [characters]. */
const SAMPLE = 1 << 18;
/** So much of a rejected line is kept to be shown [characters]. */
const EXAMPLE = 500;
/** Up to this many different loggers in a file; beyond it the column is no name. */
const MOST_LOGGERS = 10_000;

/**
 * Reads one input whole: every line becomes a reading, or is counted under what it is instead.
 *
 * @throws InputError where it cannot be read, or where something about it cannot be decided
 */
export async function readSource(
  input: Input,
  stdin: AsyncIterable<unknown>,
  onReject: RejectListener,
): Promise<SourceReading> {
  const source = sourceName(input.path);
  const { pieces, size } = await openSource(input.path, stdin);
  const head: Buffer[] = [];
  let complete = false;
  for (let length = 0; !complete && length < ENOUGH; ) {
    const next = await pieces.next();
    if (next.done === true) complete = true;
    else length += head[head.push(Buffer.from(next.value)) - 1]!.length;
  }
  const bytes = Buffer.concat(head);
  const encoding = encodingOf(bytes);
  const toPlain = toPlainBytes(encoding);
  let plain = toPlain(bytes);
  let sample = '';
  let layout: Layout | null = null;
  let wanted = 0; // a sample from a pipe may come in small pieces
  while (layout === null) {
    wanted = Math.max(SAMPLE, 2 * wanted);
    const parts = [plain];
    let length = plain.length;
    while (!complete && length < wanted) {
      const next = await pieces.next();
      if (next.done === true) complete = true;
      else length += parts[parts.push(Buffer.from(toPlain(next.value))) - 1]!.length;
    }
    plain = Buffer.concat(parts);
    sample = plain.toString('latin1');
    refuseBinary(sample, source);
    const bare = complete ? withoutReadings(input, source, encoding, sample) : null;
    if (bare !== null) return bare;
    layout = layoutOf(wholeLines(sample, complete), complete, encoding, input.layout, source);
  }
  const lines = size === null ? 0 : Math.ceil((SPARE * size) / lineLength(plain, layout));
  const reader = lineReader(input, source, encoding, layout, lines, onReject);
  sample = '';
  reader.push(plain, complete);
  plain = NOTHING;
  if (!complete) {
    for await (const piece of pieces) reader.push(toPlain(piece), false);
    reader.push(NOTHING, true);
  }
  return reader.result();
}

const NOTHING = Buffer.alloc(0);
/** Room for lines that are shorter than those of the sample; memory that is never written to costs nothing. */
const SPARE = 1.1;

/** Mean length of lines [bytes]. */
function lineLength(bytes: Buffer, { punctuation: { lineEnd } }: Layout): number {
  const part = bytes.subarray(0, ENOUGH);
  const end = lineEnd.charCodeAt(0);
  let count = 1;
  for (let at = part.indexOf(end); at >= 0; at = part.indexOf(end, at + 1)) count++;
  return part.length / count;
}

/** An input that is empty, or holds its heading only: a log without readings. Null where there is more. */
function withoutReadings(
  input: Input,
  source: string,
  encoding: Encoding,
  text: ByteText,
): SourceReading | null {
  let heading: ByteText | null = null;
  for (const [line] of text.matchAll(/[^\r\n]+/g)) {
    if (line.trim() === '' || isFurniture(line)) continue;
    if (heading !== null) return null; // so most inputs are told by their first lines
    heading = line;
  }
  if (heading !== null && !speaksOfTime(textOf(heading, encoding))) return null;
  const lines = text.split(/\r\n|\r|\n/);
  if (lines.at(-1) === '') lines.pop();
  const filled = lines.filter((line) => line.trim() !== '');
  return {
    source,
    encoding,
    layout: null,
    zone: null,
    loggers: new Map([[input.logger, emptyLogger(0)]]),
    header: filled.length,
    blank: lines.length - filled.length,
    rejections: new Map(),
    wide: null,
  };
}

function speaksOfTime(heading: string): boolean {
  const roles = heading.split(/[,;\t|]/).map((name) => meaningOf(name.replaceAll('"', '')).role);
  return roles.some((role) => role === 'time' || role === 'date');
}

/** @param lines how many are expected; 0 where that is not known */
function emptyLogger(lines: number): LoggerReading {
  return {
    series: emptySeries(lines),
    absent: 0,
    rejections: new Map(),
    held: { raw: new Map(), steady: NaN },
    unreadable: [],
  };
}

// biome-ignore lint/suspicious/noControlCharactersInRegex: it is they that are looked for
const CONTROLS = /[\0-\x08\x0b\x0c\x0e-\x1f]/g;
/** Control characters that no text has, as a share of the sample that settles it. */
const BINARY_SHARE = 0.1;

function refuseBinary(sample: ByteText, file: string): void {
  // a power cut may leave a block of zeros in the middle of a log
  const head = sample.slice(0, SAMPLE).replace(/\0{2,}/g, '\0');
  const controls = head.match(CONTROLS)?.length ?? 0;
  if (controls > BINARY_SHARE * head.length) {
    throw new InputError(
      'this is not a text file',
      { file },
      'give a CSV export; gzip is unpacked here, other archives are not',
    );
  }
}

/** The sample up to its last line end: a line that is cut by the edge of the sample says nothing. */
function wholeLines(sample: ByteText, complete: boolean): ByteText {
  if (complete) return sample;
  const end = Math.max(sample.lastIndexOf('\n'), sample.includes('\n') ? -1 : sample.lastIndexOf('\r'));
  return end < 0 ? sample : sample.slice(0, end + 1);
}

interface LineReader {
  readonly push: Feed;
  result(): SourceReading;
}

/**
 * Turns lines into readings. All that is decided about an input stands in `layout`; here nothing is guessed.
 *
 * @param lines about how many there are; 0 where that is not known
 */
function lineReader(
  input: Input,
  source: string,
  encoding: Encoding,
  firstLayout: Layout,
  lines: number,
  onReject: RejectListener,
): LineReader {
  let layout = firstLayout;
  const { zone } = input;
  const stamps = stampParser(layout.style);
  const { decimal } = layout;
  /** Letter of the unit that temperatures are in. */
  const degrees = layout.temperatureUnit?.slice(-1) ?? 'C';
  const wide = layout.pairs.length > 1;
  const loggers = new Map<string, LoggerReading>();
  const rejections: RejectRuns = new Map();
  const { offset } = layout;
  let header = 0;
  let blank = 0;
  const counts: Counts = { accepted: 0, filled: 0, empty: 0, zoneUsed: false };
  let lastDecimals = -1;
  let steadyDecimals = 0;

  const wideLoggers = wide ? layout.pairs.map((pair) => loggerNamed(pair.logger!)) : [];
  const only = wide || layout.logger !== null ? null : loggerNamed(input.logger);
  let lastId: ByteText | null = null;
  let lastLogger: LoggerReading | null = null;

  function loggerNamed(name: string): LoggerReading {
    let found = loggers.get(name);
    if (found === undefined) {
      if (loggers.size >= MOST_LOGGERS) {
        throw new InputError(
          `column "${layout.headings[layout.logger!]}" holds more than ${MOST_LOGGERS} different names of loggers`,
          { file: source },
          'say with --logger-column which column names the logger, or --logger-column none',
        );
      }
      found = emptyLogger(layout.logger === null || wide ? lines : 0);
      loggers.set(name, found);
    }
    return found;
  }

  /** The logger that a line names, null where its cell is empty. */
  function loggerOn(record: LineRecord): LoggerReading | null {
    if (only !== null) return only;
    const from = record.start[layout.logger!]!;
    const to = record.end[layout.logger!]!;
    if (lastId !== null && to - from === lastId.length && record.text.startsWith(lastId, from))
      return lastLogger;
    const id = record.text.slice(from, to);
    const name = unguarded(textOf(id, encoding));
    if (name === '') return null;
    lastId = id;
    lastLogger = loggerNamed(name);
    return lastLogger;
  }

  function reject(
    record: LineRecord,
    reason: RejectReason,
    logger: LoggerReading | null,
    detail: string | null,
  ): void {
    const raw = record.raw();
    onReject(raw);
    addReject(logger?.rejections ?? rejections, reason, counts.accepted, record, () => ({
      example: exampleOf(raw),
      detail,
    }));
  }

  function exampleOf(raw: ByteText): string {
    return textOf(copyOf(raw.slice(0, EXAMPLE)), encoding);
  }

  /** Rejects what turns out, now that all of the input is known, to be stamped by a clock that was not set. */
  function setAside({ series, rejections: runs, held, unreadable }: LoggerReading): void {
    // a cleaned file was looked at before
    if (layout.flags !== null || held.raw.size === 0) return;
    const linesIn = ({ from, to }: { readonly from: number; readonly to: number }) =>
      Array.from({ length: to - from }, (_, i) => lineAt(series.lines, from + i));
    const groups = unsetGroups(series).filter((group) => linesIn(group).every((line) => held.raw.has(line)));
    if (groups.length === 0) return;
    const gone = new Set<number>();
    const clocks = runs.get('clock') ?? [];
    runs.set('clock', clocks);
    for (const group of groups) {
      const lines = linesIn(group);
      for (const line of lines) {
        onReject(held.raw.get(line)!);
        gone.add(line);
      }
      clocks.push({
        count: lines.length,
        firstLine: lines[0]!,
        lastLine: lines.at(-1)!,
        example: exampleOf(held.raw.get(lines[0]!)!),
        detail: null,
        accepted: counts.accepted,
      });
    }
    clocks.sort((a, b) => a.firstLine - b.firstLine);
    takeOut(series, groups);
    let left = 0;
    for (const cell of unreadable) if (!gone.has(cell.line)) unreadable[left++] = cell;
    unreadable.length = left;
  }

  /** A value cell; NaN where it holds none. `troubled` says that it holds something, but no number. */
  let troubled = false;
  function numberOn(record: LineRecord, column: number, unit: string | null): number {
    const from = record.start[column]!;
    const to = record.end[column]!;
    const value = parseNumber(record.text, from, to, decimal);
    troubled = false;
    if (!Number.isNaN(value)) return value;
    const text = record.text.slice(from, to);
    if (cellKind(text) === 'missing') return NaN;
    const written = parseWithUnit(text, decimal);
    // a file whose logger was switched from °C to °F holds both
    troubled = Number.isNaN(written.value) || (written.unit !== null && written.unit !== unit);
    return troubled ? NaN : written.value;
  }

  /** Gives false where a line of a wide file holds nothing for the logger. */
  function addValues(
    record: LineRecord,
    logger: LoggerReading,
    time: number,
    shift: number,
    pair: number,
  ): boolean {
    const columns = layout.pairs[pair]!;
    const { series, unreadable } = logger;
    const temperature = columns.temperature === null ? NaN : numberOn(record, columns.temperature, degrees);
    const temperatureTroubled = columns.temperature !== null && troubled;
    const humidity = columns.humidity === null ? NaN : numberOn(record, columns.humidity, null);
    const humidityTroubled = columns.humidity !== null && troubled;
    if (
      wide &&
      Number.isNaN(temperature) &&
      Number.isNaN(humidity) &&
      !temperatureTroubled &&
      !humidityTroubled
    ) {
      logger.absent++;
      return false;
    }
    const row = series.length;
    append(series, time, temperature, humidity, record.line);
    if (shift > 0) series.repeated.push({ row, shift });
    if (temperatureTroubled || humidityTroubled) {
      note(temperatureTroubled, columns.temperature, 'air_temperature');
      note(humidityTroubled, columns.humidity, 'relative_humidity');
      flagRow(series, row, temperatureTroubled ? 4 : 0, humidityTroubled ? 4 : 0);
    } else if (layout.flags !== null) {
      flagRow(series, row, flagOf(record, layout.flags.temperature), flagOf(record, layout.flags.humidity));
    }
    return true;

    function note(
      is: boolean,
      column: number | null,
      quantity: 'air_temperature' | 'relative_humidity',
    ): void {
      if (!is) return;
      const text = record.text.slice(record.start[column!]!, record.end[column!]!);
      unreadable.push({ line: record.line, quantity, text });
    }
  }

  function flagOf(record: LineRecord, column: number): number {
    return flagFrom(parseNumber(record.text, record.start[column]!, record.end[column]!, decimal));
  }

  function timeOn(record: LineRecord): number {
    const [a, b] = layout.time as [number, number | undefined];
    if (b === undefined) return stamps.parse(record.text, record.start[a]!, record.end[a]!);
    const { text, start, end } = record;
    const joined = `${text.slice(start[a]!, end[a]!)} ${text.slice(start[b]!, end[b]!)}`;
    return stamps.parse(joined, 0, joined.length);
  }

  /** What stands above the heading is a title page; a line of units may stand below it. */
  function isAboveReadings(line: number): boolean {
    const { headerLine, unitsLine } = firstLayout;
    return headerLine !== null && (line <= headerLine || line === unitsLine);
  }

  /** A line that is no reading: layout of the export, a heading that comes again, or rejected. */
  function other(record: LineRecord, reason: RejectReason): void {
    const raw = record.raw();
    if (isAboveReadings(record.line) || isFurniture(raw)) {
      header += record.lines;
      return;
    }
    const again = headerMap(record, layout, encoding, source);
    if (again !== null) {
      layout = again;
      header += record.lines;
      return;
    }
    reject(
      record,
      reason,
      null,
      reason === 'cells' ? `${layout.width} cells are needed, here are ${record.count}` : null,
    );
  }

  function visit(record: LineRecord): void {
    if (record.trouble !== null) {
      reject(record, record.trouble, null, null);
      return;
    }
    if (isBlankLine(record)) {
      blank += record.lines;
      return;
    }
    if (record.count !== layout.width && !hasEmptyTail(record, layout.width)) {
      other(record, 'cells');
      return;
    }
    const said = timeOn(record);
    if (Number.isNaN(said)) {
      other(record, 'time');
      return;
    }
    const logger = wide ? null : loggerOn(record);
    if (!wide && logger === null) {
      reject(record, 'logger', null, null);
      return;
    }
    let time = said;
    let shift = 0;
    if (!stamps.placed && offset !== null) {
      time = said - offset;
    } else if (!stamps.placed) {
      counts.zoneUsed = true;
      if (said >= EARLIEST && said < LATEST) {
        time = zone.firstInstant(said as WallTime);
        if (Number.isNaN(time)) {
          reject(record, 'skipped_hour', logger, zone.name);
          return;
        }
        shift = zone.lastInstant(said as WallTime) - time;
      }
    }
    if (!(time >= EARLIEST && time < LATEST)) {
      reject(record, 'clock', logger, null);
      return;
    }
    if (!record.terminated && isCut(record)) {
      reject(record, 'cut', logger, null);
      return;
    }
    counts.accepted++;
    if (wide) {
      let values = 0;
      for (let pair = 0; pair < wideLoggers.length; pair++) {
        if (addValues(record, wideLoggers[pair]!, time, shift, pair)) values++;
      }
      if (values > 0) counts.filled++;
      else counts.empty++;
    } else {
      addValues(record, logger!, time, shift, 0);
      if (isSuspect(logger!.held, time)) logger!.held.raw.set(record.line, copyOf(record.raw()));
    }
    if (isLearning()) countDecimals(record);
  }

  /**
   * The last line, without a line end, may have been cut in the middle of its last number. It has, where
   * all lines before end in numbers of one and the same number of decimals, and this one has fewer.
   */
  function isCut(record: LineRecord): boolean {
    return steadyDecimals >= STEADY && decimalsOf(record) < lastDecimals;
  }

  function isLearning(): boolean {
    return steadyDecimals >= 0 && steadyDecimals < STEADY;
  }

  function countDecimals(record: LineRecord): void {
    const decimals = decimalsOf(record);
    steadyDecimals =
      decimals === lastDecimals ? steadyDecimals + 1 : decimals > 0 && lastDecimals < 0 ? 1 : -Infinity;
    lastDecimals = decimals;
  }

  function decimalsOf(record: LineRecord): number {
    const cell = record.text.slice(record.start[record.count - 1]!, record.end[record.count - 1]!).trim();
    const mark = cell.lastIndexOf(decimal);
    return mark < 0 ? 0 : cell.length - mark - 1;
  }

  const names = nameTable((id) => loggers.get(unguarded(textOf(id, encoding))) ?? null);

  let plain: PlainLines | null = null;
  let plainLayout: Layout | null = null;
  /** The lane for plain lines; null while the ends of lines are looked at, and where there is none. */
  function plainLane(): PlainLines | null {
    if (isLearning()) return null;
    if (plainLayout !== layout) {
      const takings = { counts, only, wide: wideLoggers, names, isFlagged: layout.flags !== null };
      plain = plainLines<Takings>(plainColumns(layout, zone), takings, wide ? takePairs : takeReadings);
      plainLayout = layout;
    }
    return plain;
  }

  const { punctuation } = layout;
  return {
    push: lineFeed(punctuation.lineEnd, plainLane, recordScanner(punctuation, visit)),
    result: () => {
      for (const logger of loggers.values()) setAside(logger);
      // an input without any reading belongs to some logger too
      if (loggers.size === 0) loggerNamed(input.logger);
      return {
        source,
        encoding,
        layout: firstLayout,
        zone: counts.zoneUsed ? zone : null,
        loggers,
        header,
        blank,
        rejections,
        wide: wide ? { filled: counts.filled, empty: counts.empty } : null,
      };
    },
  };
}

/** What became of the lines so far. */
interface Counts {
  accepted: number;
  /** Lines of a wide file that hold a value for any of its loggers, and for none. */
  filled: number;
  empty: number;
  /** Whether the zone of the input was needed for any. */
  zoneUsed: boolean;
}

/** Where the plain lines of an input go. */
interface Takings {
  readonly counts: Counts;
  readonly only: LoggerReading | null;
  /** By pair of columns. */
  readonly wide: readonly LoggerReading[];
  readonly names: NameTable<LoggerReading>;
  readonly isFlagged: boolean;
}

/** The same as `visit` for lines of which everything is certain. */
function takeReadings(takings: Takings, block: PlainBlock): number {
  const { counts, only } = takings;
  const taken = only === null ? takeNamed(takings, block) : takeOwn(only, takings.isFlagged, block);
  if (block.firstZoned < taken) counts.zoneUsed = true;
  counts.accepted += taken;
  return taken;
}

/** All lines are of one logger. */
function takeOwn({ series, held }: LoggerReading, isFlagged: boolean, block: PlainBlock): number {
  const { values, line } = block;
  const count = goOn(held, values[0]!, block.count);
  appendRows(series, values, line, count);
  if (isFlagged) flagRows(series, values, 0, count);
  return count;
}

/** Each line names its logger. */
function takeNamed({ names, isFlagged }: Takings, { line, count, bytes, values, texts }: PlainBlock): number {
  const [time, temperature, humidity] = values;
  const { from, to } = texts[0]!;
  for (let row = 0; row < count; row++) {
    const logger = findName(names, bytes, from[row]!, to[row]!);
    if (logger === null || !goesOn(logger.held, time![row]!)) return row;
    append(logger.series, time![row]!, temperature![row]!, humidity![row]!, line + row);
    if (isFlagged) flagRows(logger.series, values, row, row + 1);
  }
  return count;
}

/** Gives the last rows of a series the flags that stand in the lines [from, to) of a block. */
function flagRows(series: Series, values: readonly Float64Array[], from: number, to: number): void {
  const first = series.length - to;
  for (let line = from; line < to; line++)
    flagRow(series, first + line, flagFrom(values[3]![line]!), flagFrom(values[4]![line]!));
}

/** The same for lines of a wide file. */
function takePairs({ counts, wide }: Takings, { line, count, values, firstZoned }: PlainBlock): number {
  const filled = new Uint8Array(count);
  for (let pair = 0; pair < wide.length; pair++) {
    takePair(wide[pair]!, values[0]!, values[2 * pair + 1]!, values[2 * pair + 2]!, line, filled);
  }
  for (let row = 0; row < count; row++) counts.filled += filled[row]!;
  counts.empty = counts.accepted + count - counts.filled;
  if (firstZoned < count) counts.zoneUsed = true;
  counts.accepted += count;
  return count;
}

/** Marks the lines that hold a value. */
function takePair(
  logger: LoggerReading,
  time: Float64Array,
  temperature: Float64Array,
  humidity: Float64Array,
  line: number,
  filled: Uint8Array,
): void {
  for (let row = 0; row < filled.length; row++) {
    if (Number.isNaN(temperature[row]!) && Number.isNaN(humidity[row]!)) logger.absent++;
    else {
      append(logger.series, time[row]!, temperature[row]!, humidity[row]!, line + row);
      filled[row] = 1;
    }
  }
}

function plainColumns(layout: Layout, zone: Zone): PlainColumns {
  const { punctuation, decimal, width, time, style, offset, logger, pairs, flags } = layout;
  const numbers = pairs.flatMap(({ temperature, humidity }) => [temperature, humidity]);
  if (flags !== null) numbers.push(flags.temperature, flags.humidity);
  const names = logger === null || pairs.length > 1 ? [] : [logger];
  return { punctuation, decimal, width, time, style, offset, zone, numbers, names };
}

function flagFrom(value: number): number {
  return isFlag(value) ? value : 0;
}

/** A name without the apostrophe by which a cleaned file keeps spreadsheets from running it as a formula. */
function unguarded(name: string): string {
  return /^'[=+@-]/.test(name) ? name.slice(1) : name;
}

/** Text of its own: a slice would keep the piece of the input that it was cut from. */
function copyOf(text: ByteText): ByteText {
  return Buffer.from(text, 'latin1').toString('latin1');
}

/** Lines in a row with the same number of decimals at their end that make it the rule of the input. */
const STEADY = 20;

function isBlankLine({ text, count, start, end }: LineRecord): boolean {
  for (let cell = 0; cell < count; cell++) {
    for (let i = start[cell]!; i < end[cell]!; i++) {
      const code = text.charCodeAt(i);
      if (code !== 32 && code !== 9) return false;
    }
  }
  return true;
}

/** One delimiter too many at the end. */
function hasEmptyTail({ text, count, start, end }: LineRecord, width: number): boolean {
  return count === width + 1 && text.slice(start[width]!, end[width]!).trim() === '';
}

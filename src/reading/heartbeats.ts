import type { Zone } from '../calendar/zone.js';
import { InputError } from '../errors.js';
import type { LineAccount, RejectReason } from '../log/account.js';
import type { Instant, Milliseconds, WallTime } from '../units.js';
import {
  type CellLook,
  cellsOf,
  clarityOf,
  head,
  isFurniture,
  isStampLook,
  lookOf,
  partsAny,
  rowsOf,
  type SampleRow,
  textOf,
} from './dialect.js';
import { type ByteText, ENOUGH, type Encoding, encodingOf, toPlainBytes } from './encoding.js';
import { lineFeed } from './lineFeed.js';
import { findName, type NameTable, nameTable } from './nameTable.js';
import { parseNumber } from './number.js';
import { type PlainBlock, type PlainColumns, plainLines } from './plainLines.js';
import { type LineRecord, type Punctuation, recordScanner } from './records.js';
import { openSource, sourceName } from './source.js';
import { type DateOrder, dateOrderOf, EARLIEST, LATEST, type StampStyle, stampParser } from './stamp.js';
import { meaningOf } from './words.js';

/** One input of heartbeats: a line per beat, with a time, and perhaps a logger and a sign of restarts. */
export interface BeatInput {
  /** A path, or `-` for standard input. */
  readonly path: string;
  /** The logger whose beats these are where the input does not say. */
  readonly logger: string;
  /** Zone of stamps that carry no offset. */
  readonly zone: Zone;
  readonly dateOrder: DateOrder | null;
}

/**
 * Told of every beat, in order of input.
 *
 * @param restarted whether the logger started anew between this beat and its one before; of an input that runs
 *   from the newest beat to the oldest, its one after. Null where the input does not say.
 * @param skipped numbers of rows that are missing between the two; 0 where rows have no numbers, or only some of
 *   them were exported
 */
export type BeatListener = (
  logger: string,
  time: Instant,
  restarted: boolean | null,
  skipped: number,
) => void;

/** One input of heartbeats as a whole. */
export interface BeatSource {
  readonly source: string;
  readonly lines: LineAccount;
  /** Rejected lines by reason, and the first of them as people read it. */
  readonly rejected: ReadonlyMap<RejectReason, { count: number; line: number; example: string }>;
  /** The loggers that have a beat in it. */
  readonly loggers: ReadonlySet<string>;
  /** Zone that was applied to stamps without offset; null where none was needed. */
  readonly zone: Zone | null;
}

/** So much of an input is looked at before anything is decided about it [bytes]. */
const SAMPLE = 1 << 16;
/** Lines of the sample that are tried with every delimiter. */
const TRIAL_LINES = 200;
/** Lines of the sample that columns are judged by; all of it where there is no beat among them. */
const JUDGED_LINES = 400;
/** Lines that tell the order of day and month, mostly: a day and a midnight of a beat a minute. */
const ORDER_LINES = 1600;
const DELIMITERS = ['\t', ';', ',', '|', ' '] as const;

/**
 * Reads heartbeats line by line and keeps none of them: a year of them takes no more memory than a day.
 *
 * @throws InputError where the input cannot be read, or holds no time stamp
 */
export async function readBeats(
  input: BeatInput,
  stdin: AsyncIterable<unknown>,
  onBeat: BeatListener,
): Promise<BeatSource> {
  const source = sourceName(input.path);
  const { pieces } = await openSource(input.path, stdin);
  let complete = false;
  const more = async (): Promise<Buffer | null> => {
    const next = await pieces.next();
    complete = next.done === true;
    return complete ? null : (next.value as Buffer);
  };
  const head: Buffer[] = [];
  for (let size = 0; !complete && size < ENOUGH; ) {
    const chunk = await more();
    if (chunk !== null) size += head[head.push(Buffer.from(chunk)) - 1]!.length;
  }
  const bytes = Buffer.concat(head);
  const encoding = encodingOf(bytes);
  const toPlain = toPlainBytes(encoding);
  let sample = toPlain(bytes);
  let layout: BeatLayout | null = null;
  for (let wanted = SAMPLE; layout === null; wanted *= 2) {
    const parts = [sample];
    for (let size = sample.length; !complete && size < wanted; ) {
      const chunk = await more();
      if (chunk !== null) size += parts[parts.push(Buffer.from(toPlain(chunk))) - 1]!.length;
    }
    sample = Buffer.concat(parts);
    const text = sample.toString('latin1');
    if (complete && holdsNoBeat(text)) return withoutBeats(source, text);
    layout = beatLayout(text, complete, encoding, input, source);
  }
  const reader = beatReader(input, source, encoding, layout, onBeat);
  reader.push(sample, complete);
  while (!complete) {
    const chunk = await more();
    reader.push(chunk === null ? Buffer.alloc(0) : toPlain(chunk), complete);
  }
  return reader.result();
}

/** Nothing, or nothing but a heading. */
function holdsNoBeat(text: ByteText): boolean {
  const lines = text.split(/\r\n|\r|\n/).filter((line) => line.trim() !== '' && !isFurniture(line));
  return lines.length === 0 || (lines.length === 1 && !/\d{4}/.test(lines[0]!));
}

function withoutBeats(source: string, text: ByteText): BeatSource {
  const lines = text.split(/\r\n|\r|\n/);
  if (lines.at(-1) === '') lines.pop();
  const header = lines.filter((line) => line.trim() !== '').length;
  const account = { total: lines.length, header, blank: lines.length - header };
  return {
    source,
    lines: { ...account, accepted: 0, rejected: 0, outsideWindow: 0 },
    rejected: new Map(),
    loggers: new Set(),
    zone: null,
  };
}

/** Where everything stands in the lines of one input. Columns count from 0. */
interface BeatLayout {
  readonly punctuation: Punctuation;
  readonly headerText: ByteText | null;
  readonly width: number;
  /** One column, or one of the date and one of the time of day. */
  readonly time: readonly number[];
  readonly style: StampStyle;
  readonly offset: Milliseconds | null;
  readonly logger: number | null;
  readonly sign: RestartColumn | null;
  /** Numbers of the rows. */
  readonly id: number | null;
}

/** A column that tells of restarts. */
interface RestartColumn {
  readonly column: number;
  /** Time since the last start, a number that is new after each start, or words. */
  readonly kind: 'uptime' | 'count' | 'words';
  /** Unit of an uptime [ms]. */
  readonly unit: Milliseconds;
}

/** Headings of numbers that a database gives its rows (common practice, no source). */
const ROW_NUMBER = /^(?:(?:row|beat|heartbeat)?_?id|nr|no|number|seq|sequence|#)$/i;
/** Numbers that are missing more often are left out by the export, not taken out of the table. */
const ROUTINE = 0.01;

/** @returns null where more of the input is needed to tell day from month */
function beatLayout(
  sample: ByteText,
  complete: boolean,
  encoding: Encoding,
  input: BeatInput,
  file: string,
): BeatLayout | null {
  const cut = complete ? sample : sample.slice(0, sample.lastIndexOf('\n') + 1) || sample;
  const punctuation = punctuationOf(cut);
  const rowsAmong = (most: number) => (punctuation === null ? [] : rowsOf(cut, punctuation, most));
  const beatsIn = (lines: readonly SampleRow[]) => lines.filter(({ looks }) => looks.some(isStampLook));
  let rows = rowsAmong(JUDGED_LINES);
  let beats = beatsIn(rows);
  if (beats.length === 0) {
    rows = rowsAmong(Infinity);
    beats = beatsIn(rows);
  }
  if (punctuation === null || beats.length === 0) {
    const [text = ''] = cut.split(/\r\n|\r|\n/).filter((line) => line.trim() !== '');
    throw new InputError(
      'no line here holds a time stamp',
      { file, text: textOf(text, encoding) },
      'a file of heartbeats has a time on each line, as 2025-10-01T00:00:00+01:00 or 2025-10-01 00:00:00',
    );
  }
  const width = commonestWidth(beats);
  const judged = beats.filter(({ cells }) => cells.length === width);
  const headings = headingsAbove(rows, judged[0]!, width, encoding);
  const meanings = headings.names.map(meaningOf);
  const tried = judged.slice(0, TRIAL_LINES);
  const columns = headings.names.map((_, column) => column);
  const mostly = (column: number, is: (look: CellLook, cell: ByteText) => boolean) =>
    tried.filter(({ looks, cells }) => is(looks[column]!, cells[column]!)).length > 0.8 * tried.length;

  const stamped = columns.filter((column) => mostly(column, isStampLook));
  const [time] = stamped.toSorted((a, b) => rankOf(b) - rankOf(a) || a - b);
  if (time === undefined) throw new InputError('no column was found that holds the time', { file });
  function rankOf(column: number): number {
    const { role } = meanings[column]!;
    const late = /creat|receiv|insert|upload|updat|import|logged/i.test(headings.names[column]!);
    return (role === 'time' || role === 'date' ? 2 : 0) - (late ? 1 : 0);
  }
  const clock = mostly(time, (look, cell) => look !== 'epoch' && !cell.includes(':'))
    ? columns.find((column) => mostly(column, (look) => look === 'clock'))
    : undefined;
  const times = clock === undefined ? [time] : [time, clock];
  const stampsAmong = (most: number) =>
    rowsAmong(most).flatMap(({ cells }) => (cells.length === width ? [cells[time]!] : []));
  const style = styleOf(
    judged.map(({ looks }) => looks[time]!),
    stampsAmong,
    complete,
    input.dateOrder,
    { file, line: judged[0]!.line, text: judged[0]!.cells[time]! },
  );
  if (style === null) return null;
  const free = columns.filter((column) => !stamped.includes(column) && column !== clock);
  const namesLogger = (column: number) =>
    meanings[column]!.role === 'logger' ||
    (headings.text === null && mostly(column, (look) => look === 'text'));
  const id = free.find((column) => ROW_NUMBER.test(headings.names[column]!)) ?? null;
  const logger = free.find((column) => column !== id && namesLogger(column)) ?? null;
  return {
    punctuation,
    headerText: headings.text,
    width,
    time: times,
    style,
    offset: times.map((column) => meanings[column]!.offset).find((offset) => offset !== null) ?? null,
    logger,
    id,
    sign: signColumn(
      headings.names,
      free.filter((column) => column !== logger && column !== id),
    ),
  };
}

/** The delimiter that makes most lines into a stamp and other known cells; of several the one with most cells. */
function punctuationOf(sample: ByteText): Punctuation | null {
  const lineEnd = sample.includes('\n') || !sample.includes('\r') ? '\n' : '\r';
  let best: { punctuation: Punctuation; score: number } | null = null;
  const trial = head(sample, lineEnd, TRIAL_LINES);
  let isWhole = false; // the lines as they are were looked at
  for (const delimiter of DELIMITERS) {
    const isParting = partsAny(trial, delimiter);
    if (isWhole && !isParting) continue;
    isWhole ||= !isParting;
    const punctuation: Punctuation = { delimiter, escape: '"', lineEnd };
    const beats = rowsOf(trial, punctuation, TRIAL_LINES).filter(({ looks }) => looks.some(isStampLook));
    if (beats.length === 0) continue;
    const clear = beats.reduce((sum, { looks }) => sum + clarityOf(looks), 0) / beats.length;
    // the blank within a stamp parts nothing
    const isParted = ({ raw, cells }: SampleRow) =>
      cells.length > 1 && !(delimiter === ' ' && isStampLook(lookOf(raw.trim())));
    const parted = beats.filter(isParted).length / beats.length;
    const score = beats.length + 0.9 * clear + 0.09 * parted;
    if (best === null || score > best.score) best = { punctuation, score };
  }
  return best?.punctuation ?? null;
}

function commonestWidth(rows: readonly SampleRow[]): number {
  const counts = new Map<number, number>();
  for (const { cells } of rows) counts.set(cells.length, (counts.get(cells.length) ?? 0) + 1);
  return [...counts].reduce((best, each) => (each[1] > best[1] ? each : best))[0];
}

function headingsAbove(
  rows: readonly SampleRow[],
  first: SampleRow,
  width: number,
  encoding: Encoding,
): { names: string[]; text: ByteText | null } {
  const above = rows
    .slice(0, rows.indexOf(first))
    .filter(
      ({ raw, looks }) =>
        looks.length === width && !isFurniture(raw) && looks.every((look) => look === 'text'),
    );
  const header = above.at(-1);
  return header === undefined
    ? { names: new Array<string>(width).fill(''), text: null }
    : { names: header.cells.map((cell) => textOf(cell, encoding)), text: header.raw };
}

function styleOf(
  looks: readonly CellLook[],
  stampsAmong: (most: number) => readonly ByteText[],
  complete: boolean,
  asked: DateOrder | null,
  place: { readonly file: string; readonly line: number; readonly text: ByteText },
): StampStyle | null {
  const count = (look: string) => looks.filter((each) => each === look).length;
  if (count('year-first') >= Math.max(count('numbered'), count('epoch'))) return 'year-first';
  if (count('epoch') >= count('numbered')) return 'epoch';
  if (asked !== null) return asked;
  const first = dateOrderOf(stampsAmong(ORDER_LINES));
  const order = first === 'none' ? dateOrderOf(stampsAmong(Infinity)) : first;
  if (order === 'day-first' || order === 'month-first') return order;
  if (!complete && order === 'none') return null;
  throw new InputError(
    'day and month of these dates cannot be told apart',
    place,
    'say --date-order day-first or --date-order month-first',
  );
}

const UPTIME_HEADING = /up_?time|running|millis|since_?boot/i;
const COUNT = /boot_?(count|id|no|nr|number)|restart_?count|^boots$/i;
const WORDS = /boot|restart|reset|event|state|status|message|reason|kind|type|note/i;

/** The column that tells of restarts, by its heading: uptimes say most, words least. */
function signColumn(names: readonly string[], free: readonly number[]): RestartColumn | null {
  const headed = (pattern: RegExp) => free.find((column) => pattern.test(names[column]!));
  const uptime = headed(UPTIME_HEADING);
  if (uptime !== undefined) return { column: uptime, kind: 'uptime', unit: unitOf(names[uptime]!) };
  const count = headed(COUNT);
  if (count !== undefined) return { column: count, kind: 'count', unit: 0 };
  const words = headed(WORDS);
  return words === undefined ? null : { column: words, kind: 'words', unit: 0 };
}

function unitOf(heading: string): Milliseconds {
  if (/milli|[^a-z]ms\b|_ms\b/i.test(heading)) return 1;
  if (/[^a-z]min(utes)?\b|_min\b/i.test(heading)) return 60_000;
  if (/[^a-z]h(ours)?\b|_h\b/i.test(heading)) return 3_600_000;
  return 1000;
}

/** Words with which loggers tell that they have just started (common practice, no source). */
const STARTED = /boot|restart|reset|start|power.?on|wake|hello/i;
/** Counters of milliseconds in 32 bits begin anew after 49.7 days. */
const WRAP = 2 ** 32;
/** An uptime and the stamps may differ by so much and still tell of the same time: a late line, a rough clock. */
const SLACK: Milliseconds = 30_000;
const SLACK_SHARE = 0.01;

/** A cell of a column that tells of restarts by words, or by their count. */
interface Word {
  readonly text: ByteText;
  readonly started: boolean;
}

/** One logger in the input, with what is remembered of its last beat: not an object for each, but numbers in place. */
interface Beating {
  readonly name: string;
  /** In the places below; NaN as the instant before the first. */
  readonly last: Float64Array;
  word: Word | null;
  /** Whether lines of a clock that was not yet set came before it. */
  wasUnset: boolean;
  /** Whether beats of a clock that is not set have come since: they belong to a start. */
  unset: boolean;
}

/** Places of numbers of the last beat: its instant. */
const TIME = 0;
/** Time since the last start, in the unit of its column; NaN where nothing tells of it. */
const UPTIME = 1;
/** Numbers of rows missing in the whole input up to it. */
const MISSING = 2;

function newBeating(name: string): Beating {
  const last = new Float64Array(3).fill(Number.NaN);
  return { name, last, word: null, wasUnset: false, unset: false };
}

/** Where the beats of one input go, and what they tell together. */
interface BeatTakings {
  readonly onBeat: BeatListener;
  readonly sign: RestartColumn | null;
  readonly isNumbered: boolean;
  readonly isWord: boolean;
  /** The logger of all beats; null where their lines name it. */
  readonly only: Beating | null;
  readonly names: NameTable<Beating>;
  readonly words: NameTable<Word>;
  accepted: number;
  /** Whether the zone of the input was needed for any. */
  zoneUsed: boolean;
  stampLength: number;
  /** Numbers of rows that were missing, and how often; the number of the last row. */
  missing: number;
  skips: number;
  lastNumber: number;
}

function countMissing(takings: BeatTakings, number: number): void {
  const step = Math.abs(number - takings.lastNumber);
  if (step > 1) {
    takings.missing += step - 1;
    takings.skips++;
  }
  takings.lastNumber = number;
}

/** Takes a beat in and tells of it. */
function takeBeat(
  takings: BeatTakings,
  logger: Beating,
  time: Instant,
  number: number,
  uptime: number,
  word: Word | null,
): void {
  if (takings.isNumbered) countMissing(takings, number);
  const { last } = logger;
  if (Number.isNaN(last[TIME]!)) takings.onBeat(logger.name, time, null, 0);
  else {
    const isRoutine = takings.skips > 1 + ROUTINE * takings.accepted;
    const restarted = restartedBetween(takings.sign, logger, time, uptime, word);
    takings.onBeat(logger.name, time, restarted, isRoutine ? 0 : takings.missing - last[MISSING]!);
  }
  last[TIME] = time;
  last[UPTIME] = uptime;
  last[MISSING] = takings.missing;
  logger.word = word;
  logger.wasUnset = logger.unset;
  logger.unset = false;
}

/** Whether a logger started anew between its last beat and one that comes now. */
function restartedBetween(
  sign: RestartColumn | null,
  { last, word: lastWord, wasUnset, unset }: Beating,
  time: Instant,
  uptime: number,
  word: Word | null,
): boolean | null {
  const ahead = time >= last[TIME]!;
  if (ahead ? unset : wasUnset) return true;
  if (sign === null) return null;
  if (sign.kind === 'words') return (ahead ? word : lastWord)!.started ? true : null;
  if (sign.kind === 'count') return lastWord!.text !== word!.text;
  return ahead
    ? restartedByUptime(sign.unit, time - last[TIME]!, last[UPTIME]!, uptime)
    : restartedByUptime(sign.unit, last[TIME]! - time, uptime, last[UPTIME]!);
}

function restartedByUptime(
  unit: Milliseconds,
  elapsed: Milliseconds,
  earlier: number,
  later: number,
): boolean | null {
  if (Number.isNaN(earlier) || Number.isNaN(later)) return null;
  const counted = (later - earlier) * unit;
  const slack = Math.max(SLACK, SLACK_SHARE * elapsed);
  if (Math.abs(counted - elapsed) <= slack) return false;
  const wrapped = ((counted % WRAP) + WRAP) % WRAP;
  if (Math.abs(wrapped - (elapsed % WRAP)) <= slack) return false;
  return later < earlier || later * unit < elapsed - slack ? true : null;
}

/** Takes lines in of which everything is certain. */
function takePlainBeats(takings: BeatTakings, block: PlainBlock): number {
  const { only, names, words, isWord } = takings;
  const { bytes, count, values, texts, stampLengths } = block;
  const [times, numbers, uptimes] = values as [Float64Array, Float64Array, Float64Array];
  const [loggerText, wordText] = only === null ? texts : [null, ...texts];
  let row = 0;
  for (; row < count; row++) {
    const logger = only ?? findName(names, bytes, loggerText!.from[row]!, loggerText!.to[row]!);
    if (logger === null) break;
    takings.stampLength = stampLengths[row]!;
    takings.accepted++;
    const word = isWord ? findName(words, bytes, wordText!.from[row]!, wordText!.to[row]!) : null;
    takeBeat(takings, logger, times[row]!, numbers[row]!, uptimes[row]!, word);
  }
  if (block.firstZoned < row) takings.zoneUsed = true;
  return row;
}

function beatReader(
  input: BeatInput,
  source: string,
  encoding: Encoding,
  layout: BeatLayout,
  onBeat: BeatListener,
) {
  const { zone } = input;
  const stamps = stampParser(layout.style);
  const rejected = new Map<RejectReason, { count: number; line: number; example: string }>();
  const loggers = new Map<string, Beating>();
  let header = 0;
  let blank = 0;
  let refused = 0;

  function reject(record: LineRecord, reason: RejectReason): void {
    refused += record.lines;
    const known = rejected.get(reason);
    if (known !== undefined) known.count += record.lines;
    else {
      const example = textOf(record.raw().slice(0, 500), encoding);
      rejected.set(reason, { count: record.lines, line: record.line, example });
    }
  }

  const only = layout.logger === null ? loggerNamed(input.logger) : null;

  function loggerNamed(name: string): Beating {
    let found = loggers.get(name);
    if (found === undefined) {
      found = newBeating(name);
      loggers.set(name, found);
    }
    return found;
  }

  /** The logger of a cell, null for one without a name. */
  function loggerOf(id: ByteText): Beating | null {
    const name = textOf(id, encoding);
    return name === '' ? null : loggerNamed(name);
  }

  function stampOn({ text, start, end }: LineRecord): number {
    const [a, b] = layout.time as [number, number | undefined];
    if (b === undefined) return stamps.parse(text, start[a]!, end[a]!);
    const joined = `${text.slice(start[a]!, end[a]!)} ${text.slice(start[b]!, end[b]!)}`;
    return stamps.parse(joined, 0, joined.length);
  }

  /** Of the two instants of a repeated hour the one nearer to the beat before. */
  function placed(wall: WallTime, before: Instant): Instant {
    const first = zone.firstInstant(wall);
    const second = zone.lastInstant(wall);
    // where there is none before, neither is nearer
    return Math.abs(second - before) < Math.abs(first - before) ? second : first;
  }

  const { sign } = layout;
  const wordOf = (cell: ByteText): Word => ({
    text: cell.trim(),
    started: sign?.kind === 'words' && STARTED.test(cell),
  });
  const takings: BeatTakings = {
    onBeat,
    sign,
    isNumbered: layout.id !== null,
    isWord: sign !== null && sign.kind !== 'uptime',
    only,
    names: nameTable(loggerOf),
    words: nameTable(wordOf),
    accepted: 0,
    zoneUsed: false,
    stampLength: 0,
    missing: 0,
    skips: 0,
    lastNumber: NaN,
  };

  const needed = Math.max(...layout.time, layout.logger ?? 0) + 1;

  /** Takes a line in; gives the reason where it is no beat. */
  function taken(record: LineRecord): RejectReason | null {
    if (record.trouble !== null) return record.trouble;
    const said = record.count < needed ? NaN : stampOn(record);
    if (Number.isNaN(said)) {
      const raw = record.raw();
      if (raw.trim() === '') {
        blank += record.lines;
        return null;
      }
      const isHeading = cellsOf(record).every((cell) => lookOf(cell) === 'text') && takings.accepted === 0;
      if (isFurniture(raw) || raw === layout.headerText || isHeading) {
        header += record.lines;
        return null;
      }
      return record.count < needed ? 'cells' : 'time';
    }
    if (record.count < layout.width || record.count > layout.width + 1) return 'cells';
    const cell = (column: number) => text.slice(record.start[column]!, record.end[column]!);
    const numberOn = (column: number) =>
      parseNumber(text, record.start[column]!, record.end[column]!, DECIMAL);
    const { text } = record;
    const { id } = layout;
    const logger = only ?? loggerOf(cell(layout.logger!));
    if (logger === null) return 'logger';
    let time = said;
    if (!stamps.placed && layout.offset !== null) time = said - layout.offset;
    else if (!stamps.placed && said >= EARLIEST && said < LATEST) {
      takings.zoneUsed = true;
      time = placed(said as WallTime, logger.last[TIME]!);
      if (Number.isNaN(time)) return 'skipped_hour';
    }
    if (!(time >= EARLIEST && time < LATEST)) {
      logger.unset = true;
      return 'clock';
    }
    const length = record.end[layout.time[0]!]! - record.start[layout.time[0]!]!;
    if (!record.terminated && length < takings.stampLength) return 'cut';
    takings.stampLength = length;
    takings.accepted += record.lines;
    takeBeat(
      takings,
      logger,
      time,
      id === null ? NaN : numberOn(id),
      sign?.kind === 'uptime' ? numberOn(sign.column) : NaN,
      takings.isWord ? wordOf(cell(sign!.column)) : null,
    );
    return null;
  }

  const visit = (record: LineRecord): void => {
    const reason = taken(record);
    if (reason !== null) reject(record, reason);
  };

  const { punctuation } = layout;
  const plain = plainLines(plainColumns(layout, zone), takings, takePlainBeats);
  return {
    push: lineFeed(punctuation.lineEnd, () => plain, recordScanner(punctuation, visit)),
    result: (): BeatSource => ({
      source,
      lines: {
        total: header + blank + takings.accepted + refused,
        header,
        blank,
        accepted: takings.accepted,
        rejected: refused,
        outsideWindow: 0,
      },
      rejected,
      loggers: new Set(
        [...loggers.values()].filter(({ last }) => !Number.isNaN(last[TIME]!)).map(({ name }) => name),
      ),
      zone: takings.zoneUsed ? zone : null,
    }),
  };
}

/** Numbers here are whole, or have points. */
const DECIMAL = '.';

function plainColumns(layout: BeatLayout, zone: Zone): PlainColumns {
  const { punctuation, width, time, style, offset, id, sign, logger } = layout;
  const isNumber = sign?.kind === 'uptime';
  return {
    punctuation,
    decimal: DECIMAL,
    width,
    time,
    style,
    offset,
    zone,
    numbers: [id, isNumber ? sign.column : null],
    names: [...(logger === null ? [] : [logger]), ...(sign === null || isNumber ? [] : [sign.column])],
  };
}

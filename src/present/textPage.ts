import type {
  DayCalendar,
  Document,
  Facts,
  Grid,
  Items,
  LineChart,
  Part,
  StripChart,
} from '../report/document.js';
import { lineBlocks, stripBlocks } from './blockChart.js';
import { proseLines } from './prose.js';
import { type Column, tableLines } from './table.js';
import type { Paint, Palette, Style } from './terminal.js';
import { paintOf, TONE_WORDS } from './tones.js';
import { asciiText, visibleText } from './visible.js';
import { screenWidth } from './width.js';
import { wrapped } from './wrap.js';

/** A page as text. Pictures are drawn where the stream is a terminal that shows block characters, else told. */
export function* textPage(page: Document, style: Style, palette: Palette): Generator<string> {
  yield* proseLines(page.title, style, palette.strong);
  yield* proseLines(page.subtitle, style, palette.faint);
  for (const part of page.parts) {
    yield '\n';
    yield* partLines(part, style, palette, true);
  }
}

/** @param isOuter whether the part stands by itself, not in a section */
function* partLines(part: Part, style: Style, palette: Palette, isOuter: boolean): Generator<string> {
  switch (part.kind) {
    case 'verdict':
      yield* proseLines(part.text, style, (text) => palette.strong(paintOf(part.tone, palette)(text)));
      break;
    case 'section':
      yield* heading(part.title, style, palette, isOuter);
      for (const [i, inner] of part.parts.entries()) {
        if (i > 0 && !(inner.kind === 'caution' || inner.kind === 'paragraph')) yield '\n';
        yield* partLines(inner, style, palette, false);
      }
      break;
    case 'paragraph':
      yield* proseLines(part.text, style);
      break;
    case 'caution':
      yield* hanging('! ', part.text, style);
      break;
    case 'items':
      yield* itemLines(part, style, palette);
      break;
    case 'facts':
      yield* factLines(part, style, palette);
      break;
    case 'grid':
      yield* gridLines(part, style, palette);
      break;
    case 'lines':
    case 'strips':
      yield* pictureLines(part, style, palette);
      break;
    case 'calendar':
      yield* calendarLines(part, style, palette);
      break;
  }
}

function* heading(title: string, style: Style, palette: Palette, isOuter: boolean): Generator<string> {
  const shown = style.unicode ? visibleText(title) : asciiText(visibleText(title));
  const lines = style.width === null ? [shown] : wrapped(shown, style.width);
  for (const line of lines) yield `${palette.strong(line)}\n`;
  if (!isOuter) return;
  const widest = Math.max(...lines.map(screenWidth));
  yield `${(style.unicode ? '─' : '-').repeat(widest)}\n`;
}

/** Text with something before its first line, and blanks of the same width before the others. */
function* hanging(
  lead: string,
  text: string,
  style: Style,
  paint: Paint = (line) => line,
  paintLead = paint,
): Generator<string> {
  const indent = screenWidth(lead);
  const width = style.width === null ? null : Math.max(20, style.width - indent);
  let isFirst = true;
  for (const line of proseLines(text, { ...style, width }, paint)) {
    yield `${isFirst ? paintLead(lead) : ' '.repeat(indent)}${line}`;
    isFirst = false;
  }
}

function* itemLines({ items }: Items, style: Style, palette: Palette): Generator<string> {
  const widest = Math.max(...items.map(({ tone }) => TONE_WORDS[tone].length));
  for (const { tone, text, more } of items) {
    yield* hanging(`${TONE_WORDS[tone].padEnd(widest)}  `, text, style, undefined, paintOf(tone, palette));
    if (more !== undefined && more !== '') yield* hanging(' '.repeat(widest + 2), more, style, palette.faint);
  }
}

function* factLines({ facts }: Facts, style: Style, palette: Palette): Generator<string> {
  const widest = Math.max(...facts.map(({ name }) => screenWidth(visibleText(name))));
  for (const { name, value, more, tone = 'plain' } of facts) {
    const shown = style.unicode ? visibleText(name) : asciiText(visibleText(name));
    const lead = `${shown}${' '.repeat(Math.max(0, widest - screenWidth(shown)))}  `;
    yield* hanging(lead, value, style, paintOf(tone, palette), (text) => text);
    if (more !== undefined && more !== '') yield* hanging(' '.repeat(widest + 2), more, style, palette.faint);
  }
}

function* gridLines({ caption, columns, rows }: Grid, style: Style, palette: Palette): Generator<string> {
  yield* proseLines(caption, style, palette.faint);
  const shown = columns.map(({ heading: text, align }) => ({
    heading: text,
    align,
    wrap: align === 'left',
  }));
  const lines = [...tableLines(shown, rows, style)];
  const { width } = style;
  if (width === null || lines.every((line) => screenWidth(line.trimEnd()) <= width)) yield* lines;
  else for (const row of rows) yield* stackedLines(shown, row, { ...style, width: width - 2 }, palette);
}

/** A row of a table that the terminal is too narrow for: its first cell, and below it one line for each other. */
function* stackedLines(
  columns: readonly Column[],
  row: readonly string[],
  style: Style,
  palette: Palette,
): Generator<string> {
  yield* proseLines(row[0] ?? '', style, palette.strong);
  const facts = columns.flatMap(({ heading: name }, i) => (i > 0 && row[i] ? [{ name, value: row[i] }] : []));
  for (const line of factLines({ kind: 'facts', facts }, style, palette)) yield `  ${line}`;
}

function* pictureLines(chart: LineChart | StripChart, style: Style, palette: Palette): Generator<string> {
  const title = chart.kind === 'lines' ? `${chart.title} [${chart.unit}]` : chart.title;
  if (style.width === null || !style.unicode) {
    yield* proseLines(`${title}: ${chart.words}`, style);
    return;
  }
  yield* proseLines(title, style, palette.faint);
  const lines = chart.kind === 'lines' ? lineBlocks(chart, style.width) : stripBlocks(chart, style.width);
  for (const line of lines) yield `${line}\n`;
}

const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'] as const;

/** A row a day: in a column of text, a bar behind it says more than a grid of weeks. */
function* calendarLines(
  { title, meaning, days }: DayCalendar,
  style: Style,
  palette: Palette,
): Generator<string> {
  yield* proseLines(title, style, palette.faint);
  const isDrawn = style.width !== null && style.unicode;
  const rows = days.map(({ date, weekday, lines, share }) => [
    `${WEEKDAYS[weekday - 1]} ${date}`,
    lines.join(', '),
    ...(isDrawn ? [share === null ? '?' : bar(share)] : []),
  ]);
  const columns = [
    { heading: 'day', align: 'left' },
    { heading: 'what', align: 'left', wrap: true },
    ...(isDrawn ? [{ heading: meaning, align: 'left' } as const] : []),
  ] as const;
  yield* tableLines(columns, rows, style);
}

const BAR = 12;

/** A bar of so much of the whole day. */
function bar(share: number): string {
  const eighths = Math.round(share * BAR * 8);
  const partial = '▏▎▍▌▋▊▉'[(eighths % 8) - 1] ?? '';
  return '█'.repeat(Math.floor(eighths / 8)) + partial;
}

import type { Screen } from './io.js';

/** What a stream can show. */
export interface Style {
  /** For `new Chalk({ level })`. The sixteen basic colours follow the reader's own palette, so 1 is enough. */
  readonly level: 0 | 1;
  /** Columns that a line may fill; null where nothing may be cut or wrapped. */
  readonly width: number | null;
  /** Whether characters beyond ASCII arrive as they were meant. */
  readonly unicode: boolean;
}

export interface StyleOptions {
  /** What the command line says; undefined where it says nothing. */
  readonly colour?: boolean | undefined;
}

type Environment = Readonly<Record<string, string | undefined>>;

/**
 * Settles colour, width and character set for one stream. Ask for stdout and stderr apart.
 *
 * Pipes and files have no width and are UTF-8 whatever the environment says, so that the same input
 * gives the same bytes everywhere.
 */
export function styleFor(stream: Screen, env: Environment, options: StyleOptions = {}): Style {
  const isTerminal = stream.isTTY === true;
  return {
    level: isColoured(isTerminal, env, options.colour) ? 1 : 0,
    width: isTerminal ? (columnCount(stream.columns) ?? columnCount(Number(env.COLUMNS))) : null,
    unicode: !isTerminal || isUtf8(env),
  };
}

/** First word wins: command line, NO_COLOR, FORCE_COLOR, CLICOLOR_FORCE, TERM=dumb, being a terminal. */
function isColoured(isTerminal: boolean, env: Environment, asked: boolean | undefined): boolean {
  if (asked !== undefined) return asked;
  if (isSet(env.NO_COLOR)) return false;
  if (isSet(env.FORCE_COLOR)) return env.FORCE_COLOR !== '0';
  if (isSet(env.CLICOLOR_FORCE) && env.CLICOLOR_FORCE !== '0') return true;
  if (env.TERM === 'dumb') return false;
  return isTerminal;
}

function columnCount(columns: number | undefined): number | null {
  return columns !== undefined && Number.isInteger(columns) && columns > 0 ? columns : null;
}

/** The locale's character set by the order of POSIX (XBD 8.2): LC_ALL, LC_CTYPE, LANG. */
function isUtf8(env: Environment): boolean {
  const locale = [env.LC_ALL, env.LC_CTYPE, env.LANG].find(isSet) ?? '';
  return /utf-?8/i.test(locale);
}

function isSet(value: string | undefined): value is string {
  return value !== undefined && value !== '';
}

/** Ways to stress a piece of text. Meaning must never hang on them alone. */
export interface Palette {
  readonly strong: Paint;
  readonly faint: Paint;
  readonly good: Paint;
  readonly caution: Paint;
  readonly alarm: Paint;
}
export type Paint = (text: string) => string;

/** The palette of a stream; without colour every paint gives the text back, and chalk is not loaded. */
export async function paletteFor(level: Style['level']): Promise<Palette> {
  if (level === 0) {
    const plain: Paint = (text) => text;
    return { strong: plain, faint: plain, good: plain, caution: plain, alarm: plain };
  }
  const { Chalk } = await import('chalk');
  const chalk = new Chalk({ level });
  return { strong: chalk.bold, faint: chalk.dim, good: chalk.green, caution: chalk.yellow, alarm: chalk.red };
}

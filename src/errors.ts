/** Where in somebody's input a message points. Lines and columns count from 1. */
export interface Place {
  readonly file?: string;
  readonly line?: number;
  readonly column?: number;
  /** The text itself, as it stands there. */
  readonly text?: string;
}

/**
 * Something that a person can mend: a wrong option, an unreadable file, a mistake in the site file.
 * Ends the run with exit code 2 and one message. Anything else that is thrown is our own bug.
 */
export class InputError extends Error {
  override readonly name = 'InputError';

  constructor(
    /** What is wrong, in one sentence without a full stop. */
    message: string,
    readonly place: Place = {},
    /** What to do about it. */
    readonly advice?: string,
  ) {
    super(message);
  }
}

const EXCERPT = 60;

/** Text from an input made fit for one line of a message: control characters shown, length limited. */
export function excerpt(text: string, limit = EXCERPT): string {
  const shown = text.replace(/[\p{Cc}\u2028\u2029]/gu, (character) => {
    if (character === '\t') return '\\t';
    return `\\x${character.charCodeAt(0).toString(16).padStart(2, '0')}`;
  });
  return shown.length > limit ? `${shown.slice(0, limit - 3)}...` : shown;
}

/** The message as it is printed: where, what, the text, the way out. */
export function explain(error: InputError): string {
  const { file, line, column, text } = error.place;
  const where = [file === undefined ? undefined : excerpt(file, 200), line, column]
    .filter((part) => part !== undefined)
    .join(':');
  const said = text === undefined ? '' : `: ${excerpt(text)}`;
  const advice = error.advice === undefined ? '' : `\n  ${error.advice}`;
  return `${where === '' ? '' : `${where}: `}${error.message}${said}${advice}`;
}

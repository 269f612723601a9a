import type { Io } from './io.js';
import { styleFor } from './terminal.js';
import { asciiText, visibleText } from './visible.js';
import { screenWidth } from './width.js';

/** Tells what is being done from now on. */
export type Progress = (what: string) => void;

/** Nobody wonders before this [ms] (conventions of the project). */
const PATIENCE = 1_000;
/** Between two looks at whether there is something to show [ms]. */
const PERIOD = 250;
/** Of a terminal that does not tell [columns]. */
const USUAL_WIDTH = 80;

/**
 * Does some work, and says on standard error what is being done, for those who wait: in one line that is
 * rewritten, only on a terminal that can go back on a line, not in the first second, and nothing of it is left in
 * the end, whatever that was. Meanwhile nothing else may be written there.
 */
export async function withProgress<Result>(
  { stderr, env }: Pick<Io, 'stderr' | 'env'>,
  isQuiet: boolean,
  work: (progress: Progress) => Promise<Result>,
): Promise<Result> {
  if (isQuiet || stderr.isTTY !== true || env.TERM === 'dumb') return work(() => {});
  const { width, unicode } = styleFor(stderr, env);
  const started = performance.now();
  let text = '';
  let shown = '';
  const show = () => {
    if (performance.now() - started < PATIENCE || text === shown) return;
    stderr.write(`\r\x1b[K${text}`);
    shown = text;
  };
  const timer = setInterval(show, PERIOD);
  try {
    return await work((what) => {
      const line = unicode ? `${visibleText(what)} …` : `${asciiText(visibleText(what))} ...`;
      text = fitting(line, (width ?? USUAL_WIDTH) - 1);
      show();
    });
  } finally {
    clearInterval(timer);
    if (shown !== '') stderr.write('\r\x1b[K');
  }
}

/** A line that wraps could not be taken back: its beginning is left out. */
function fitting(text: string, width: number): string {
  let rest = text;
  while (screenWidth(rest) > width) rest = rest.slice(1);
  return rest;
}

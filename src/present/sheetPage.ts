import type { Part, Section } from '../report/document.js';
import { htmlPage } from './htmlPage.js';
import type { Sheet } from './sheet.js';

/**
 * A result for people as an HTML page of its own. A title is the caption of the table right under it;
 * over sentences it is the title of a section, which goes on until the next title.
 *
 * @param write says what comes after what; the pieces that it gets from the sheet are empty
 */
export function* sheetPage(
  title: string,
  palette: Sheet['palette'],
  write: (sheet: Sheet) => Iterable<string>,
): Generator<string> {
  const parts: Part[] = [];
  let here = parts;
  let over: string | null = null;
  const open = (text: string | null) => {
    if (over !== null) parts.push({ kind: 'paragraph', text: over });
    here = parts;
    over = text;
    return [];
  };
  const sentence = (text: string) => {
    if (over !== null) {
      here = [];
      parts.push(section(`part-${parts.length}`, over, here));
      over = null;
    }
    here.push({ kind: 'paragraph', text });
    return [];
  };
  const sheet: Sheet = {
    palette,
    title: open,
    table: (columns, rows) => {
      here.push({ kind: 'grid', caption: over ?? title, columns, rows });
      over = null;
      return [];
    },
    trends: () => [],
    prose: sentence,
    smallPrint: sentence,
    gap: () => [],
  };
  yield* write(sheet);
  open(null);
  yield* htmlPage({ title, subtitle: '', parts });
}

function section(id: string, title: string, parts: readonly Part[]): Section {
  return { kind: 'section', id, title, parts };
}

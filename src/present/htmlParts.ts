import type { Caution, Facts, Grid, Items, Part, Section, Verdict } from '../report/document.js';
import { dayCalendar } from './chart/dayCalendar.js';
import { lineChart } from './chart/lineChart.js';
import { stripChart } from './chart/stripChart.js';
import { html, type Markup, NOTHING } from './htmlMarkup.js';
import { toneMark } from './htmlTone.js';

/**
 * One part of a page.
 *
 * @param key where the part stands, `2-0-1`; ids are made from it, with an underscore, which the id of
 *   a section cannot have
 * @param level of the heading, should the part have one: 2 for those right under the title
 */
export function partMarkup(part: Part, key: string, level: number): Markup {
  const id = `at_${key}`;
  switch (part.kind) {
    case 'verdict':
      return verdict(part);
    case 'section':
      return section(part, key, level);
    case 'paragraph':
      return html`<p>${part.text}</p>
`;
    case 'items':
      return items(part);
    case 'facts':
      return facts(part);
    case 'grid':
      return grid(part, id);
    case 'caution':
      return caution(part);
    case 'lines':
      return lineChart(part, id);
    case 'strips':
      return stripChart(part, id);
    case 'calendar':
      return dayCalendar(part, id);
  }
}

function verdict({ tone, text }: Verdict): Markup {
  return html`<p class="verdict ${tone}">${toneMark(tone)}${text}</p>
`;
}

function section({ id, title, folded, parts }: Section, key: string, level: number): Markup {
  const name = html`h${Math.min(level, 6)}`;
  const heading = html`<${name}>${title}</${name}>`;
  const body = html`<div class="body">
${parts.map((part, i) => partMarkup(part, `${key}-${i}`, level + 1))}</div>`;
  const rank = level === 2 ? 'entry' : 'inner';
  if (folded) {
    return html`<details id="${id}" class="${rank}"><summary>${heading}</summary>${body}</details>
`;
  }
  return html`<section id="${id}" class="${rank}">${heading}${body}</section>
`;
}

function items({ items: list }: Items): Markup {
  if (list.length === 0) return NOTHING;
  const entries = list.map(
    ({ tone, text, more }) =>
      html`<li class="${tone}">${toneMark(tone)}<div>${text}${more === undefined ? NOTHING : html` <small>${more}</small>`}</div></li>
`,
  );
  return html`<ul class="items">
${entries}</ul>
`;
}

/** A longer value is a sentence rather than a figure, and set as one. */
const LONGEST_FIGURE = 12;

function facts({ facts: list }: Facts): Markup {
  const entries = list.map(({ name, value, more, tone = 'plain' }) => {
    const note = more === undefined ? NOTHING : html`<dd><small>${more}</small></dd>`;
    const size = value.length > LONGEST_FIGURE ? ' wordy' : '';
    return html`<div class="${tone}${size}"><dt>${name}</dt><dd>${value}</dd>${tone === 'plain' ? NOTHING : html`<dd>${toneMark(tone)}</dd>`}${note}</div>
`;
  });
  return html`<dl class="facts">
${entries}</dl>
`;
}

function grid({ caption, columns, rows }: Grid, id: string): Markup {
  const classes = columns.map(({ align }, i) => `${align} ${widthClass(rows.map((row) => row[i] ?? ''))}`);
  const head = columns.map(({ heading, align }) => html`<th scope="col" class="${align}">${heading}</th>`);
  const body = rows.map((row) => {
    const cells = classes.map((look, i) =>
      i === 0
        ? html`<th scope="row" class="${look}">${row[i] ?? ''}</th>`
        : html`<td class="${look}">${row[i] ?? ''}</td>`,
    );
    return html`<tr>${cells}</tr>
`;
  });
  return html`<section class="scroll" tabindex="0" aria-labelledby="${id}"><table><caption id="${id}"><span>${caption}</span></caption><thead><tr>${head}</tr></thead><tbody>
${body}</tbody></table></section>
`;
}

/** A column of texts no longer than this, such as a date with its time, is not broken into lines. */
const SHORT_TEXT = 16;
/** A word longer than this may be broken anywhere, so that it does not push the rest off the paper. */
const LONGEST_WORD = 32;

/** Longer texts get so much room that they do not stand in many short lines. */
const LONG_TEXT = 48;

function widthClass(texts: readonly string[]): string {
  const longest = Math.max(0, ...texts.map((text) => text.length));
  if (longest <= SHORT_TEXT) return 'short';
  const isUnbroken = texts.some((text) => text.split(' ').some((word) => word.length > LONGEST_WORD));
  return `prose${longest > LONG_TEXT ? ' long' : ''}${isUnbroken ? ' unbroken' : ''}`;
}

function caution({ text }: Caution): Markup {
  return html`<p class="beware"><strong>Caution:</strong> ${text}</p>
`;
}

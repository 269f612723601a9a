import type { Document, Part, Tone } from '../report/document.js';
import { markdownTable, markdownText } from './markdown.js';
import { TONE_WORDS } from './tones.js';

/** A page as GitHub's Markdown. Pictures are told in words. */
export function* markdownPage(page: Document): Generator<string> {
  yield `# ${markdownText(page.title)}\n\n`;
  yield `${markdownText(page.subtitle)}\n`;
  for (const part of page.parts) yield* partLines(part, 2);
}

/** @param level of a heading */
function* partLines(part: Part, level: number): Generator<string> {
  yield '\n';
  switch (part.kind) {
    case 'verdict':
      yield `**${markdownText(part.text)}**\n`;
      break;
    case 'section':
      yield `${'#'.repeat(Math.min(level, 6))} ${markdownText(part.title)}\n`;
      for (const inner of part.parts) yield* partLines(inner, level + 1);
      break;
    case 'paragraph':
      yield `${markdownText(part.text)}\n`;
      break;
    case 'caution':
      yield `> ${markdownText(part.text)}\n`;
      break;
    case 'items':
      for (const { tone, text, more } of part.items) yield itemText(tone, text, more);
      break;
    case 'facts':
      for (const { name, value, more, tone = 'plain' } of part.facts) {
        yield itemText(tone, `${name}: ${value}`, more);
      }
      break;
    case 'grid':
      yield `${markdownText(part.caption)}\n\n`;
      yield* markdownTable(part.columns, part.rows);
      break;
    case 'lines':
    case 'strips':
      yield `${markdownText(part.title)}: ${markdownText(part.words)}\n`;
      break;
    case 'calendar':
      yield `${markdownText(part.title)}\n\n`;
      yield* markdownTable(
        [
          { heading: 'day', align: 'left' },
          { heading: 'what', align: 'left' },
        ],
        part.days.map(({ date, lines }) => [date, lines.join(', ')]),
      );
      break;
  }
}

function itemText(tone: Tone, text: string, more: string | undefined): string {
  const word = TONE_WORDS[tone];
  const mark = word === '' ? '' : `**${word}** `;
  return `- ${mark}${markdownText(text)}${more === undefined || more === '' ? '' : `; ${markdownText(more)}`}\n`;
}

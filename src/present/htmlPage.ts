import type { Document, Part } from '../report/document.js';
import { patternSheet } from './chart/texture.js';
import { html, type Markup, NOTHING } from './htmlMarkup.js';
import { partMarkup } from './htmlParts.js';
import { styleSheet } from './htmlStyle.js';

/** From this many sections on a page has a list of them at its head. */
const LISTED_FROM = 3;

/**
 * A document as one HTML file that needs nothing else: no script, no picture, no font, no connection,
 * and a policy that keeps it so. Same document, same bytes. Pieces of text, a part of the page each.
 */
export function* htmlPage(document: Document): Generator<string> {
  yield html`<!DOCTYPE html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${document.title}</title>
<link rel="icon" href="data:,">
<style>
${styleSheet()}</style>
</head>
<body>
${patternSheet()}
<header><h1>${document.title}</h1>${document.subtitle === '' ? NOTHING : html`<p>${document.subtitle}</p>`}${contents(document.parts)}</header>
<main>
`.markup;
  for (const [start, parts] of runs(document.parts)) {
    const markup = parts.map((part, i) => partMarkup(part, String(start + i), 2));
    yield parts[0]!.kind === 'section'
      ? html`${markup}`.markup
      : html`<div class="entry"><div class="body">
${markup}</div></div>
`.markup;
  }
  yield `</main>
</body>
</html>
`;
}

function contents(parts: readonly Part[]): Markup {
  const sections = parts.filter((part) => part.kind === 'section');
  if (sections.length < LISTED_FROM) return NOTHING;
  const links = sections.map(({ id, title }) => html`<li><a href="#${id}">${title}</a></li>`);
  return html`<nav aria-label="On this page"><ul>${links}</ul></nav>`;
}

/** Every section by itself, and what stands between them together, with the place of its first part. */
function runs(parts: readonly Part[]): [start: number, parts: Part[]][] {
  const found: [number, Part[]][] = [];
  parts.forEach((part, i) => {
    const last = found.at(-1);
    if (last === undefined || part.kind === 'section' || last[1][0]?.kind === 'section')
      found.push([i, [part]]);
    else last[1].push(part);
  });
  return found;
}

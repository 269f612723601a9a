import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import { HtmlValidate } from 'html-validate';
import { JSDOM } from 'jsdom';
import { describe, expect, it } from 'vitest';
import { htmlPage } from '../../src/present/htmlPage.js';
import { visibleText } from '../../src/present/visible.js';
import type { Document, Part } from '../../src/report/document.js';
import { course, FROM, HOSTILE, madeUpPage, UNTIL } from './madeUpPage.js';

const textOf = (document: Document) => [...htmlPage(document)].join('');
const page = textOf(madeUpPage);
const dom = (text: string, scripts: 'outside-only' | undefined = undefined) =>
  new JSDOM(text, scripts === undefined ? {} : { runScripts: scripts }).window;
const { document } = dom(page);

const withPart = (part: Part): Document => ({ title: 'A page', subtitle: 'of a day', parts: [part] });

/** Every text of a document, wherever it stands. */
function textsIn(value: unknown): string[] {
  if (typeof value === 'string') return [value];
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return [];
  return Object.values(value).flatMap(textsIn);
}

describe('the file', () => {
  it('is valid HTML', { timeout: 60_000 }, async () => {
    const validator = new HtmlValidate({
      extends: ['html-validate:recommended'],
      rules: {
        // The page is for reading, its source is not: no blanks for the eye's sake.
        'long-title': 'off',
        'no-inline-style': ['error', { allowedProperties: ['--share', '--unknown'] }],
      },
    });
    const report = await validator.validateString(page);
    expect(
      report.results.flatMap(({ messages }) =>
        messages.map(({ ruleId, message, line }) => `${line} ${ruleId}: ${message}`),
      ),
    ).toEqual([]);
  });

  it('asks for nothing: no script, no address outside, a policy against both', () => {
    expect(document.querySelectorAll('script, iframe, object, embed, img, form, base')).toHaveLength(0);
    const addresses = [...document.querySelectorAll('[src], [href]')].map(
      (one) => one.getAttribute('href') ?? one.getAttribute('src'),
    );
    expect(addresses.filter((address) => !/^(?:#[\w-]+|data:,)$/.test(address ?? ''))).toEqual([]);
    expect(page).not.toMatch(/@import|url\((?!#look_)|https?:/);
    expect(
      [...document.querySelectorAll('*')]
        .flatMap((one) => one.getAttributeNames())
        .filter((name) => name.startsWith('on')),
    ).toEqual([]);
    expect(document.querySelector('meta[http-equiv]')?.getAttribute('content')).toBe(
      "default-src 'none'; style-src 'unsafe-inline'; img-src data:",
    );
  });

  it('is the same for the same document', () => {
    expect(textOf(madeUpPage)).toBe(page);
  });

  it('has every id once, and all that is referred to', () => {
    const ids = [...document.querySelectorAll('[id]')].map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    const wanted = [...page.matchAll(/(?:url\(#|href="#|aria-labelledby=")([\w-]+)/g)].map(([, id]) => id!);
    expect(wanted.length).toBeGreaterThan(20);
    expect(wanted.filter((id) => !ids.includes(id))).toEqual([]);
  });

  it('says every word of the document, and hostile ones as text', () => {
    const shown = document.documentElement.textContent ?? '';
    const tones = ['good', 'note', 'caution', 'alarm', 'unknown', 'plain'];
    const notSaid = textsIn(madeUpPage.parts).filter((text) => !shown.includes(visibleText(text)));
    const labels = [
      'left',
      'right',
      'verdict',
      'section',
      'paragraph',
      'items',
      'facts',
      'grid',
      'lines',
      'strips',
      'calendar',
    ];
    const ids = [...document.querySelectorAll('[id], [datetime]')].flatMap((one) => [
      one.id,
      one.getAttribute('datetime'),
    ]);
    expect(notSaid.filter((text) => ![...tones, ...labels, ...ids].includes(text))).toEqual([]);
    expect(shown).toContain(visibleText(HOSTILE));
  });
});

describe('for those who do not see it', () => {
  it('has no fault that a checker of accessibility finds', { timeout: 60_000 }, async () => {
    // What depends on the style is checked where there is a browser, and takes very long here.
    const window = dom(page.replace(/<style>.*<\/style>/s, ''), 'outside-only');
    window.eval(readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'));
    const results: AxeResults = await window.axe.run({ rules: { 'color-contrast': { enabled: false } } });
    expect(results.violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`)).toEqual([]);
    expect(results.passes.length).toBeGreaterThan(20);
  });

  it('says in words what every picture shows', () => {
    const pictures = [...document.querySelectorAll('[role=img]')];
    expect(pictures).toHaveLength(7);
    for (const picture of pictures) {
      const name = document.getElementById(picture.getAttribute('aria-labelledby') ?? '');
      expect(name?.parentElement?.tagName).toBe('FIGCAPTION');
      expect(name?.parentElement?.textContent?.length).toBeGreaterThan(name!.textContent!.length + 10);
    }
  });

  it('has a word for every tone', () => {
    const marks = [...document.querySelectorAll('.mark')].map((mark) => mark.textContent);
    expect(marks).toEqual(['alarm', 'alarm', 'caution', 'note', 'unknown', 'caution', 'well']);
  });

  it('has headings in steps of one', () => {
    const levels = [...document.querySelectorAll('h1, h2, h3, h4')].map(({ tagName }) => Number(tagName[1]));
    expect(levels[0]).toBe(1);
    for (let i = 1; i < levels.length; i++) expect(levels[i]).toBeLessThanOrEqual(levels[i - 1]! + 1);
  });

  it('names rows and columns of tables, and lets the keyboard reach what scrolls', () => {
    for (const table of document.querySelectorAll('table')) {
      expect(table.caption?.textContent).toBeTruthy();
      expect(table.closest('[tabindex="0"]')).not.toBeNull();
      for (const row of table.tBodies[0]!.rows) {
        expect(row.cells[0]?.getAttribute('scope')).toBe('row');
        expect(row.cells).toHaveLength(table.tHead!.rows[0]!.cells.length);
      }
    }
  });
});

describe('charts', () => {
  const lines = (values: readonly number[]): Part => ({
    kind: 'lines',
    title: 'Air',
    words: 'In words.',
    unit: '°C',
    axis: { from: 0, until: 100, ticks: [] },
    lines: [{ name: 'air', time: Float64Array.from(values, (_, i) => i), values: Float64Array.from(values) }],
    bands: [],
    unknown: [],
  });
  const ticksOf = (part: Part) =>
    [...dom(textOf(withPart(part))).document.querySelectorAll('svg.lines text[text-anchor=end]')].map(
      (one) => one.textContent,
    );

  it.each([
    { why: 'out to round numbers', values: [1.3, 18.7], ticks: ['0', '5', '10', '15', '20 °C'] },
    { why: 'below zero with a minus', values: [-9, 1], ticks: ['−10', '−8', '−6', '−4', '−2', '0', '2 °C'] },
    {
      why: 'a flat line is not blown up',
      values: [20, 20],
      ticks: ['19.0', '19.5', '20.0', '20.5', '21.0 °C'],
    },
    { why: 'no values, no marks', values: [Number.NaN], ticks: [] },
  ])('the axis of values: $why', ({ values, ticks }) => expect(ticksOf(lines(values))).toEqual(ticks));

  it('a chart without values says so', () => {
    expect(textOf(withPart(lines([])))).toContain('>no values</text>');
  });

  it('states of the same tone differ in their look', () => {
    const states = ['late', 'lost', 'torn'].map((key) => ({ key, name: key, tone: 'alarm' as const }));
    const part: Part = {
      kind: 'strips',
      title: 'Loggers',
      words: 'In words.',
      axis: { from: 0, until: 3, ticks: [] },
      states,
      strips: [{ name: 'loft', spans: states.map(({ key }, i) => ({ from: i, until: i + 1, state: key })) }],
    };
    const keys = dom(textOf(withPart(part))).document.querySelectorAll('.key li > svg');
    expect(new Set([...keys].map(({ innerHTML }) => innerHTML)).size).toBe(3);
  });

  it('a short trouble is drawn over what surrounds it', () => {
    const part: Part = {
      kind: 'strips',
      title: 'Loggers',
      words: 'In words.',
      axis: { from: 0, until: 100_000, ticks: [] },
      states: [
        { key: 'silent', name: 'silent', tone: 'alarm' },
        { key: 'reading', name: 'reading', tone: 'good' },
      ],
      strips: [
        {
          name: 'loft',
          spans: [
            { from: 0, until: 50_000, state: 'reading' },
            { from: 50_000, until: 50_001, state: 'silent' },
            { from: 50_001, until: 100_000, state: 'reading' },
          ],
        },
      ],
    };
    const layers = [...dom(textOf(withPart(part))).document.querySelectorAll('.strip path')];
    expect(layers.map((one) => one.getAttribute('class'))).toEqual(['good full edged', 'alarm full edged']);
    expect(layers[1]?.getAttribute('d')).toBe('M1000 0h1v1h-1z');
  });

  it('a calendar begins under the weekday of its first day and says what is not known', () => {
    const days = [...document.querySelectorAll('.days li')];
    expect(days).toHaveLength(31);
    expect(days[0]?.className).toBe('day-3');
    expect(days[0]?.textContent).toContain('Wed 1 Oct');
    expect(days[7]?.getAttribute('style')).toBe('--share:31.25%;--unknown:0%');
    expect(days[12]?.getAttribute('style')).toBe('--share:0%;--unknown:45%');
    expect(days[20]?.className).toContain('partly');
  });
});

describe('is small', () => {
  it('for a month of three loggers', () => expect(Buffer.byteLength(page)).toBeLessThan(400_000));

  it('for three charts of a year of one-minute readings', () => {
    const minutes = course((UNTIL - FROM) / 525_600, 10, 5);
    const part = (title: string): Part => ({
      kind: 'lines',
      title,
      words: 'In words.',
      unit: '°C',
      axis: { from: FROM, until: UNTIL, ticks: [] },
      lines: ['air', 'dew point'].map((name) => ({ ...minutes, name })),
      bands: [],
      unknown: [],
    });
    const year: Document = { title: 'A year', subtitle: '', parts: ['a', 'b', 'c'].map(part) };
    expect(Buffer.byteLength(textOf(year))).toBeLessThan(400_000);
  });
});

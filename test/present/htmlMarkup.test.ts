import fc from 'fast-check';
import { JSDOM } from 'jsdom';
import { expect, it } from 'vitest';
import { html } from '../../src/present/htmlMarkup.js';
import { visibleText } from '../../src/present/visible.js';

const { body } = new JSDOM().window.document;
const read = ({ markup }: { markup: string }) => {
  body.innerHTML = markup;
  return body;
};

it('any text is text in an element and in an attribute, as it is shown', () => {
  const anything = fc.integer({ min: 0, max: 0x10ffff }).map((code) => String.fromCodePoint(code));
  const unit = fc.oneof(anything, fc.constantFrom(...'<>&"\'/=` \r\n\t\0'));
  fc.assert(
    fc.property(fc.array(fc.string({ unit, maxLength: 40 }), { maxLength: 30 }), (given) => {
      const paragraphs = [
        ...read(html`${given.map((text) => html`<p title="${text}">${text}</p>`)}`).children,
      ];
      expect(paragraphs.map(({ textContent }) => textContent)).toEqual(given.map(visibleText));
      expect(paragraphs.map((one) => one.getAttribute('title'))).toEqual(given.map(visibleText));
    }),
    { numRuns: 20 },
  );
});

it.each([`"><script>alert(1)</script>`, `' onload='x`, `<!--`, ']]>', '&lt;b&gt;', '</p><p>', '`'])(
  'what looks like markup is none: %s',
  (text) => {
    read(html`<p title='${text}'>${text}</p>`);
    expect(body.querySelectorAll('*')).toHaveLength(1);
    expect(body.textContent).toBe(text);
  },
);

it('control characters and marks of direction are spelt out', () => {
  expect(html`${'\u001b[31m \u202e \u0000 \u2028'}`.markup).toBe('\\x1b[31m \\u202e \\x00 \\u2028');
});

it('markup goes in as it is, a list of it joined, numbers as they are written', () => {
  expect(html`<ul>${['a', '<b>'].map((name) => html`<li>${name}</li>`)}</ul>${-0.5}`.markup).toBe(
    '<ul><li>a</li><li>&lt;b&gt;</li></ul>-0.5',
  );
});

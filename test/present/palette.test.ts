import { describe, expect, it } from 'vitest';
import { DAYLIGHT, NIGHT } from '../../src/present/htmlPalette.js';
import { contrast, distance, EYES } from './colours.js';

/** WCAG 2.2, 1.4.3: text; and 1.4.11: what a picture cannot be understood without. */
const TEXT = 4.5;
const PICTURE = 3;

/** ΔE*ab at which colours of different things are told apart without doubt; our choice, a just noticeable one is about 2. */
const TONES_APART = 15;
const LINES_APART = 30;

const pairs = (colours: readonly string[]) =>
  colours.flatMap((a, i) => colours.slice(i + 1).map((b) => [a, b] as const));

describe.each([
  { scheme: 'by day', palette: DAYLIGHT },
  { scheme: 'at night', palette: NIGHT },
])('the page $scheme', ({ palette }) => {
  it.each([
    ...['ink', 'muted'].map((name) => [name, palette[name as 'ink'], palette.paper] as const),
    ...Object.entries(palette.tones).map(([tone, colour]) => [tone, colour, palette.paper] as const),
    ...palette.lines.map((colour, i) => [`line ${i + 1}`, colour, palette.paper] as const),
    ['ink on water', palette.ink, palette.water] as const,
    ['ink on the lines of a hatching', palette.ink, palette.hatch] as const,
  ])('%s can be read', (_, colour, ground) => {
    expect(contrast(colour, ground)).toBeGreaterThanOrEqual(TEXT);
  });

  it('the two ends of the contrast are 1 and 21', () => {
    expect(contrast(palette.ink, palette.ink)).toBe(1);
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 9);
  });

  it('the lines of the margin can be seen', () => {
    expect(contrast(palette.margin, palette.paper)).toBeGreaterThanOrEqual(PICTURE);
  });

  it.each(Object.keys(EYES) as (keyof typeof EYES)[])(
    'tones and lines stay apart for an eye with %s',
    (eye) => {
      for (const [a, b] of pairs(Object.values(palette.tones))) {
        expect(distance(a, b, eye), `${a} and ${b}`).toBeGreaterThanOrEqual(TONES_APART);
      }
      for (const [a, b] of pairs(palette.lines)) {
        expect(distance(a, b, eye), `${a} and ${b}`).toBeGreaterThanOrEqual(LINES_APART);
      }
    },
  );
});

it('an eye that lacks cones confuses what it is known to confuse', () => {
  expect(distance('#c08000', '#70a000', 'all cones')).toBeGreaterThan(40);
  expect(distance('#c08000', '#70a000', 'no long-wave cones')).toBeLessThan(25);
});

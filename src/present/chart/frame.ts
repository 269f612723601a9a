/**
 * The measures that charts share.
 *
 * A chart is as wide as its place on the page and as high as it says here. Curves are drawn on a grid
 * that the browser stretches sideways; text, ticks and patterns stand at percentages of the width and
 * are never stretched, so that they have the same size on a telephone, a desk and paper.
 */

/** Height of what lies between the axes [px]. */
export const PLOT_HEIGHT = 208;

/** Room above the highest line for half a label [px]. */
export const HEAD = 8;

/** Columns that a curve is reduced to: more than most places on a page have pixels to show. */
export const COLUMNS = 720;

/** Steps of the grid of curves for each column and each pixel of height. */
export const STEPS = 4;

/** Parts of the width, of which a stretch of time takes one at least. */
export const SLIVERS = 2000;

/**
 * How wide charts are at least [px], between their axes, and the class of the labels that appear from
 * there on: on a telephone of 360 px, then from 36 rem and from 54 rem on (see `htmlStyle.ts`).
 */
export const ROOMS = [
  { className: 'near', width: 272 },
  { className: 'mid', width: 392 },
  { className: 'far', width: 680 },
] as const;

/** Width of a letter of 12 px, on the wide side of the fonts that systems come with [px]. */
export const LETTER = 7.3;

/** A share of the width as SVG has it, to a hundredth of a percent. */
export function percent(share: number): string {
  return `${Math.round(share * 10_000) / 100}%`;
}

import { html, type Markup } from '../htmlMarkup.js';

/** A longer name is not written beside the chart, where there is room for about this many letters. */
const LONGEST_LABEL = 18;
/** From one label to the next [px]. */
const STEP = 15;

/** A name that is written beside what it names. */
export interface EndLabel {
  readonly name: string;
  /** Of its colour. */
  readonly className: string;
  /** Where its letters would best stand, from the top [px]. */
  readonly y: number;
}

/** Whether a name is written beside the chart, too. */
export function isLabel(name: string): boolean {
  return name.length <= LONGEST_LABEL;
}

/**
 * Names at the right end of a chart, moved apart where they would overlap. Shown where there is room.
 *
 * @param foot no letters stand lower [px]
 */
export function endLabels(labels: readonly EndLabel[], foot: number): Markup {
  const shown = labels.filter(({ name, y }) => isLabel(name) && !Number.isNaN(y)).sort((a, b) => a.y - b.y);
  const places = apart(
    shown.map(({ y }) => y),
    foot,
  );
  return html`${shown.map(
    ({ name, className }, i) =>
      html`<text class="end ${className}" x="100%" y="${places[i]!}" dx="8">${name}</text>`,
  )}`;
}

/** Ascending places moved down, then up from the foot, until each has its step. */
function apart(wanted: readonly number[], foot: number): number[] {
  const places = [...wanted];
  for (let i = 1; i < places.length; i++) places[i] = Math.max(places[i]!, places[i - 1]! + STEP);
  let limit = foot;
  for (let i = places.length - 1; i >= 0; i--) {
    places[i] = Math.min(places[i]!, limit);
    limit = places[i]! - STEP;
  }
  return places.map((place) => Math.round(place * 10) / 10);
}

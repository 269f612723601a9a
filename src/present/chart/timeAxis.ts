import { scaleLinear } from 'd3-scale';
import type { TimeAxis } from '../../report/document.js';
import { html, type Markup } from '../htmlMarkup.js';
import { LETTER, percent, ROOMS } from './frame.js';

/** Height of an axis with its marks and labels [px]. */
export const AXIS_HEIGHT = 26;

/** Between two labels there is at least this [px]. */
const GAP = 8;

/**
 * From which room on each label is shown, as an index of `ROOMS`; their number where it never is.
 *
 * In a narrow room every second, third, … label stands, always the same step apart, and those of a
 * narrow room stay in a wider one.
 */
export function labelRooms(axis: TimeAxis): number[] {
  const x = scaleLinear([axis.from, axis.until], [0, 1]);
  const steps: number[] = [];
  for (let room = ROOMS.length - 1; room >= 0; room--) {
    const wider = steps[0] ?? 1;
    let step = wider;
    while (step < axis.ticks.length && overlaps(axis, x, ROOMS[room]!.width, step)) step += wider;
    steps.unshift(step);
  }
  return axis.ticks.map((_, i) => {
    const room = steps.findIndex((step) => i % step === 0);
    return room < 0 ? ROOMS.length : room;
  });
}

function overlaps(axis: TimeAxis, x: (at: number) => number, width: number, step: number): boolean {
  let end = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < axis.ticks.length; i += step) {
    const { at, label } = axis.ticks[i]!;
    const long = label.length * LETTER;
    const start = x(at) * width - long * BEFORE[anchor(x(at), label)];
    if (start < end + GAP) return true;
    end = start + long;
  }
  return false;
}

/**
 * The axis under a chart: a line, a mark at every tick, and as many labels as there is room for.
 *
 * @param top where its line is [px]
 * @param reach how high the marks of labelled ticks go as a thin line through the chart [px]
 */
export function timeAxis(axis: TimeAxis, top: number, reach: number): Markup {
  const x = scaleLinear([axis.from, axis.until], [0, 1]);
  const rooms = labelRooms(axis);
  const ticks = axis.ticks.map(({ at, label }, i) => {
    const place = percent(x(at));
    const className = ROOMS[rooms[i]!]?.className;
    if (className === undefined)
      return html`<line class="tick" x1="${place}" x2="${place}" y1="${top}" y2="${top + 3}"/>`;
    return html`<line class="tick" x1="${place}" x2="${place}" y1="${top}" y2="${top + 5}"/><g class="${className}"><line class="grid" x1="${place}" x2="${place}" y1="${top - reach}" y2="${top}"/><text x="${place}" y="${top + 19}" text-anchor="${anchor(x(at), label)}">${label}</text></g>`;
  });
  return html`${ticks}<line class="axis" x1="0" x2="100%" y1="${top}" y2="${top}"/>`;
}

/** How much of a label stands before its mark. */
const BEFORE = { start: 0, middle: 0.5, end: 1 } as const;

/** A label stands in the middle under its mark, but for those at the ends, which stay within the chart. */
export function anchor(share: number, label: string): keyof typeof BEFORE {
  const half = (label.length * LETTER) / 2 - GAP;
  if (share * ROOMS[0].width < half) return 'start';
  return (1 - share) * ROOMS[0].width < half ? 'end' : 'middle';
}

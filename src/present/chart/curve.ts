import type { TimeAxis } from '../../report/document.js';
import { COLUMNS, PLOT_HEIGHT, STEPS } from './frame.js';
import { reduced } from './reduced.js';

const WIDTH = COLUMNS * STEPS;
const HEIGHT = PLOT_HEIGHT * STEPS;

/**
 * The path of a curve on the grid of `frame.ts`, in whole steps and relative ones, which takes half
 * the bytes. A value between two gaps is a dot where line ends are round.
 *
 * @param y the value at the foot and at the head of the plot
 */
export function curvePath(
  series: { readonly time: Float64Array; readonly values: Float64Array },
  axis: Pick<TimeAxis, 'from' | 'until'>,
  [foot, head]: readonly [number, number],
): string {
  const { time, values } = reduced(series.time, series.values, axis, COLUMNS);
  const length = axis.until - axis.from;
  let path = '';
  let points = 0; // of the stretch that is drawn
  let atX = 0;
  let atY = 0;
  for (let i = 0; i < values.length; i++) {
    if (Number.isNaN(values[i]!)) {
      if (points === 1) path += 'z';
      points = 0;
      continue;
    }
    const x = Math.round(((time[i]! - axis.from) / length) * WIDTH);
    const y = Math.round((1 - (values[i]! - foot) / (head - foot)) * HEIGHT);
    // after `m` SVG takes pairs for lines; a minus parts numbers as well as a blank
    path += `${points === 0 ? 'm' : ' '}${x - atX}${y < atY ? '' : ' '}${y - atY}`;
    atX = x;
    atY = y;
    points++;
  }
  return points === 1 ? `${path}z` : path;
}

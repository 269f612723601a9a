import { scaleLinear } from 'd3-scale';
import { line } from 'd3-shape';
import type { TimeAxis } from '../../report/document.js';
import { COLUMNS, PLOT_HEIGHT, STEPS } from './frame.js';
import { reduced } from './reduced.js';

/**
 * The path of a curve on the grid of `frame.ts`, in whole steps and relative ones, which takes half
 * the bytes. A value between two gaps is a dot where line ends are round.
 *
 * @param y the value at the foot and at the head of the plot
 */
export function curvePath(
  { time, values }: { readonly time: Float64Array; readonly values: Float64Array },
  axis: TimeAxis,
  [foot, head]: readonly [number, number],
): string {
  const x = scaleLinear([axis.from, axis.until], [0, COLUMNS * STEPS]);
  const y = scaleLinear([foot, head], [PLOT_HEIGHT * STEPS, 0]);
  const few = reduced(time, values, axis, COLUMNS);
  const pen = stepPen();
  line<number>()
    .defined((value) => !Number.isNaN(value))
    .x((_, i) => x(few.time[i]!))
    .y((value) => y(value))
    .context(pen as never)(few.values);
  return pen.path();
}

/** What d3 draws on: it turns places into whole steps from the place before. After `m` SVG takes pairs for lines. */
function stepPen() {
  let path = '';
  let atX = 0;
  let atY = 0;
  const step = (command: string, x: number, y: number) => {
    const dx = Math.round(x) - atX;
    const dy = Math.round(y) - atY;
    atX += dx;
    atY += dy;
    path += `${command}${dx}${dy < 0 ? '' : ' '}${dy}`;
  };
  return {
    moveTo: (x: number, y: number) => step('m', x, y),
    lineTo: (x: number, y: number) => step(' ', x, y),
    closePath: () => {
      path += 'z';
    },
    path: () => path,
  };
}

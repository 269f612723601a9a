import { type Line, steadily } from './auditing.js';

export const round = (value: number, places = 1) => Number(value.toFixed(places));

/** Ordinary air, three days of it every ten minutes, in tenths: a daily wave and a little scatter. */
export function ordinary(count = 432, cadence = 10): Line[] {
  const wave = (i: number) => Math.sin((2 * Math.PI * i * cadence) / 1440);
  const scatter = (i: number) => (((i * 7919) % 13) - 6) / 60;
  return steadily(cadence, {
    temperature: Array.from({ length: count }, (_, i) => round(12 + 3 * wave(i) + scatter(i))),
    humidity: Array.from({ length: count }, (_, i) => round(70 - 8 * wave(i) + 4 * scatter(i + 5))),
  });
}

/** The lines with these changed, by index. */
export function changed(lines: readonly Line[], changes: Readonly<Record<number, Partial<Line>>>): Line[] {
  return lines.map((line, i) => ({ ...line, ...changes[i] }));
}

/** The lines from index `from` to before `to`, as `into` makes them. */
export function rewritten(
  lines: readonly Line[],
  from: number,
  to: number,
  into: (line: Line) => Partial<Line>,
): Line[] {
  return lines.map((line, i) => (i >= from && i < to ? { ...line, ...into(line) } : line));
}

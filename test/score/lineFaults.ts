import { type Row, written } from './device.js';
import { anywhere, type Bench, type Kind, someRows } from './fault.js';
import { stampText } from './stamps.js';

const short = () => 3;

/** The line of a row as the logger writes it. */
export function lineOf(
  row: Row,
  { device, style, clocks }: Pick<Bench, 'device' | 'style' | 'clocks'>,
): string {
  if (row.raw !== null) return row.raw;
  const temperature = row.temperatureText ?? written(row.temperature, device.grade);
  const humidity = row.humidityText ?? written(row.humidity, device.grade);
  return `${stampText(row.stamp, style, clocks)},${temperature},${humidity}`;
}

/** Cut in the middle by a power failure; what is left has too few cells. */
export const torn: Kind = lineKind('torn line', (line, { random }) =>
  line.slice(0, random.whole(3, line.lastIndexOf(',') - 1)),
);

/** Bytes that were never written, as a card gives them after a power failure. */
export const garbage: Kind = lineKind('garbage', (_line, { random }) =>
  Array.from({ length: random.whole(8, 30) }, () =>
    String.fromCharCode(random.oneOf([0, 0, 0xff, 0xfe, 0x7f, 0x1a, 0x41])),
  ).join(''),
);

/** A stamp that no calendar has. */
export const oddStamp: Kind = lineKind('odd stamp', (line, { random, style }) =>
  line.replace(
    /^[^,]*/,
    style === 'epoch'
      ? random.oneOf(['17x0', '-', 'time'])
      : random.oneOf(['2025-13-41 25:61:00', '2025-02-30 12:00:00', '0000-00-00 00:00:00', 'boot']),
  ),
);

export const oddWord: Kind = {
  name: 'odd word',
  check: 'unreadable',
  times: 1,
  hours: short,
  timeless: true,
  fits: anywhere,
  inject(bench, stretch) {
    const [row] = someRows(bench, stretch, 1);
    if (row === undefined) return null;
    const word = bench.random.oneOf(['21-May', 'err', 'E4', '2x.5', '!!']);
    if (bench.random.chance(0.5)) row.temperatureText = word;
    else row.humidityText = word;
    return { rows: [row] };
  },
};

/** The end of a line was lost, and the next follows on it. */
export const runTogether: Kind = {
  name: 'run together',
  check: 'unreadable',
  times: 1,
  hours: short,
  timeless: true,
  fits: anywhere,
  inject(bench, stretch) {
    const [row, next] = someRows(bench, stretch, 2);
    if (row === undefined || next === undefined) return null;
    row.raw = lineOf(row, bench) + lineOf(next, bench);
    next.dropped = true;
    return { rows: [row], until: next.stamp };
  },
};

function lineKind(name: string, make: (line: string, bench: Bench) => string): Kind {
  return {
    name,
    check: 'unreadable',
    times: 1,
    hours: short,
    timeless: true,
    fits: anywhere,
    inject(bench, stretch) {
      const [row] = someRows(bench, stretch, 1);
      if (row === undefined) return null;
      row.raw = make(lineOf(row, bench), bench);
      return { rows: [row] };
    },
  };
}

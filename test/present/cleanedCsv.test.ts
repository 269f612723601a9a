import fc from 'fast-check';
import { describe, expect, it, vi } from 'vitest';
import { zoneNamed } from '../../src/calendar/zone.js';
import type { Cleaned } from '../../src/cleaning/clean.js';
import { piecesOf } from '../../src/log/pieces.js';
import { cleanedCsv } from '../../src/present/cleanedCsv.js';
import { csvLines } from '../../src/present/csv.js';
import { defaultAir } from '../../src/psychrometry/airModel.js';
import { quantities } from '../../src/psychrometry/quantities.js';
import { cleanedColumns, cleanedRows, type Derived } from '../../src/report/cleanedReport.js';

// half a minute is for machines with much else to do
vi.setConfig({ testTimeout: 30_000 });

interface Row {
  readonly temperature: number;
  readonly humidity: number;
  readonly flags: readonly [number, number];
}

function cleanedOf(logger: string, rows: readonly Row[], step = 60_000): Cleaned {
  const n = rows.length;
  return {
    log: {
      logger,
      length: n,
      time: Float64Array.from({ length: n }, (_, i) => Date.UTC(2025, 9, 25) + i * step),
      temperature: Float64Array.from(rows, ({ temperature }) => temperature),
      humidity: Float64Array.from(rows, ({ humidity }) => humidity),
    },
    flags: {
      temperature: Uint8Array.from(rows, ({ flags }) => flags[0]),
      humidity: Uint8Array.from(rows, ({ flags }) => flags[1]),
    },
    kept: piecesOf(n === 0 ? [] : [0, n]),
    dropped: [],
  };
}

const LONDON = zoneNamed('Europe/London');
const ALL: Derived = { quantities, pressure: 1013.25, model: defaultAir };
const NONE: Derived = { ...ALL, quantities: [] };

function both(logs: readonly Cleaned[], derived: Derived, crlf = false): { bytes: string; plain: string } {
  const bytes: string[] = [];
  for (const piece of cleanedCsv(logs, LONDON, derived, { crlf })) bytes.push(Buffer.from(piece).toString());
  const plain = csvLines(cleanedColumns(derived), cleanedRows(logs, LONDON, derived), { crlf });
  return { bytes: bytes.join(''), plain: [...plain].join('') };
}

const flag = fc.constantFrom(1, 2, 3, 4, 9);
const tenths = fc.integer({ min: -400, max: 1200 }).map((value) => value / 10);
const value = fc.oneof(
  { weight: 5, arbitrary: tenths },
  { weight: 1, arbitrary: fc.double({ min: -90, max: 120 }) },
  { weight: 1, arbitrary: fc.constantFrom(Number.NaN, 0, -0, 1e-7, 1e300) },
);
const row: fc.Arbitrary<Row> = fc.record({
  temperature: value,
  humidity: value,
  flags: fc.tuple(flag, flag),
});
/** Few values, met again and again. */
const repeated = fc
  .array(row, { minLength: 1, maxLength: 4 })
  .chain((few) => fc.array(fc.constantFrom(...few), { maxLength: 40 }));

describe('the bytes of a cleaned log', () => {
  it('are those of the plain rows, whatever the values, the flags and the name', () => {
    const name = fc.oneof(fc.constantFrom('sail-loft', 'a,"b"', '=1+1', '温度'), fc.string());
    const log = fc
      .tuple(name, fc.oneof(fc.array(row), repeated))
      .map(([logger, rows]) => cleanedOf(logger, rows));
    fc.assert(
      fc.property(fc.array(log), fc.constantFrom(ALL, NONE), fc.boolean(), (logs, derived, crlf) => {
        const { bytes, plain } = both(logs, derived, crlf);
        expect(bytes).toBe(plain);
      }),
      { numRuns: 100 },
    );
  });

  it('are so over many pieces and more pairs of values than are remembered', () => {
    const rows = Array.from(
      { length: 150_000 },
      (_, i): Row => ({
        temperature: Math.round(200 * Math.sin(i / 7000) + 150 * Math.sin(i * 0.7)) / 10,
        humidity: (i * 37) % 1001 === 0 ? Number.NaN : ((i * 7919) % 1001) / 10,
        flags: [i % 100 === 0 ? 3 : 1, 1],
      }),
    );
    const { bytes, plain } = both([cleanedOf('loft', rows), cleanedOf('hall', rows.slice(0, 100))], NONE);
    expect(bytes.length).toBeGreaterThan(3 * 262_144);
    expect(bytes === plain).toBe(true);
  });

  it('are a heading where there is no reading', () => {
    const { bytes, plain } = both([], ALL);
    expect(bytes).toBe(plain);
    expect(bytes.split('\n')).toHaveLength(2);
  });

  it('come piece by piece, and a piece holds until the one after the next is asked for', () => {
    const rows = Array.from({ length: 20_000 }, (): Row => ({ temperature: 1, humidity: 50, flags: [1, 1] }));
    const pieces = cleanedCsv([cleanedOf('loft', rows)], LONDON, NONE);
    pieces.next();
    const first = pieces.next().value as Uint8Array;
    const copy = Buffer.from(first);
    pieces.next();
    expect(copy.equals(first)).toBe(true);
  });
});

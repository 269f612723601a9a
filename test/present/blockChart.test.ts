import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineBlocks, stripBlocks } from '../../src/present/blockChart.js';
import type { LineChart, StripChart } from '../../src/report/document.js';

const axis = { from: 0, until: 240, ticks: [0, 60, 120, 180].map((at) => ({ at, label: `t${at}` })) };

function chartOf(values: readonly number[], more: Partial<LineChart> = {}): LineChart {
  return {
    kind: 'lines',
    title: 'air',
    words: '',
    unit: '°C',
    axis,
    lines: [
      {
        name: 'air',
        time: Float64Array.from(values, (_, i) => (240 * i) / values.length),
        values: Float64Array.from(values),
      },
    ],
    bands: [],
    unknown: [],
    ...more,
  };
}

describe('a line of blocks', () => {
  it('rises with the values, with its extremes beside it', () => {
    expect(lineBlocks(chartOf([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]), 23)).toEqual([
      '            ▂▄▆█ 11.0',
      '        ▁▃▆█████',
      'air ▁▃▅▇████████ 0.0',
      '    t0 t60',
    ]);
  });

  it('dots the time without values', () => {
    const lines = lineBlocks(chartOf([5, 6, Number.NaN, Number.NaN, 5, 6]), 31);
    expect(lines[2]).toMatch(/^air ▁█+░+▁█+░* 5\.0$/);
  });

  it('draws nothing where there is no value', () => {
    expect(lineBlocks(chartOf([Number.NaN, Number.NaN]), 40)).toEqual([]);
  });

  it('marks stretches under it, however short', () => {
    const band = { name: 'winch wet', tone: 'caution' as const, spans: [{ from: 120, until: 120.5 }] };
    const lines = lineBlocks(chartOf([1, 2, 3], { bands: [band] }), 50);
    expect(lines.find((line) => line.startsWith('winch wet'))).toMatch(/^winch wet +▀$/);
  });

  it('keeps to the width, and shows the highest value in full wherever it is', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: -300, max: 500 }), { minLength: 2, maxLength: 400 }),
        fc.integer({ min: 40, max: 140 }),
        (tenths, width) => {
          const values = tenths.map((value) => value / 10);
          const lines = lineBlocks(chartOf(values), width);
          for (const line of lines) expect(line.length).toBeLessThanOrEqual(width);
          if (Math.max(...values) > Math.min(...values)) expect(lines[0]).toContain('█');
          expect(lines[0]).toContain(Math.max(...values).toFixed(1));
          expect(lines[2]).toContain(Math.min(...values).toFixed(1));
        },
      ),
    );
  });
});

describe('strips of blocks', () => {
  const chart: StripChart = {
    kind: 'strips',
    title: 'heard',
    words: '',
    axis,
    states: [
      { key: 'well', name: 'reporting', tone: 'good' },
      { key: 'silent', name: 'silent', tone: 'alarm' },
    ],
    strips: [
      {
        name: 'loft',
        spans: [
          { from: 0, until: 120, state: 'well' },
          { from: 120, until: 121, state: 'silent' },
          { from: 121, until: 240, state: 'well' },
        ],
      },
    ],
  };

  it('show a short outage, and say what each block means', () => {
    const [strip, , legend] = stripBlocks(chart, 45);
    expect(strip).toMatch(/^loft ─{20}█─{19}$/);
    expect(legend).toBe('     ─ reporting   █ silent');
  });
});

import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { describe, expect, it } from 'vitest';
import { type Body, lagOf, MATERIALS } from '../../src/damp/material.js';
import { HOUR } from '../../src/units.js';

interface Row {
  readonly check_id: string;
  readonly expected: string;
  readonly tolerance: string;
}

const rows: Row[] = parse<Row>(
  readFileSync(new URL('../reference/surface_model_checks.csv', import.meta.url)),
  { columns: true, comment: '#' },
).filter(({ check_id }) => check_id.startsWith('tau_'));

const bodies: Readonly<Record<string, Omit<Body, 'exposure'>>> = {
  tau_steel_3mm: { material: 'steel', thickness: 6, faces: 2 },
  tau_steel_10mm: { material: 'steel', thickness: 10, faces: 1 },
  tau_cast_25mm: { material: 'cast iron', thickness: 25, faces: 1 },
  tau_aluminium_1mm: { material: 'aluminium', thickness: 2, faces: 2 },
  tau_concrete_100mm: { material: 'concrete', thickness: 100, faces: 1 },
};

describe('worked time constants', () => {
  it('are all looked at', () => {
    expect(rows).toHaveLength(10);
  });

  it.each(rows)('$check_id: $expected within $tolerance', ({ check_id, expected, tolerance }) => {
    const outdoors = check_id.endsWith('_outdoor');
    const body = bodies[check_id.replace(/_(in|out)door$/, '')]!;
    const { timeConstant, biot } = lagOf({ ...body, exposure: outdoors ? 'outdoors' : 'indoors' });
    const [hours, number] = expected.split(';').map(Number);
    expect(Math.abs(timeConstant / HOUR - hours!)).toBeLessThanOrEqual(Number(tolerance));
    expect(Math.abs(biot - number!)).toBeLessThanOrEqual(Number(tolerance));
  });
});

describe('a body', () => {
  const plate: Body = { material: 'steel', thickness: 6, faces: 2, exposure: 'indoors' };

  it('that the air reaches on one side only lags twice as long', () => {
    expect(lagOf({ ...plate, faces: 1 }).timeConstant).toBeCloseTo(2 * lagOf(plate).timeConstant, 6);
  });

  it('of twice the thickness lags twice as long', () => {
    expect(lagOf({ ...plate, thickness: 12 }).timeConstant).toBeCloseTo(2 * lagOf(plate).timeConstant, 6);
  });

  it.each([
    { material: 'steel', thickness: 50, indicative: false },
    { material: 'concrete', thickness: 100, indicative: true },
    { material: 'wood', thickness: 20, indicative: true },
    { material: 'wood', thickness: 1, indicative: false },
  ] as const)('of $thickness mm $material on one face: indicative $indicative', ({ indicative, ...body }) => {
    expect(lagOf({ ...plate, ...body, faces: 1 }).indicative).toBe(indicative);
  });

  it('of every material has a time constant between seconds and days at 10 mm', () => {
    for (const material of MATERIALS) {
      const { timeConstant } = lagOf({ ...plate, material, thickness: 10 });
      expect(timeConstant).toBeGreaterThan(HOUR / 10);
      expect(timeConstant).toBeLessThan(2 * HOUR);
    }
  });
});

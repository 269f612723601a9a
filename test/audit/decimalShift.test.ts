import { describe, expect, it } from 'vitest';
import { Flag } from '../../src/log/flag.js';
import { auditOf, brief, findingsOf, type Line } from './auditing.js';
import { changed, ordinary, round } from './ordinary.js';

const found = (lines: readonly Line[]) => findingsOf(auditOf(lines), 'decimal_shift');

describe('decimal shift', () => {
  const lines = ordinary();
  const at = (i: number) => lines[i]!;

  it('finds nothing in ordinary air', () => {
    expect(found(lines)).toEqual([]);
  });

  it('finds a temperature that has lost its decimal point, and no other check tells it again', () => {
    const { findings, flags } = auditOf(
      changed(lines, { 200: { temperature: round(10 * at(200).temperature) } }),
    );
    expect(findings.map(({ check }) => check)).toEqual(['decimal_shift']);
    expect(findings.map(brief)).toEqual([[2000, 2000, 1, 202, 202]]);
    expect(flags.temperature[200]).toBe(Flag.bad);
    expect(flags.humidity[200]).toBe(Flag.good);
  });

  it('finds values ten times too small', () => {
    const small = {
      200: { temperature: round(at(200).temperature / 10, 2) },
      300: { humidity: round(at(300).humidity / 10, 2) },
    };
    expect(found(changed(lines, small)).map(({ quantity }) => quantity)).toEqual([
      'air_temperature',
      'relative_humidity',
    ]);
  });

  it('finds humidity ten times too large', () => {
    expect(found(changed(lines, { 200: { humidity: round(10 * at(200).humidity) } }))).toHaveLength(1);
  });

  it('finds several in a row', () => {
    const shifted = Object.fromEntries(
      [200, 201, 202, 203, 204].map((i) => [i, { temperature: round(10 * at(i).temperature) }]),
    );
    expect(found(changed(lines, shifted)).map(({ count }) => count)).toEqual([5]);
  });

  it('leaves a spike alone that is no multiple', () => {
    expect(found(changed(lines, { 200: { temperature: 45 } }))).toEqual([]);
    expect(found(changed(lines, { 200: { humidity: 20 } }))).toEqual([]);
    expect(found(changed(lines, { 200: { temperature: 10 * at(200).temperature + 0.4 } }))).toEqual([]);
  });
});

import { describe, expect, it } from 'vitest';
import { isSteady, vapourOf } from '../../src/audit/coherence.js';
import { resolutionOf, stepChanges } from '../../src/audit/resolution.js';
import { medianOf, quantile, sampled, spreadOf } from '../../src/audit/robust.js';
import { pointsOf } from './pointed.js';

const course = Float64Array.from(
  { length: 500 },
  (_, i) => 12 + 5 * Math.sin(i / 20) + ((i * 7919) % 13) / 20,
);
const inSteps = (step: number) => course.map((value) => Math.round(value / step) * step);

describe('resolution', () => {
  it.each([1, 0.5, 0.2, 0.1, 0.05, 0.01])('of values in steps of %d', (step) => {
    expect(resolutionOf(inSteps(step), course.length)).toBe(step);
  });

  it('changes where another sensor writes, and nowhere else', () => {
    const [fine, whole] = [inSteps(0.1), inSteps(1)];
    const joined = (...parts: Float64Array[]) => Float64Array.from(parts.flatMap((part) => [...part]));
    const changes = (values: Float64Array) => stepChanges(pointsOf(values));
    expect(changes(fine)).toEqual([]);
    expect(changes(whole)).toEqual([]);
    expect(
      changes(
        joined(
          fine,
          fine.map(() => 12),
          fine,
        ),
      ),
    ).toEqual([]);
    expect(changes(whole.map((value, i) => (i % 97 === 5 ? value + 0.8 : value)))).toEqual([]);
    const [from, to, ...more] = changes(joined(fine, whole, fine));
    expect(more).toEqual([]);
    // a few values beside the change may be whole by chance
    expect(Math.abs(from! - 500)).toBeLessThan(5);
    expect(Math.abs(to! - 1000)).toBeLessThan(5);
  });

  it('of whole degrees Fahrenheit that were turned into °C', () => {
    const whole = course.map((value) => (Math.round(1.8 * value + 32) - 32) / 1.8);
    expect(resolutionOf(whole, whole.length)).toBeCloseTo(5 / 9, 10);
  });

  it('is 0 for finer values, and unknown where nothing changes', () => {
    expect(resolutionOf(course, course.length)).toBe(0);
    expect(resolutionOf(new Float64Array(9).fill(3), 9)).toBeNaN();
    expect(resolutionOf(new Float64Array(0), 0)).toBeNaN();
  });

  it('is not hidden by one value in a hundred of another kind', () => {
    const mended = inSteps(1).map((value, i) => (i % 250 === 7 ? value + 0.33 : value));
    expect(resolutionOf(mended, mended.length)).toBe(1);
  });
});

describe('robust figures', () => {
  it('a median does not mind the order, or what is missing', () => {
    expect(medianOf([5, NaN, 1, 3])).toBe(3);
    expect(medianOf([])).toBeNaN();
  });

  it('a quantile is one of the values', () => {
    expect([0, 0.5, 0.99, 1].map((share) => quantile([1, 2, 3, 4], share))).toEqual([1, 3, 4, 4]);
  });

  it('the spread of a normal distribution is its standard deviation, outliers or not', () => {
    // quantiles of the half-normal distribution with standard deviation 2, at 0.25, 0.5 and 0.75 (tables)
    expect(spreadOf([0.6373, 1.349, 2.3007])).toBeCloseTo(2, 3);
    expect(spreadOf([0.6373, 1.349, 1000])).toBeCloseTo(2, 3);
  });

  it('a sample of few is all of them, in their order', () => {
    expect([...sampled(4, (place) => [3, NaN, 1, 2][place]!)]).toEqual([3, 1, 2]);
    expect(sampled(-1, () => 1)).toHaveLength(0);
  });

  it('a sample of very many is spread over all of them', () => {
    const some = sampled(1_000_000, (place) => place);
    expect(some.length).toBeLessThanOrEqual(20_000);
    expect(some.at(-1)).toBeGreaterThan(999_000);
  });
});

describe('vapour pressure', () => {
  it('is that of the pair, whichever comes first', () => {
    expect(vapourOf('air_temperature', 20, 60)).toBeCloseTo(14.03, 2);
    expect(vapourOf('relative_humidity', 60, 20)).toBe(vapourOf('air_temperature', 20, 60));
  });

  it('is steady within 9 %, to either side, and never where it is not known', () => {
    expect([isSteady(10, 10.8), isSteady(10.8, 10), isSteady(10, 11), isSteady(11, 10)]).toEqual([
      true,
      true,
      false,
      false,
    ]);
    expect(isSteady(NaN, 10)).toBe(false);
  });
});

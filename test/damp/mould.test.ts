import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  criticalHumidity,
  greatestIndex,
  MOULD_MATERIALS,
  type MouldMaterial,
  mould,
  mouldDecline,
  mouldGrowth,
  weeksToFirstGrowth,
  weeksToVisibleGrowth,
  wood1999,
} from '../../src/damp/mould.js';
import type { MouldClass } from '../../src/damp/surface.js';
import type { SurfaceCourse } from '../../src/damp/surfaceCourse.js';
import { DAY, HOUR, MINUTE } from '../../src/units.js';
import { hours, logOf, type Row, sampled } from '../period/logOf.js';
import { randomLog, randomPeriods } from '../period/randomLog.js';
import { reference } from '../psychrometry/reference.js';

const pine = wood1999('pine', 'sawn');
const vulnerable = MOULD_MATERIALS['very sensitive'];
const exact = { temperature: 0, humidity: 0 };

interface Choice {
  readonly material?: MouldMaterial;
  readonly decline?: number;
  readonly humidity?: number;
  readonly bridge?: number;
}

/** The index at the end of every `every` ms, for `count` times. */
function follow(
  course: SurfaceCourse,
  every: number,
  count: number,
  { material = vulnerable, decline = 1, humidity = 0, bridge = HOUR }: Choice = {},
) {
  const periods = Array.from({ length: count }, (_, k) => ({ start: k * every, end: (k + 1) * every }));
  return mould(course, periods, { material, decline, bridge, accuracy: { temperature: 0, humidity } });
}

const steady = (temperature: number, humidity: number, until: number) =>
  sampled(0, until, HOUR, () => [temperature, humidity]);

/** Wet and dry in turn, starting wet, hourly, changing within a millisecond. */
function cycles(span: number, wet: number, dry: number, until: number): SurfaceCourse {
  const rows: Row[] = [];
  for (let time = 0; time <= until; time += HOUR) {
    const inWet = Math.floor(time / span) % 2 === 0;
    if (time % span === 0 && time > 0) rows.push([time - 1, 20, inWet ? dry : wet]);
    rows.push([time, 20, inWet ? wet : dry]);
  }
  return logOf(rows);
}

/** Days until the index has reached `mark`, to the hour; `never` if not in that time. */
function daysTo(mark: number, course: SurfaceCourse, days: number, choice: Choice): number | 'never' {
  const reached = follow(course, HOUR, 24 * days, choice).findIndex(({ index }) => index >= mark);
  return reached < 0 ? 'never' : (reached + 1) / 24;
}

const TEN_YEARS = 3650;

describe('worked values', () => {
  const checks = reference<
    'temp_C' | 'rh_pct' | 'W' | 'SQ' | 'Cmat' | 'tolerance',
    'check_id' | 'material_class' | 'quantity' | 'expected'
  >('mould_model_checks', 149);
  type Check = (typeof checks)[number];

  const materialOf = ({ material_class }: Check) =>
    material_class.startsWith('original') ? pine : MOULD_MATERIALS[material_class as MouldClass];
  const cycle = ({ check_id }: Check) => cycles(hours(Number(check_id.split('_')[1])), 95, 75, 60 * DAY);

  const longRuns = new Map<string, number>();
  function greatestIn10Years(t: number, u: number, name: string): number {
    const key = `${t} ${u} ${name}`;
    const choice: Choice = { material: name === 'original' ? pine : MOULD_MATERIALS[name as MouldClass] };
    const greatest =
      longRuns.get(key) ?? follow(steady(t, u, TEN_YEARS * DAY), TEN_YEARS * DAY, 1, choice)[0]!.greatest;
    longRuns.set(key, greatest);
    return greatest;
  }

  function computed(check: Check): number | 'never' {
    const { temp_C: t, rh_pct: u, quantity, expected } = check;
    const choice: Choice = { material: materialOf(check) };
    const declined = /^M after (\d+) h from ([\d.]+)$/.exec(quantity);
    if (declined) {
      return Math.max(0, Number(declined[2]) - check.Cmat * mouldDecline(hours(Number(declined[1]))));
    }
    switch (quantity) {
      case 'RHcrit':
        return criticalHumidity(t);
      case 'RHcrit_unfloored':
        return criticalHumidity(t, 0);
      case 'tm':
        return weeksToFirstGrowth(t, u, check.W, check.SQ);
      case 'tv':
        return weeksToVisibleGrowth(t, u, check.W);
      case 'Mmax':
        return greatestIndex(t, u, pine);
      case 'M(84 d)':
        return follow(steady(t, u, 84 * DAY), 84 * DAY, 1, choice)[0]!.index;
      case 'M(60 d)':
        return follow(cycle(check), 60 * DAY, 1)[0]!.index;
      case 't(M=1)':
      case 't(M=3)': {
        const mark = quantity === 't(M=1)' ? 1 : 3;
        if (check.check_id.startsWith('cycle')) return daysTo(mark, cycle(check), 60, {});
        if (expected === 'never') {
          const greatest = greatestIn10Years(t, u, check.material_class);
          return greatest < mark ? 'never' : TEN_YEARS;
        }
        const days = Math.ceil(Number(expected)) + 1;
        return daysTo(mark, steady(t, u, days * DAY), days, choice);
      }
      default:
        throw new Error(`no such quantity: ${quantity}`);
    }
  }

  it.each(checks)('$check_id: $quantity is $expected', (check) => {
    const got = computed(check);
    if (check.expected === 'never') expect(got).toBe('never');
    else expect(Math.abs(Number(got) - Number(check.expected))).toBeLessThanOrEqual(check.tolerance);
  });

  it('the wood of 1999 is taken with its species and surface', () => {
    // Growth from 0 is 1 / (7 tm) a day, but for the limit far above.
    for (const [species, w] of [
      ['pine', 0],
      ['spruce', 1],
    ] as const) {
      for (const [surface, sq] of [
        ['sawn', 0],
        ['kiln-dried', 1],
      ] as const) {
        const growth = mouldGrowth(0, 20, 97, wood1999(species, surface));
        expect(growth * 7 * weeksToFirstGrowth(20, 97, w, sq)).toBeCloseTo(1, 4);
      }
    }
  });

  it('humidity off by 3 % moves first growth from 66 days to 40 or 118', () => {
    const first = (u: number) => daysTo(1, steady(20, u, 130 * DAY), 130, {});
    expect([82, 85, 88].map((u) => Math.round(Number(first(u))))).toEqual([118, 66, 40]);
  });
});

describe('has it right where copies are wrong', () => {
  const growth = mouldGrowth(0, 20, 97, pine);

  it('growth is a day’s, not an hour’s', () => {
    const [first] = follow(steady(20, 97, DAY), DAY, 1, { material: pine });
    expect(first!.index).toBeCloseTo(growth, 3);
    expect(24 * growth).toBeGreaterThan(10 * first!.index);
  });

  it('critical humidity falls with temperature', () => {
    const copied = -0.00267 * 10 ** 3 + 0.16 * 10 ** 2 + 3.13 * 10 + 100;
    expect(copied).toBeGreaterThan(100);
    expect(criticalHumidity(10)).toBeCloseTo(82.03, 9);
  });

  it('from index 1 on growth goes by tv / tm − 1, not tv / (tm − 1)', () => {
    const [first, visible] = [weeksToFirstGrowth(20, 97), weeksToVisibleGrowth(20, 97)];
    const k1 =
      (mouldGrowth(1.0001, 20, 97, pine) * 7 * first) /
      (1 - Math.exp(2.3 * (1.0001 - greatestIndex(20, 97, pine))));
    expect(k1).toBeCloseTo(2 / (visible / first - 1), 9);
    expect(Math.abs(k1 - 2 / (visible / (first - 1)))).toBeGreaterThan(1);
  });

  it('the faster growth begins at index 1, not where the greatest index passes 1', () => {
    expect(greatestIndex(20, 97, vulnerable)).toBeGreaterThan(1);
    expect(mouldGrowth(1, 20, 97, vulnerable) / mouldGrowth(0.999, 20, 97, vulnerable)).toBeCloseTo(2, 2);
  });

  it('declines by 0.00133 an hour, not by 0.000133', () => {
    expect(mouldDecline(HOUR)).toBeCloseTo(0.00133, 5);
  });

  it('time to growth goes with ln T and ln RH apart', () => {
    const ratio = (u: number) => weeksToFirstGrowth(10, u) / weeksToFirstGrowth(20, u);
    expect(ratio(85)).toBeCloseTo(2 ** 0.68, 9);
    expect(ratio(97)).toBeCloseTo(ratio(85), 9);
  });

  it('humidity is not averaged over hours in which it swings', () => {
    // 90 and 80.1 % in turn grow 28 % more in 30 days than their mean does.
    const [swinging] = follow(cycles(HOUR, 90, 80.1, 30 * DAY), 30 * DAY, 1);
    const [mean] = follow(steady(20, 85.05, 30 * DAY), 30 * DAY, 1);
    expect(swinging!.index).toBeCloseTo(0.59, 2);
    expect(mean!.index).toBeCloseTo(0.463, 3);
  });

  it('nor where it swings along straight lines', () => {
    const damp = (time: number) => 80.1 + 9.9 * Math.abs(((time / HOUR) % 2) - 1);
    // The obvious slow way: a step a minute.
    let slow = 0;
    for (let time = 0; time < 30 * DAY; time += MINUTE) {
      slow += mouldGrowth(slow, 20, damp(time + MINUTE / 2), vulnerable) / 1440;
    }
    const [hourly] = follow(
      sampled(0, 30 * DAY, HOUR, (time) => [20, damp(time)]),
      30 * DAY,
      1,
    );
    const [mean] = follow(steady(20, 85.05, 30 * DAY), 30 * DAY, 1);
    expect(Math.abs(hourly!.index / slow - 1)).toBeLessThan(0.01);
    expect(mean!.index).toBeLessThan(0.95 * slow);
  });
});

describe('mould', () => {
  /** Wet and dry weather, days and nights, with frost in it. */
  const weather = (time: number) => {
    const day = time / DAY;
    return [
      8 + 7 * Math.sin(day / 9) + 4 * Math.sin(2 * Math.PI * day),
      Math.min(100, 86 + 9 * Math.sin(day / 4) - 6 * Math.sin(2 * Math.PI * day)),
    ] as const;
  };

  it.each(['very sensitive', 'sensitive'] as const)('does not depend on cadence (%s)', (name) => {
    const [one, ten, thirty] = [1, 10, 30].map((cadence) => {
      const course = sampled(0, 120 * DAY, cadence * MINUTE, weather);
      return follow(course, 120 * DAY, 1, { material: MOULD_MATERIALS[name], decline: 0.25 })[0]!.index;
    });
    expect(one).toBeGreaterThan(0.5);
    expect(Math.abs(ten! - one!)).toBeLessThan(0.02);
    expect(Math.abs(thirty! - one!)).toBeLessThan(0.02);
  });

  it('holds the index and the time since growth over a gap', () => {
    const gap = 10 * DAY;
    // 20 days of growth and 3 h of drought; the gap; 48 h of drought.
    const before = cycles(20 * DAY, 95, 50, 20 * DAY + hours(3));
    const dry: Row[] = [0, 1, 2].map((day) => [20 * DAY + hours(3) + day * DAY, 20, 50]);
    const rows = [...before.time.keys()].map(
      (i): Row => [before.time[i]!, before.temperature[i]!, before.humidity[i]!],
    );
    const whole = logOf([...rows, ...dry.slice(1)]);
    const torn = logOf([...rows, ...dry.map(([time, t, u]): Row => [time + gap, t, u])]);
    const choice = { bridge: DAY };
    const last = (course: SurfaceCourse, end: number) =>
      mould(course, [{ start: 0, end }], {
        material: vulnerable,
        decline: 1,
        bridge: choice.bridge,
        accuracy: exact,
      })[0]!;
    const end = 22 * DAY + hours(3);
    const held = last(torn, end + gap);
    expect(held.index).toBeCloseTo(last(whole, end).index, 9);
    expect(held).toMatchObject({ held: gap, unknown: gap });
    expect(last(whole, end)).toMatchObject({ held: 0, unknown: 0 });
    const inside = last(torn, 25 * DAY);
    expect(inside.index).toBeCloseTo(last(torn, 20 * DAY + hours(3)).index, 9);
  });

  it('counts readings from before the first period', () => {
    const [late] = mould(steady(20, 97, 20 * DAY), [{ start: 19 * DAY, end: 20 * DAY }], {
      material: vulnerable,
      decline: 1,
      bridge: HOUR,
      accuracy: exact,
    });
    expect(late!.index).toBeCloseTo(follow(steady(20, 97, 20 * DAY), 20 * DAY, 1)[0]!.index, 9);
    expect(late).toMatchObject({ known: DAY, unknown: 0, favourable: DAY });
  });

  it('keeps the greatest index of each period, though it falls', () => {
    const summaries = follow(cycles(20 * DAY, 97, 50, 60 * DAY), 10 * DAY, 6);
    expect(summaries.map(({ greatest }) => greatest)).toEqual([
      summaries[0]!.index,
      summaries[1]!.index,
      summaries[1]!.index,
      summaries[2]!.index,
      expect.closeTo(summaries[4]!.index, 9),
      summaries[5]!.index,
    ]);
    expect(summaries[3]!.index).toBeLessThan(summaries[2]!.index);
    expect(summaries.map(({ favourable }) => Math.round(favourable / DAY))).toEqual([10, 10, 0, 0, 10, 10]);
  });

  it.each([
    { why: 'at 0 °C', t: 0, u: 100 },
    { why: 'in frost', t: -5, u: 100 },
    { why: 'at 50 °C', t: 50, u: 100 },
    { why: 'below the critical humidity', t: 10, u: 82 },
  ])('does not grow $why', ({ t, u }) => {
    const [end] = follow(steady(t, u, 30 * DAY), 30 * DAY, 1);
    expect(end).toMatchObject({ index: 0, favourable: 0, known: 30 * DAY });
    expect(mouldGrowth(0, t, u, vulnerable)).toBe(0);
  });

  it('stays a number in fog a hair above 0 °C, where the critical humidity rounds to 100 %', () => {
    expect(criticalHumidity(1e-17)).toBe(100);
    expect(mouldGrowth(0, 1e-17, 100, vulnerable)).toBe(0);
    expect(follow(steady(1e-17, 100, DAY), DAY, 1)[0]!.index).toBe(0);
  });

  it('has nothing to say before the first reading, and without any', () => {
    const course = sampled(2 * DAY, 3 * DAY, HOUR, () => [20, 97]);
    const [none, , some] = follow(course, DAY, 3);
    expect(none).toMatchObject({
      index: NaN,
      lowest: NaN,
      highest: NaN,
      greatest: NaN,
      known: 0,
      unknown: DAY,
      held: 0,
    });
    expect(some).toMatchObject({ known: DAY, held: 0 });
    expect(follow(logOf([]), DAY, 1)[0]).toMatchObject({ index: NaN, unknown: DAY, held: 0 });
  });

  it('runs once more with the humidity lowered and once raised', () => {
    const run = (u: number, error = 0) =>
      follow(steady(20, u, 60 * DAY), 60 * DAY, 1, { humidity: error })[0]!;
    const { index, lowest, highest } = run(88, 3);
    expect(index).toBe(run(88).index);
    expect(lowest).toBeCloseTo(run(85).index, 9);
    expect(highest).toBeCloseTo(run(91).index, 9);
  });

  it('stays between 0 and 6, accounts for all time and keeps its interval in order', () => {
    const material = fc.constantFrom(
      ...Object.values(MOULD_MATERIALS),
      pine,
      wood1999('spruce', 'kiln-dried'),
    );
    fc.assert(
      fc.property(randomLog, randomPeriods, material, fc.nat(10), (log, periods, chosen, error) => {
        const accuracy = { temperature: 0, humidity: error };
        for (const summary of mould(log, periods, {
          material: chosen,
          decline: 0.25,
          bridge: HOUR,
          accuracy,
        })) {
          const { period, index, lowest, highest, greatest, known, unknown, favourable, held } = summary;
          expect(known + unknown).toBe(period.end - period.start);
          expect(favourable).toBeLessThanOrEqual(known);
          expect(held).toBeGreaterThanOrEqual(0);
          if (Number.isNaN(index)) continue;
          expect(lowest).toBeGreaterThanOrEqual(0);
          expect(lowest).toBeLessThanOrEqual(index);
          expect(index).toBeLessThanOrEqual(highest);
          expect(highest).toBeLessThan(6);
          expect(greatest).toBeGreaterThanOrEqual(index);
        }
      }),
    );
  });

  it('grows no less in steady air that is damper, and no less on a more sensitive material', () => {
    const percent = fc.integer({ min: 750, max: 999 }).map((tenths) => tenths / 10);
    const classes = ['resistant', 'medium resistant', 'sensitive', 'very sensitive'] as const;
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 45 }), percent, (t, u) => {
        const end = (humidity: number, name: MouldClass) =>
          follow(steady(t, humidity, 20 * DAY), 20 * DAY, 1, { material: MOULD_MATERIALS[name] })[0]!.index;
        for (const name of classes) expect(end(u + 0.1, name)).toBeGreaterThanOrEqual(end(u, name));
        const each = classes.map((name) => end(u, name));
        expect(each).toEqual([...each].sort((a, b) => a - b));
      }),
      { numRuns: 30 },
    );
  });

  it('declines no faster than the material allows, and never below 0', () => {
    const course = cycles(20 * DAY, 97, 50, 40 * DAY);
    const fall = (decline: number) => {
      const [before, after] = follow(course, 20 * DAY, 2, { decline });
      return before!.index - after!.index;
    };
    expect(fall(1)).toBeCloseTo(mouldDecline(20 * DAY), 3);
    expect(fall(0.1)).toBeCloseTo(0.1 * mouldDecline(20 * DAY), 4);
    const [, end] = follow(cycles(DAY, 95, 50, 10 * DAY), 5 * DAY, 2);
    expect(end!.index).toBeGreaterThanOrEqual(0);
  });
});

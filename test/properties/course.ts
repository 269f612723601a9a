/**
 * A place with a heavy steel thing in it, told by formulas: air temperature and dew point as smooth courses,
 * the humidity from both. The hours of condensation are found here by small steps, on their own.
 */
export interface Course {
  readonly temperature: (hours: number) => number;
  /** Above 0 °C, so that no ice comes into it. */
  readonly dewPoint: (hours: number) => number;
}

export interface Wave {
  readonly mean: number;
  readonly amplitude: number;
  /** Hours. */
  readonly period: number;
  readonly phase: number;
}

const wave = ({ mean, amplitude, period, phase }: Wave, hours: number) =>
  mean + amplitude * Math.sin((2 * Math.PI * (hours - phase)) / period);

/** @param spread the smallest distance of the dew point from the air [K] */
export function courseOf(air: Wave, swell: Wave, spread: number, drying: Wave): Course {
  const temperature = (hours: number) => wave(air, hours) + wave(swell, hours);
  return {
    temperature,
    dewPoint: (hours) =>
      temperature(hours) - spread - (drying.amplitude + wave({ ...drying, mean: 0 }, hours)),
  };
}

/** Saturation pressure over water without enhancement (Buck 1996), written out anew [hPa]. */
const saturation = (t: number) => 6.1121 * Math.exp((18.678 - t / 234.5) * (t / (257.14 + t)));

export const humidityOf = ({ temperature, dewPoint }: Course, hours: number) =>
  (100 * saturation(dewPoint(hours))) / saturation(temperature(hours));

export const START = Date.UTC(2025, 2, 3);

/** The course as a logger would write it. */
export function csvOf(course: Course, hours: number, cadenceMinutes: number): string {
  const lines = ['time,temperature_degC,humidity_pct'];
  for (let minute = 0; minute <= hours * 60; minute += cadenceMinutes) {
    const at = new Date(START + minute * 60_000).toISOString().slice(0, 19);
    const values = [course.temperature(minute / 60), humidityOf(course, minute / 60)];
    lines.push(`${at}Z,${values.map((value) => value.toFixed(7)).join(',')}`);
  }
  return `${lines.join('\n')}\n`;
}

/**
 * Hours in which a mass with this time constant is colder than the dew point plus each of the allowances, from
 * `from` to `until`: dTs/dt = (T − Ts) / τ by the classical Runge-Kutta method in steps of 1 s, started as warm
 * as the air.
 */
export function wetHours(
  { temperature, dewPoint }: Course,
  timeConstant: number,
  from: number,
  until: number,
  allowances: readonly number[],
): number[] {
  const step = 1 / 3600;
  const wet = allowances.map(() => 0);
  const flow = (air: number, mass: number) => (air - mass) / timeConstant;
  let air = temperature(0);
  let surface = air;
  for (let second = 0; second < until * 3600; second++) {
    const now = second * step;
    if (now >= from) {
      const margin = surface - dewPoint(now);
      allowances.forEach((allowance, i) => {
        if (margin <= allowance) wet[i]!++;
      });
    }
    const half = temperature(now + step / 2);
    const next = temperature(now + step);
    const a = flow(air, surface);
    const b = flow(half, surface + (step / 2) * a);
    const c = flow(half, surface + (step / 2) * b);
    const d = flow(next, surface + step * c);
    surface += (step / 6) * (a + 2 * b + 2 * c + d);
    air = next;
  }
  return wet.map((steps) => steps * step);
}

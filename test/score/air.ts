import { drifting, type Random } from './random.js';

/** What the air of one place was, a value per minute. */
export interface Air {
  readonly temperature: Float64Array; // °C
  readonly vapour: Float64Array; // hPa
}

export const SEASONS = ['spring', 'autumn', 'summer', 'winter'] as const;
export type Season = (typeof SEASONS)[number];

const DAY = 1440; // min
const HOUR = 60; // min

/** Mean temperature and dew point, and the largest daily swing to either side (invented: a temperate place). */
const CLIMATE: Readonly<Record<Season, { mean: number; dewPoint: number; swing: number }>> = {
  spring: { mean: 8, dewPoint: 3.5, swing: 6 },
  summer: { mean: 18, dewPoint: 12, swing: 7 },
  autumn: { mean: 10, dewPoint: 7.5, swing: 4.5 },
  winter: { mean: 3, dewPoint: 1, swing: 3 },
};

/** Saturation over water [hPa] (WMO-No. 8, Annex 4.B). */
export function saturation(temperature: number): number {
  return 6.112 * Math.exp((17.62 * temperature) / (243.12 + temperature));
}

export function emptyAir(minutes: number): Air {
  return { temperature: new Float64Array(minutes), vapour: new Float64Array(minutes) };
}

/** From 0 to 1 and back over 24 h: lowest before sunrise, highest in the afternoon. */
function dailyWave(minute: number): number {
  const hour = (minute / HOUR) % 24;
  const phase = hour < 5 ? hour + 24 : hour;
  return phase < 14.5
    ? 0.5 - 0.5 * Math.cos((Math.PI * (phase - 5)) / 9.5)
    : 0.5 + 0.5 * Math.cos((Math.PI * (phase - 14.5)) / 14.5);
}

/** Something that begins, holds and goes: how much of it is there at each minute. */
interface Episode {
  readonly from: number;
  readonly until: number;
  readonly size: number;
}

/** Outdoor air: a daily wave that clouds flatten, air masses behind fronts, showers, dew and fog. */
export function outdoors(random: Random, season: Season, minutes: number): Air {
  const { mean, dewPoint, swing } = CLIMATE[season];
  const air = emptyAir(minutes);
  const days = Math.ceil(minutes / DAY) + 1;
  const clear = Array.from({ length: days }, () => random.unit());
  const mass = drifting(random, 2, 2.5 * DAY);
  const moist = drifting(random, 0.9, 12 * HOUR);
  const unrest = drifting(random, 1, 20);
  const fronts = frontsOf(random, days);
  const showers = episodes(random, days, 0.6, () => [random.between(30, 120), random.between(1, 4)]);
  const rains = showers.map((shower) => ({ ...shower, size: 1 }));
  const fogs = fogsOf(random, days);
  let rain = 0; // what is left of it: the ground dries over hours
  let cooling = 0;
  for (let minute = 0; minute < minutes; minute++) {
    const day = Math.floor(minute / DAY);
    const share = (minute % DAY) / DAY;
    const sky = clear[day]! * (1 - share) + clear[day + 1]! * share;
    const wave = dailyWave(minute);
    const front = frontAt(fronts, minute);
    const fog = depth(fogs, minute, 40);
    const shower = depth(showers, minute, 20);
    cooling = Math.max(cooling * Math.exp(-1 / 70), shower);
    rain = Math.max(rain * Math.exp(-1 / 80), depth(rains, minute, 30));
    const base = mean + mass() + front.temperature;
    const amplitude = swing * (0.2 + 0.8 * sky) * (1 - 0.6 * fog);
    const gusts = (0.07 + 0.35 * sky * Math.max(0, wave - 0.3)) * (1 - 0.7 * fog);
    const temperature = base + amplitude * (2 * wave - 1) - cooling + gusts * unrest();
    const dew = Math.min(
      dewPoint + 0.7 * (base - mean - front.temperature) + front.dewPoint + moist(),
      base + 2,
    );
    const full = saturation(temperature);
    const dry = Math.min(saturation(dew), full);
    const rainy = Math.max(dry, 0.94 * full) * rain + dry * (1 - rain);
    air.temperature[minute] = temperature;
    air.vapour[minute] = rainy * (1 - fog) + full * fog;
  }
  return air;
}

/** A few a week; cold ones pass in minutes, warm ones in hours. What they bring fades over days. */
function frontsOf(random: Random, days: number) {
  const fronts: { at: number; takes: number; temperature: number; dewPoint: number }[] = [];
  for (let day = 0; day < days; day++) {
    if (!random.chance(0.3)) continue;
    const cold = random.chance(0.6);
    fronts.push({
      at: (day + random.unit()) * DAY,
      takes: cold ? random.between(10, 45) : random.between(180, 360),
      temperature: cold ? -random.between(3, 8) : random.between(2, 4),
      dewPoint: cold ? -random.between(2, 6) : random.between(2, 5),
    });
  }
  return fronts;
}

function frontAt(fronts: ReturnType<typeof frontsOf>, minute: number) {
  let temperature = 0;
  let dewPoint = 0;
  for (const front of fronts) {
    const past = minute - front.at;
    if (past < 0 || past > 8 * DAY) continue;
    const share = Math.min(1, past / front.takes) * Math.exp(-past / (2 * DAY));
    temperature += share * front.temperature;
    dewPoint += share * front.dewPoint;
  }
  return { temperature, dewPoint };
}

function episodes(
  random: Random,
  days: number,
  aDay: number,
  draw: () => readonly [length: number, size: number],
): Episode[] {
  const found: Episode[] = [];
  for (let day = 0; day < days; day++) {
    if (!random.chance(aDay)) continue;
    const from = (day + random.unit()) * DAY;
    const [length, size] = draw();
    found.push({ from, until: from + length, size });
  }
  return found;
}

/** One night in five, from late evening into the morning; now and then it stays all day. */
function fogsOf(random: Random, days: number): Episode[] {
  const fogs: Episode[] = [];
  for (let day = 0; day < days; day++) {
    if (!random.chance(0.2)) continue;
    const from = day * DAY + random.between(21, 29) * HOUR;
    const length = random.chance(0.15) ? random.between(14, 20) : random.between(3, 9);
    fogs.push({ from, until: from + length * HOUR, size: 1 });
  }
  return fogs;
}

/** How much of these episodes there is at a minute; they come and go over `edge` minutes. */
function depth(all: readonly Episode[], minute: number, edge: number): number {
  let most = 0;
  for (const { from, until, size } of all) {
    if (minute <= from || minute >= until) continue;
    most = Math.max(most, size * Math.min(1, (minute - from) / edge, (until - minute) / edge));
  }
  return most;
}

/** Air beside the first, a few steps further on: the same weather with small differences of its own. */
export function nearby(random: Random, air: Air, lag: number, sunny: number): Air {
  const minutes = air.temperature.length;
  const own = emptyAir(minutes);
  const warmer = drifting(random, 0.25, 3 * HOUR);
  const moister = drifting(random, 0.08, 5 * HOUR);
  const keeps = lag === 0 ? 0 : Math.exp(-1 / lag);
  let temperature = air.temperature[0]!;
  let vapour = air.vapour[0]!;
  for (let minute = 0; minute < minutes; minute++) {
    const hour = (minute / HOUR) % 24;
    // the sun reaches the housing for two hours in the morning
    const sun = hour > 9 && hour < 11 ? sunny * Math.sin((Math.PI * (hour - 9)) / 2) : 0;
    temperature = keeps * temperature + (1 - keeps) * air.temperature[minute]!;
    vapour = keeps * vapour + (1 - keeps) * air.vapour[minute]!;
    own.temperature[minute] = temperature + warmer() + sun;
    own.vapour[minute] = Math.min(vapour + moister(), saturation(own.temperature[minute]!));
  }
  return own;
}

/** A roof space without heating: follows the weather over hours, warmed by the roof by day. */
export function loft(random: Random, out: Air): Air {
  const minutes = out.temperature.length;
  const own = emptyAir(minutes);
  const keeps = Math.exp(-1 / (3 * HOUR));
  const still = drifting(random, 0.06, 30);
  let temperature = out.temperature[0]!;
  let vapour = out.vapour[0]!;
  for (let minute = 0; minute < minutes; minute++) {
    const roof = 4 * Math.max(0, dailyWave(minute) - 0.4);
    temperature = keeps * temperature + (1 - keeps) * (out.temperature[minute]! + roof);
    vapour = keeps * vapour + (1 - keeps) * out.vapour[minute]!;
    own.temperature[minute] = temperature + still();
    own.vapour[minute] = Math.min(vapour, 0.98 * saturation(own.temperature[minute]!));
  }
  return own;
}

/**
 * A quiet cellar, by the parameters of the project's own simulation of flat lines: 0.3 K and 1 % from day to
 * night, noise of 0.05 K and 0.4 % with a memory of an hour. The level wanders over days.
 */
export function cellar(random: Random, minutes: number): Air {
  const own = emptyAir(minutes);
  const warmer = drifting(random, 0.05, HOUR);
  const moister = drifting(random, 0.4, HOUR);
  const level = drifting(random, 0.5, 5 * DAY);
  const dampness = drifting(random, 2.5, 5 * DAY);
  for (let minute = 0; minute < minutes; minute++) {
    const wave = 2 * dailyWave(minute) - 1;
    const temperature = 11.5 + level() + 0.3 * wave + warmer();
    own.temperature[minute] = temperature;
    own.vapour[minute] = ((76 + dampness() - wave + moister()) / 100) * saturation(temperature);
  }
  return own;
}

/** A heated bathroom: a thermostat with a night setback, showers, and windows thrown open after them. */
export function bathroom(random: Random, out: Air): Air {
  const minutes = out.temperature.length;
  const own = emptyAir(minutes);
  const days = Math.ceil(minutes / DAY);
  const showers: Episode[] = [];
  const windows: Episode[] = [];
  for (let day = 0; day < days; day++) {
    for (const hour of [6.8, 7.6, 21.5]) {
      if (!random.chance(0.6)) continue;
      const from = day * DAY + hour * HOUR + 25 * random.normal();
      const until = from + random.between(7, 15);
      showers.push({ from, until, size: random.between(0.5, 0.9) });
      if (random.chance(0.5))
        windows.push({ from: until + 2, until: until + random.between(6, 15), size: 1 });
    }
  }
  const gain = drifting(random, 0.5, 6 * HOUR);
  const still = drifting(random, 0.08, 30);
  const cycle = random.between(35, 60);
  let temperature = 20;
  let vapour = 11;
  for (let minute = 0; minute < minutes; minute++) {
    const hour = (minute / HOUR) % 24;
    const wanted = hour > 5.5 && hour < 22.5 ? 21 : 18.5;
    const open = depth(windows, minute, 1);
    const shower = depth(showers, minute, 1);
    temperature +=
      (wanted - temperature) / 90 + shower * 0.12 + (open * (out.temperature[minute]! - temperature)) / 30;
    vapour +=
      (out.vapour[minute]! + 3 + gain() - vapour) / 45 +
      shower +
      (open * (out.vapour[minute]! - vapour)) / 10;
    own.temperature[minute] = temperature + 0.25 * Math.sin((2 * Math.PI * minute) / cycle) + still();
    vapour = Math.min(vapour, saturation(own.temperature[minute]!));
    own.vapour[minute] = vapour;
  }
  return own;
}

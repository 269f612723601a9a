import { saturation } from '../score/air.js';
import { drifting, type Random, randomFrom } from '../score/random.js';
import type { Line } from './auditing.js';
import { round } from './ordinary.js';

const DAY = 1440; // min
const HOUR = 60; // min

/** Between two lines [min]. */
const CADENCE = 30;
const DAYS = 60;
/** Greatest humidity that the sensor says. */
const RAIL = 99.9;

/**
 * Two months on the shore of a cold lake in winter: for days the air holds 97 to 100 %, through rain, fog and warm
 * fronts that bring their own moisture, and dries for some hours of a brighter day. Dry spells lie between. All of it
 * invented.
 *
 * @param off by how much the sensor is off [%]
 */
export function dampWinter(seed: number, off = 2.5): Line[] {
  const random = randomFrom(seed * 77);
  const bright = Array.from({ length: DAYS }, () => random.unit() ** 2);
  const mass = drifting(random, 2.5, (2 * DAY) / CADENCE);
  const lack = drifting(random, 0.008, (8 * HOUR) / CADENCE);
  const fronts = Array.from({ length: DAYS / 5 }, () => ({
    at: random.unit() * DAYS * DAY,
    takes: random.between(6, 14) * HOUR,
    size: random.between(2, 5),
  }));
  const spells = wetSpells(random, DAYS);
  return Array.from({ length: (DAYS * DAY) / CADENCE }, (_, i) => {
    const minute = i * CADENCE;
    const share = (minute % DAY) / DAY;
    const isDay = share > 0.33 && share < 0.69;
    const sun = isDay ? Math.sin((Math.PI * (share - 0.33)) / 0.36) : 0;
    const wet = wetness(spells, minute);
    const base = 3 + mass() + frontAt(fronts, minute);
    const warmed = (0.8 + 4 * bright[Math.floor(minute / DAY)]!) * (1 - 0.6 * wet) * sun;
    const temperature =
      base + warmed - (1 - wet) * 1.5 * Math.cos(2 * Math.PI * share) + 0.1 * random.normal();
    // wet ground gives back a part of the water that warming asks for: 7 % a kelvin
    const damp = 1 - Math.abs(lack()) - 0.75 * warmed * 0.07;
    const dry = Math.min(1, saturation(base - 2.5) / saturation(temperature));
    const humidity = 100 * (wet * damp + (1 - wet) * dry) + off + 0.15 * random.normal();
    return { minute, temperature: round(temperature), humidity: Math.min(RAIL, round(humidity)) };
  });
}

/** What warm fronts bring: each comes within hours, and fades over days [K]. */
function frontAt(fronts: readonly { at: number; takes: number; size: number }[], minute: number): number {
  let sum = 0;
  for (const { at, takes, size } of fronts) {
    const past = minute - at;
    if (past > 0) sum += size * Math.min(1, past / takes) * Math.exp(-past / (1.5 * DAY));
  }
  return sum;
}

/** Spells of two days to a week, with two days to a week between them. */
function wetSpells(random: Random, days: number): readonly [from: number, until: number][] {
  const spells: [number, number][] = [];
  for (let from = random.between(0, 4) * DAY; from < days * DAY; ) {
    const until = from + random.between(2, 7) * DAY;
    spells.push([from, until]);
    from = until + random.between(2, 7) * DAY;
  }
  return spells;
}

/** How wet it is, 0 to 1; a spell comes and goes in six hours. */
function wetness(spells: readonly (readonly [number, number])[], minute: number): number {
  let most = 0;
  for (const [from, until] of spells)
    most = Math.max(most, Math.min(1, (minute - from) / (6 * HOUR), (until - minute) / (6 * HOUR)));
  return most;
}

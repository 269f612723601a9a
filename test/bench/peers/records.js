// The job with csv-parse and an object for every reading: node records.js LOG TABLE [CLEANED]
import { createReadStream, createWriteStream, writeFileSync } from 'node:fs';
import { parse } from 'csv-parse';

const [log, table, cleaned] = process.argv.slice(2);
const MINUTE = 60_000;
const JOINED = 2 * MINUTE;
const P = 1013.25;
const LAG = 3 * 60 * MINUTE;

const counts = {
  missing: 0,
  standIn: 0,
  range: 0,
  late: 0,
  duplicate: 0,
  conflict: 0,
  step: 0,
  gap: 0,
  flat: 0,
};
const read = [];
let newest = Number.NEGATIVE_INFINITY;
for await (const row of createReadStream(log).pipe(parse({ columns: true }))) {
  const time = Date.parse(row.time);
  if (time < newest) counts.late++;
  else newest = time;
  read.push({ time, t: judged(row.temperature, -40, 60), u: judged(row.humidity, 1, 104) });
}

function judged(text, least, most) {
  const value = text === '' ? NaN : Number(text);
  if (Number.isNaN(value)) counts.missing++;
  else if (value === -999) counts.standIn++;
  else if (value < least || value > most) counts.range++;
  else return value;
  return NaN;
}

read.sort((a, b) => a.time - b.time);
const readings = [];
for (const reading of read) {
  const last = readings.at(-1);
  if (last?.time === reading.time) {
    if (Object.is(last.t, reading.t) && Object.is(last.u, reading.u)) counts.duplicate++;
    else counts.conflict++;
  } else readings.push(reading);
}
for (let i = 1; i < readings.length; i++) {
  if (readings[i].time - readings[i - 1].time > 1.5 * MINUTE) counts.gap++;
}
for (const [key, most] of [
  ['t', 3],
  ['u', 15],
]) {
  let last = null;
  let since = 0;
  for (const reading of readings) {
    if (Number.isNaN(reading[key])) continue;
    if (last !== null && reading.time - last.time <= JOINED && Math.abs(reading[key] - last[key]) > most)
      counts.step++;
    if (last === null || reading[key] !== last[key]) since = reading.time;
    else if (reading.time - since >= 6 * 60 * MINUTE) counts.flat++;
    last = reading;
  }
}

const saturation = (t) => 6.1121 * Math.exp(((18.678 - t / 234.5) * t) / (257.14 + t));
const slope = (t) => (18.678 * 257.14 - (2 * 257.14 * t + t * t) / 234.5) / (257.14 + t) ** 2;
const FACTOR = 1.0016 + 3.15e-6 * P - 0.074 / P;
const ratio = (e) => (0.621945 * e) / (P - e);

function dewPoint(e) {
  const s = Math.log(e / 6.1121);
  const half = 18.678 - s;
  return (2 * 257.14 * s) / (half + Math.sqrt(half * half - (4 * 257.14 * s) / 234.5));
}

function wetBulb(t, dew, r) {
  let w = t - (t - dew) / 3;
  for (let step = 0; step < 3; step++) {
    const e = FACTOR * saturation(w);
    const heat = (2501 - 2.326 * w) * ratio(e);
    const excess = heat - 1.006 * (t - w) - r * (2501 + 1.86 * t - 4.186 * w);
    const growth = (heat * slope(w) * P) / (P - e) - 2.326 * ratio(e) + 1.006 + 4.186 * r;
    w -= excess / growth;
  }
  return w;
}

const DERIVED = ['dew', 'wetBulb', 'vapour', 'deficit', 'absolute', 'mixing'];
let before = null;
for (const reading of readings) {
  const { t, u, time } = reading;
  if (Number.isNaN(t)) continue;
  if (before === null || time - before.time > 2 * 60 * MINUTE) reading.surface = t;
  else {
    const behind = ((t - before.t) / (time - before.time)) * LAG;
    const left = Math.exp((before.time - time) / LAG);
    reading.surface = t - behind + (before.surface - before.t + behind) * left;
  }
  before = reading;
  if (Number.isNaN(u)) continue;
  const full = saturation(t);
  const e = (Math.min(u, 100) / 100) * full;
  reading.vapour = e;
  reading.deficit = full - e;
  reading.dew = dewPoint(e);
  reading.absolute = (216.679 * FACTOR * e) / (t + 273.15);
  reading.mixing = 1000 * ratio(FACTOR * e);
  reading.wetBulb = wetBulb(t, reading.dew, ratio(FACTOR * e));
}

const clock = new Intl.DateTimeFormat('en-CA', { timeZone: 'Europe/Berlin', dateStyle: 'short' });
const nameOfHour = new Map();
function dayOf(time) {
  const hour = Math.floor(time / 3_600_000);
  if (!nameOfHour.has(hour)) nameOfHour.set(hour, clock.format(time));
  return nameOfHour.get(hour);
}

const days = new Map();
for (const reading of readings) {
  reading.day = dayOf(reading.time);
  if (!days.has(reading.day)) days.set(reading.day, { n: 0, t: {}, u: {}, sums: {}, spans: {}, wet: 0 });
  const day = days.get(reading.day);
  if (!Number.isNaN(reading.t) || !Number.isNaN(reading.u)) day.n++;
  for (const key of ['t', 'u']) {
    const value = reading[key];
    if (Number.isNaN(value)) continue;
    const range = day[key];
    if (!(value >= range.min)) Object.assign(range, { min: value, minAt: reading.time });
    if (!(value <= range.max)) Object.assign(range, { max: value, maxAt: reading.time });
  }
}
for (const key of ['t', 'u', ...DERIVED]) {
  let last = null;
  for (const reading of readings) {
    if (reading[key] === undefined || Number.isNaN(reading[key])) continue;
    const span = last === null ? Number.POSITIVE_INFINITY : reading.time - last.time;
    if (span <= JOINED) {
      const day = days.get(last.day);
      day.sums[key] = (day.sums[key] ?? 0) + ((last[key] + reading[key]) / 2) * span;
      day.spans[key] = (day.spans[key] ?? 0) + span;
      if (key === 'dew' && last.time - readings[0].time >= 3 * LAG) {
        const from = last.surface - last.dew;
        const to = reading.surface - reading.dew;
        if (from <= 0 && to <= 0) day.wet += span;
        else if (from <= 0 || to <= 0) day.wet += (span * -Math.min(from, to)) / Math.abs(to - from);
      }
    }
    last = reading;
  }
}

const lines = [
  'day,readings,t_min,t_min_at,t_max,t_max_at,t_mean,u_min,u_max,u_mean,dew,wet_bulb,vapour,deficit,absolute,mixing,wet_hours',
];
for (const [name, { n, t, u, sums, spans, wet }] of days) {
  const mean = (key) => sums[key] / spans[key];
  const extremes = [t.min, t.minAt / MINUTE, t.max, t.maxAt / MINUTE, mean('t'), u.min, u.max, mean('u')];
  lines.push([name, n, ...extremes, ...DERIVED.map(mean), wet / 3_600_000].join());
}
writeFileSync(table, `${lines.join('\n')}\n`);

if (cleaned !== undefined) {
  const out = createWriteStream(cleaned);
  out.write(`time,temperature,humidity,${DERIVED.join()}\n`);
  const places = (value) => (value === undefined ? '' : value.toFixed(2));
  const plain = (value) => (Number.isNaN(value) ? '' : value);
  for (const reading of readings) {
    const values = DERIVED.map((key) => places(reading[key]));
    const line = `${new Date(reading.time).toISOString()},${plain(reading.t)},${plain(reading.u)},${values.join()}\n`;
    if (!out.write(line)) await new Promise((done) => out.once('drain', done));
  }
  await new Promise((done) => out.end(done));
}
console.log(JSON.stringify(counts));

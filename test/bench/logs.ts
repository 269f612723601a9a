import { closeSync, openSync, readFileSync, writeFileSync, writeSync } from 'node:fs';
import { gzipSync } from 'node:zlib';
import { drifting, type Random, randomFrom } from '../score/random.js';

// Invented logs, a reading a minute, the same on every machine. The place knows no frost: its air stays above
// 1 °C, so that the peers need no ice.

const MINUTE = 60_000;
const START = Date.UTC(2005, 0, 1);
const DAY_MINUTES = 1440;
const YEAR_MINUTES = 365.2422 * DAY_MINUTES;

/** Share of the lines that have a fault. */
const FAULTY = 0.005;

/** Faults and how often each is met, as shares of all. */
const FAULTS = [
  ['empty', 0.25],
  ['word', 0.1],
  ['stand-in', 0.15],
  ['duplicate', 0.15],
  ['conflict', 0.1],
  ['late', 0.1],
  ['impossible', 0.1],
  ['lost', 0.04],
  ['step', 0.005],
  ['stuck', 0.005],
] as const;
type Fault = (typeof FAULTS)[number][0];

/** What the air of a place was, minute by minute, to a tenth. */
function weather(random: Random): (minute: number) => readonly [temperature: number, humidity: number] {
  const front = drifting(random, 1.2, 600);
  const damp = drifting(random, 8, 900);
  return (minute) => {
    const year = Math.cos(2 * Math.PI * (minute / YEAR_MINUTES - 0.55));
    const day = Math.cos(2 * Math.PI * (minute / DAY_MINUTES - 0.6));
    const temperature = Math.max(1, 15 + 6 * year + (2.5 + year) * day + front());
    const humidity = Math.min(99, Math.max(20, 80 - 10 * day + damp()));
    return [Math.round(temperature * 10) / 10, Math.round(humidity * 10) / 10];
  };
}

function faultFor(random: Random): Fault {
  let draw = random.unit();
  for (const [fault, share] of FAULTS) {
    draw -= share;
    if (draw < 0) return fault;
  }
  return 'empty';
}

const HEADER = 'time,temperature,humidity';

function stamp(minute: number): string {
  return new Date(START + minute * MINUTE).toISOString().replace('.000Z', 'Z');
}

/** The lines of a log of `readings` minutes, without the heading. */
function* lines(readings: number, seed: number): Generator<string> {
  const random = randomFrom(seed);
  const air = weather(random);
  const late: { readonly due: number; readonly line: string }[] = [];
  let lostUntil = 0;
  let stepUntil = 0;
  let stuckUntil = 0;
  let stuckAt = 0;
  for (let minute = 0; minute < readings; minute++) {
    const [measured, humidity] = air(minute);
    const temperature = minute < stuckUntil ? stuckAt : minute < stepUntil ? measured + 7 : measured;
    while (late.length > 0 && late[0]!.due <= minute) yield late.shift()!.line;
    if (minute < lostUntil) continue;
    const time = stamp(minute);
    const line = `${time},${temperature.toFixed(1)},${humidity.toFixed(1)}`;
    const quiet = minute < stuckUntil || minute < stepUntil || minute < 60 || minute > readings - 60;
    if (quiet || !random.chance(FAULTY)) {
      yield line;
      continue;
    }
    switch (faultFor(random)) {
      case 'empty':
        yield random.chance(0.5) ? `${time},,${humidity.toFixed(1)}` : `${time},${temperature.toFixed(1)},`;
        break;
      case 'word':
        yield `${time},nan,nan`;
        break;
      case 'stand-in':
        yield `${time},-999,-999`;
        break;
      case 'duplicate':
        yield line;
        yield line;
        break;
      case 'conflict':
        yield line;
        yield `${time},${(temperature + 3).toFixed(1)},${humidity.toFixed(1)}`;
        break;
      case 'late':
        late.push({ due: minute + random.whole(2, 30), line });
        late.sort((a, b) => a.due - b.due);
        break;
      case 'impossible':
        yield random.chance(0.5)
          ? `${time},150.0,${humidity.toFixed(1)}`
          : `${time},${temperature.toFixed(1)},140.0`;
        break;
      case 'lost':
        lostUntil = minute + random.whole(2, 90);
        break;
      case 'step':
        stepUntil = minute + random.whole(10, 30);
        yield `${time},${(temperature + 7).toFixed(1)},${humidity.toFixed(1)}`;
        break;
      case 'stuck':
        stuckUntil = minute + random.whole(420, 600);
        stuckAt = temperature;
        yield line;
        break;
    }
  }
  for (const { line } of late) yield line;
}

/** Writes lines as they are made, a megabyte at a time. */
function write(path: string, all: Iterable<string>): void {
  const file = openSync(path, 'w');
  let held = '';
  for (const line of all) {
    held += `${line}\n`;
    if (held.length < 1 << 20) continue;
    writeSync(file, held, null, 'latin1');
    held = '';
  }
  writeSync(file, held, null, 'latin1');
  closeSync(file);
}

/** A log of one sensor. */
export function writeLog(path: string, readings: number, seed = 1): void {
  write(path, withHeading(HEADER, lines(readings, seed)));
}

function* withHeading(heading: string, body: Iterable<string>): Generator<string> {
  yield heading;
  yield* body;
}

/** The log of a file once more, as other exporters would have written it. */
export const VARIANTS: Readonly<Record<string, (from: string, to: string) => void>> = {
  quoted: (from, to) =>
    write(
      to,
      linesOf(from).map((line) => `"${line.replaceAll(',', '","')}"`),
    ),
  gz: (from, to) => writeFileSync(to, gzipSync(readFileSync(from), { level: 6 })),
  reversed: (from, to) => {
    const [heading, ...body] = linesOf(from);
    write(to, withHeading(heading!, body.reverse()));
  },
};

function linesOf(path: string): string[] {
  return readFileSync(path, 'latin1').trimEnd().split('\n');
}

/** A table with two columns for each of `sensors`, `readings` in all; nothing is wrong with it. */
export function writeWide(path: string, readings: number, sensors: number): void {
  const names = Array.from({ length: sensors }, (_, i) => `box${i + 1}`);
  const heading = ['time', ...names.flatMap((name) => [`${name}_temperature`, `${name}_humidity`])].join(',');
  write(path, withHeading(heading, wideLines(readings / sensors, names)));
}

function* wideLines(minutes: number, names: readonly string[]): Generator<string> {
  const airs = names.map((_, i) => weather(randomFrom(100 + i)));
  for (let minute = 0; minute < minutes; minute++) {
    yield [stamp(minute), ...airs.flatMap((air) => air(minute).map((value) => value.toFixed(1)))].join(',');
  }
}

/** A table with a line for each reading of each of `sensors`, `readings` in all; nothing is wrong with it. */
export function writeLong(path: string, readings: number, sensors: number): void {
  const names = Array.from({ length: sensors }, (_, i) => `box${i + 1}`);
  write(path, withHeading('time,logger,temperature,humidity', longLines(readings / sensors, names)));
}

function* longLines(minutes: number, names: readonly string[]): Generator<string> {
  const airs = names.map((_, i) => weather(randomFrom(100 + i)));
  for (let minute = 0; minute < minutes; minute++) {
    for (const [i, air] of airs.entries()) {
      const [temperature, humidity] = air(minute);
      yield `${stamp(minute)},${names[i]},${temperature.toFixed(1)},${humidity.toFixed(1)}`;
    }
  }
}

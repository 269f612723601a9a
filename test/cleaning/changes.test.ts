import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Audited, audit } from '../../src/audit/audit.js';
import type { AuditSettings } from '../../src/audit/check.js';
import { UTC } from '../../src/calendar/zone.js';
import { type Change, changesOf } from '../../src/cleaning/changes.js';
import { type BadPolicy, type Cleaned, clean } from '../../src/cleaning/clean.js';
import { lineAt } from '../../src/log/lines.js';
import type { Log } from '../../src/log/log.js';
import { rowsOf } from '../../src/log/pieces.js';
import { MINUTE } from '../../src/units.js';
import { at, type Line, readingOf, SETTINGS, steadily } from '../audit/auditing.js';
import { randomLines } from './randomLines.js';

const ACCURACY = { temperature: 0.5, humidity: 3 };

function worked(reading: Audited, settings: Partial<AuditSettings> = {}, bad: BadPolicy = 'blank') {
  const audited = audit(reading, { ...SETTINGS, ...settings });
  const cleaned = clean(audited, ACCURACY, bad);
  return { cleaned, changes: changesOf(audited, cleaned, UTC) };
}

const changesIn = (lines: readonly Line[], settings: Partial<AuditSettings> = {}, bad?: BadPolicy) =>
  worked(readingOf([lines]), settings, bad).changes.map(({ line, field, before, after, reason }) =>
    [line, field, before, after, reason].join(' | '),
  );

describe('what cleaning changed', () => {
  it.each([
    { why: 'nothing in a good log', lines: steadily(10, {}, 9), changes: [] },
    {
      why: 'a value that stands for "missing"',
      lines: steadily(10, { temperature: [15, -999, 15] }),
      changes: ['3 | air_temperature | -999 |  | sentinel'],
    },
    {
      why: 'a bad value',
      lines: steadily(10, { humidity: [60, 130, 60] }),
      changes: ['3 | relative_humidity | 130 |  | gross_range'],
    },
    {
      why: 'a questionable value stays',
      lines: steadily(10, { humidity: [60, 102, 60] }),
      changes: [],
    },
    {
      why: 'a missing value was missing before',
      lines: steadily(10, { humidity: [60, NaN, 60] }),
      changes: [],
    },
    {
      why: 'a value that came with a bad flag',
      lines: steadily(10, {}, 3).map((line) => ({
        ...line,
        flags: [line.minute === 10 ? 4 : 1, 1] as const,
      })),
      changes: ['3 | air_temperature | 15 |  | flag in the input'],
    },
    {
      why: 'a reading that came twice',
      lines: [...steadily(10, { temperature: [15, 16] }), { minute: 10, temperature: 16, humidity: 60 }],
      changes: ['4 | reading | 2025-10-01T00:10:00Z 16 60 |  | duplicate, line 3 kept'],
    },
    {
      why: 'the worse of two readings, without a humidity',
      lines: [...steadily(10, { temperature: [15, 16] }), { minute: 10, temperature: 15, humidity: NaN }],
      changes: ['4 | reading | 2025-10-01T00:10:00Z 15 - |  | conflict, line 3 kept'],
    },
    {
      why: 'a line that came late',
      lines: [0, 10, 30, 20, 40].map((minute) => ({ minute, temperature: 15, humidity: 60 })),
      changes: ['5 | position | 4 | 3 | disorder'],
    },
    {
      why: 'a line that came late and is a duplicate',
      lines: [0, 10, 20, 30, 10, 40].map((minute) => ({ minute, temperature: 15, humidity: 60 })),
      changes: [
        '6 | reading | 2025-10-01T00:10:00Z 15 60 |  | duplicate, line 3 kept',
        '6 | position | 5 | 3 | disorder',
      ],
    },
  ])('$why', ({ lines, changes }) => {
    expect(changesIn(lines)).toEqual(changes);
  });

  it('bad values that are kept are no change', () => {
    const lines = steadily(10, { humidity: [60, 130, -999, 60] });
    expect(changesIn(lines, {}, 'keep')).toEqual(['4 | relative_humidity | -999 |  | sentinel']);
  });

  it('a cell that held no number is told with its text', () => {
    const reading = readingOf([steadily(10, { humidity: [60, NaN, 60] })]);
    const unreadable = [
      { source: 'part-1.csv', line: 3, quantity: 'relative_humidity', text: 'ERR' } as const,
    ];
    expect(worked({ ...reading, unreadable }).changes).toEqual([
      {
        source: 'part-1.csv',
        line: 3,
        field: 'relative_humidity',
        before: 'ERR',
        after: '',
        reason: 'unreadable',
      },
    ]);
  });

  it('stands in order of source and line', () => {
    const first = steadily(10, { temperature: [15, -999, 70, 15] });
    const second = [40, 60, 50, 70].map((minute) => ({ minute, temperature: -999, humidity: 60 }));
    const { changes } = worked(readingOf([second, first]));
    expect(changes.map(({ source, line, field }) => [source, line, field].join(' '))).toEqual([
      'part-1.csv 2 air_temperature',
      'part-1.csv 3 air_temperature',
      'part-1.csv 4 air_temperature',
      'part-1.csv 4 position',
      'part-1.csv 5 air_temperature',
      'part-2.csv 3 air_temperature',
      'part-2.csv 4 air_temperature',
    ]);
  });
});

type Original = readonly [instant: number, temperature: number, humidity: number];

/**
 * The readings of one source as they came in, from what was kept of it and its changes alone.
 *
 * @param read where they stood, nothing else
 */
function rebuilt(
  read: Pick<Log, 'lines' | 'source' | 'sources'>,
  { log, kept }: Cleaned,
  all: readonly Change[],
  source: string,
  newestFirst: boolean,
): Original[] {
  const stood = rowsOf(kept);
  const changes = all.filter((change) => change.source === source);
  const of = (field: Change['field']) => changes.filter((change) => change.field === field);
  const number = (text: string) => (text === '-' ? NaN : Number(text));
  const blanked = (field: 'air_temperature' | 'relative_humidity', line: number) =>
    of(field).find((change) => change.line === line);

  const readings: { line: number; reading: Original }[] = [];
  for (let row = 0; row < log.length; row++) {
    if (read.sources[read.source[stood[row]!]!] !== source) continue;
    const line = lineAt(read.lines, stood[row]!);
    const temperature = blanked('air_temperature', line)?.before ?? log.temperature[row]!;
    const humidity = blanked('relative_humidity', line)?.before ?? log.humidity[row]!;
    readings.push({ line, reading: [log.time[row]!, Number(temperature), Number(humidity)] });
  }
  for (const { line, before } of of('reading')) {
    const [instant, temperature, humidity] = before.split(' ') as [string, string, string];
    readings.push({ line, reading: [Date.parse(instant), number(temperature), number(humidity)] });
  }
  // in order of time, those of one instant as they came in
  const direction = newestFirst ? -1 : 1;
  readings.sort((a, b) => a.reading[0] - b.reading[0] || direction * (a.line - b.line));

  const input = new Array<Original | undefined>(readings.length).fill(undefined);
  const moved = new Set<number>();
  for (const { line, before, after } of of('position')) {
    expect(readings[Number(after) - 1]!.line).toBe(line);
    input[Number(before) - 1] = readings[Number(after) - 1]!.reading;
    moved.add(Number(after) - 1);
  }
  const stayed = readings.filter((_, place) => !moved.has(place)).values();
  const filled = input.map((reading) => reading ?? stayed.next().value!.reading);
  return newestFirst ? filled.reverse() : filled;
}

/** Values as text has them: -0 is written 0. */
const asCameIn = (lines: readonly Line[]): Original[] =>
  lines.map(({ minute, temperature, humidity }) => [at(minute), temperature + 0, humidity + 0]);

describe('the cleaned log and its changes', () => {
  const settings = fc.constantFrom<Partial<AuditSettings>>(
    {},
    { cadence: 10 * MINUTE },
    { sensorRange: { airTemperature: [0, 50], relativeHumidity: [5, 99] } },
  );
  const policy = fc.constantFrom<BadPolicy>('blank', 'keep');
  const normal = (originals: readonly Original[]) => originals.map((each) => each.map((value) => value + 0));

  it('give back the readings of a file in their order', () => {
    fc.assert(
      fc.property(randomLines, settings, policy, fc.boolean(), (lines, given, bad, newestFirst) => {
        const reading = readingOf([lines], newestFirst);
        const { cleaned, changes } = worked(reading, given, bad);
        expect(normal(rebuilt(reading.log, cleaned, changes, 'part-1.csv', newestFirst))).toEqual(
          asCameIn(lines),
        );
      }),
      { numRuns: 200 },
    );
  });

  it('give back the readings of each of two files', () => {
    fc.assert(
      fc.property(randomLines, randomLines, settings, policy, (first, second, given, bad) => {
        const reading = readingOf([first, second]);
        const { cleaned, changes } = worked(reading, given, bad);
        expect(normal(rebuilt(reading.log, cleaned, changes, 'part-1.csv', false))).toEqual(asCameIn(first));
        expect(normal(rebuilt(reading.log, cleaned, changes, 'part-2.csv', false))).toEqual(asCameIn(second));
      }),
      { numRuns: 200 },
    );
  });
});

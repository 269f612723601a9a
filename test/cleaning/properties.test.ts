import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type Audited, audit } from '../../src/audit/audit.js';
import type { AuditSettings } from '../../src/audit/check.js';
import { type BadPolicy, type Cleaned, clean } from '../../src/cleaning/clean.js';
import { Flag } from '../../src/log/flag.js';
import { valuesOf } from '../../src/log/log.js';
import { rowsOf } from '../../src/log/pieces.js';
import { readAgain, readingOf, SETTINGS } from '../audit/auditing.js';
import { randomLines } from './randomLines.js';

const ACCURACY = { temperature: 0.5, humidity: 3 };
const QUANTITIES = ['air_temperature', 'relative_humidity'] as const;
const policy = fc.constantFrom<BadPolicy>('blank', 'keep');
const settings: fc.Arbitrary<AuditSettings> = fc
  .constantFrom<Partial<AuditSettings>>(
    {},
    { cadence: 10 * 60_000 },
    { sensorRange: { airTemperature: [0, 50], relativeHumidity: [5, 99] } },
    { sensorRange: { airTemperature: [-0.25, 15], relativeHumidity: null } },
  )
  .map((some) => ({ ...SETTINGS, ...some }));

const cleanedOf = (reading: Audited, given: AuditSettings, bad: BadPolicy) =>
  clean(audit(reading, given), ACCURACY, bad);

/** What stands in a cleaned file: instants, values and flags. `-0` is written as 0. */
const written = ({ log, flags }: Cleaned) =>
  Array.from({ length: log.length }, (_, row) => [
    log.time[row],
    log.temperature[row]! + 0,
    log.humidity[row]! + 0,
    flags.temperature[row],
    flags.humidity[row],
  ]);

describe('a cleaned log', () => {
  it('has one reading for each instant of the input, in order of time', () => {
    fc.assert(
      fc.property(randomLines, settings, policy, (lines, given, bad) => {
        const { log } = cleanedOf(readingOf([lines]), given, bad);
        const instants = [...new Set(readingOf([lines]).log.time)];
        expect([...log.time]).toEqual(instants);
      }),
    );
  });

  it('has dropped what it has not kept, each line for one that it has kept', () => {
    fc.assert(
      fc.property(randomLines, settings, policy, (lines, given, bad) => {
        const reading = readingOf([lines]);
        const { dropped, log, flags, ...cleaned } = cleanedOf(reading, given, bad);
        const kept = rowsOf(cleaned.kept);
        expect(kept.length + dropped.length).toBe(reading.log.length);
        expect([log.length, flags.temperature.length, flags.humidity.length]).toEqual(
          new Array(3).fill(kept.length),
        );
        const rows = [...kept, ...dropped.map(({ row }) => row)].sort((a, b) => a - b);
        expect(rows).toEqual([...reading.log.time.keys()]);
        for (const { row, for: other, conflicting } of dropped) {
          expect(kept).toContain(other);
          expect(reading.log.time[row]).toBe(reading.log.time[other]);
          const differs = QUANTITIES.some((quantity) => {
            const values = valuesOf(reading.log, quantity);
            return `${values[row]}` !== `${values[other]}`;
          });
          expect(conflicting).toBe(differs);
        }
      }),
    );
  });

  it('has the values of the input, or blanks where the flag says so', () => {
    fc.assert(
      fc.property(randomLines, settings, policy, (lines, given, bad) => {
        const reading = readingOf([lines]);
        const cleaned = cleanedOf(reading, given, bad);
        for (const quantity of QUANTITIES) {
          const before = valuesOf(reading.log, quantity);
          const after = valuesOf(cleaned.log, quantity);
          const flags = quantity === 'air_temperature' ? cleaned.flags.temperature : cleaned.flags.humidity;
          rowsOf(cleaned.kept).forEach((row, place) => {
            const flag = flags[place]!;
            const blank = flag === Flag.missing || (flag === Flag.bad && bad === 'blank');
            expect(after[place]).toBe(blank ? NaN : before[row]);
            expect([1, 2, 3, 4, 9]).toContain(flag);
          });
        }
      }),
    );
  });

  it('is the same in the memory of the log that it was made from', () => {
    fc.assert(
      fc.property(fc.array(randomLines, { minLength: 1, maxLength: 2 }), policy, (inputs, bad) => {
        const made = [false, true].map((inPlace) => {
          const cleaned = clean(audit(readingOf(inputs), SETTINGS), ACCURACY, bad, inPlace);
          return { ...cleaned, kept: rowsOf(cleaned.kept) };
        });
        expect(made[1]).toEqual(made[0]);
      }),
    );
  });

  it('is not changed by cleaning it again', () => {
    fc.assert(
      fc.property(randomLines, settings, policy, (lines, given, bad) => {
        const once = cleanedOf(readingOf([lines]), given, bad);
        const twice = cleanedOf(readAgain(once), given, bad);
        expect(written(twice)).toEqual(written(once));
        expect(twice.dropped).toEqual([]);
      }),
      { numRuns: 300 },
    );
  });

  it('does not depend on the order of the lines, or on the file that they stand in', () => {
    const shuffles = randomLines.chain((lines) =>
      fc.tuple(
        fc.constant(lines),
        fc.shuffledSubarray(lines, { minLength: lines.length }),
        fc.integer({ min: 0, max: lines.length }),
      ),
    );
    fc.assert(
      fc.property(shuffles, settings, policy, ([lines, shuffled, cut], given, bad) => {
        const straight = written(cleanedOf(readingOf([lines]), given, bad));
        expect(written(cleanedOf(readingOf([shuffled]), given, bad))).toEqual(straight);
        const files = [shuffled.slice(cut), shuffled.slice(0, cut)];
        expect(written(cleanedOf(readingOf(files), given, bad))).toEqual(straight);
        expect(written(cleanedOf(readingOf([shuffled], true), given, bad))).toEqual(straight);
      }),
      { numRuns: 300 },
    );
  });

  it('leaves the audited log as it is', () => {
    fc.assert(
      fc.property(randomLines, policy, (lines, bad) => {
        const reading = readingOf([lines]);
        const audited = audit(reading, SETTINGS);
        const flags = audited.flags.temperature.slice();
        clean(audited, ACCURACY, bad);
        expect(audited.log).toEqual(readingOf([lines]).log);
        expect(audited.flags.temperature).toEqual(flags);
      }),
    );
  });
});

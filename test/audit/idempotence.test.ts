import fc from 'fast-check';
import { expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { clean } from '../../src/cleaning/clean.js';
import { auditOf, type Line, readAgain, SETTINGS } from './auditing.js';
import { ordinary, rewritten, round } from './ordinary.js';

type Fault = (line: Line) => Partial<Line>;

/** What may happen to a stretch of a log. */
const FAULTS: readonly Fault[] = [
  ({ temperature }) => ({ temperature: temperature + 12 }),
  ({ temperature }) => ({ temperature: round(10 * temperature) }),
  ({ temperature }) => ({ temperature: round(1.8 * temperature + 32) }),
  ({ temperature, humidity }) => ({ temperature: humidity, humidity: temperature }),
  ({ temperature }) => ({ humidity: temperature }),
  ({ humidity }) => ({ humidity: humidity / 100 }),
  () => ({ temperature: 12.3, humidity: 66.6 }),
  () => ({ humidity: 100 }),
  () => ({ humidity: 0.5 }),
  () => ({ temperature: 45 }),
];

const stretch = fc.record({
  from: fc.nat(430),
  length: fc.oneof(fc.integer({ min: 1, max: 4 }), fc.integer({ min: 5, max: 200 })),
  fault: fc.constantFrom(...FAULTS),
});

it('a log cleaned again stays as it is, flags included, whatever was wrong with it', () => {
  fc.assert(
    fc.property(fc.array(stretch, { minLength: 1, maxLength: 4 }), (stretches) => {
      const lines = stretches.reduce(
        (sofar, { from, length, fault }) => rewritten(sofar, from, from + length, fault),
        ordinary(),
      );
      const accuracy = { temperature: 0.5, humidity: 3 };
      const once = clean(auditOf(lines), accuracy);
      const twice = clean(audit(readAgain(once), SETTINGS), accuracy);
      expect(twice.flags).toEqual(once.flags);
      expect(twice.log.temperature).toEqual(once.log.temperature);
      expect(twice.log.humidity).toEqual(once.log.humidity);
    }),
    { numRuns: 60 },
  );
});

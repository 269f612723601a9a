import { describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.js';
import { clean } from '../../src/cleaning/clean.js';
import { slice } from '../../src/log/log.js';
import { rowsWithin } from '../../src/log/span.js';
import { at, auditOf, NaNs, readingOf, SETTINGS, steadily } from './auditing.js';
import { ordinary } from './ordinary.js';

const ACCURACY = { temperature: 0.5, humidity: 3 };
const forWant = ({ unevaluated }: ReturnType<typeof auditOf>) =>
  unevaluated.filter(({ reason }) => reason === 'too few readings').map(({ check }) => check);

describe('a log with too few readings to know its habits', () => {
  const short = ordinary(20);

  it('has values that are not evaluated, and the checks that could not look are named', () => {
    const audited = auditOf(short);
    expect(new Set(audited.flags.temperature)).toEqual(new Set([2]));
    expect(new Set(forWant(audited))).toEqual(
      new Set(['spike', 'rate_of_change', 'decimal_shift', 'inconsistent']),
    );
  });

  it.each([
    { why: 'with as many as that', lines: ordinary(26), flag: 1 },
    { why: 'with one fewer', lines: ordinary(25), flag: 2 },
    { why: 'far apart from each other', lines: ordinary(80).filter((_, i) => i % 40 < 3), flag: 2 },
  ])('or is long enough: $why', ({ lines, flag }) => {
    expect(new Set(auditOf(lines).flags.temperature)).toEqual(new Set([flag]));
  });

  it('is long enough when the rest of it lies outside the time asked for', () => {
    const { log, ...rest } = readingOf([ordinary()]);
    const span = { from: at(1000), until: at(1050) };
    const { first, end } = rowsWithin(log.time, span);
    const within = audit({ ...rest, log: slice(log, first, end), around: log }, { ...SETTINGS, ...span });
    expect([...within.flags.temperature]).toEqual([1, 1, 1, 1, 1]);
    expect(forWant(within)).toEqual([]);
  });

  it('cleaned again stays as it is, also where its values were evaluated among others', () => {
    for (const flag of [1, 2]) {
      const flagged = short.map((line) => ({ ...line, flags: [flag, flag] as const }));
      const once = clean(auditOf(flagged), ACCURACY);
      expect(new Set(once.flags.temperature)).toEqual(new Set([flag]));
    }
  });

  it('says nothing of a quantity that was never measured', () => {
    const audited = auditOf(steadily(10, { humidity: NaNs(10) }));
    expect(audited.unevaluated).not.toContainEqual(
      expect.objectContaining({ quantity: 'relative_humidity', reason: 'too few readings' }),
    );
  });
});

it('a check that was left out, one without a stated range and one without another logger are told too', () => {
  const { unevaluated } = auditOf(ordinary(), {}, ['saturation']);
  expect(unevaluated).toEqual([
    { check: 'sensor_range', quantity: 'air_temperature', reason: 'no range stated' },
    { check: 'saturation', quantity: null, reason: 'left out' },
    { check: 'neighbour', quantity: 'air_temperature', reason: 'no other logger' },
    { check: 'neighbour', quantity: 'relative_humidity', reason: 'no other logger' },
  ]);
});

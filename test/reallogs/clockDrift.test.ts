import { beforeAll, describe, expect, it } from 'vitest';
import { type AuditDocument, dewledger, documentOf, PATIENCE } from '../properties/program.js';
import { haveLogs, SETS } from './sets.js';

const clocksOf = ({ logs }: AuditDocument) =>
  logs.flatMap(({ logger, findings }) =>
    findings.filter(({ check }) => check === 'clock').map((finding) => ({ logger, ...finding })),
  );

describe.skipIf(!haveLogs)('clocks of published logs', { timeout: PATIENCE }, () => {
  it.each(['nyc', 'house'] as const)(
    '%s: none drifts, though the weather comes later here than there',
    async (name) => {
      const { files, told } = SETS[name];
      expect(clocksOf(await documentOf<AuditDocument>(['audit', ...files, ...told]))).toEqual([]);
    },
  );

  describe('the airports, each in a file of its own, one with a clock that loses 72 s a day', () => {
    let said: ReturnType<typeof clocksOf>;
    beforeAll(async () => {
      const { files, told } = SETS.nyc;
      const cleaned = await dewledger(['clean', ...files, ...told]);
      const [, ...lines] = cleaned.stdout
        .trimEnd()
        .split('\n')
        .map((line) => line.split(','));
      const start = Date.parse(lines[0]![0]!);
      const late = lines.map(([time, logger, ...values]) => {
        const instant = Date.parse(time!);
        const stamp = logger === 'JFK' ? start + (instant - start) * (1 - 72 / 86_400) : instant;
        return [new Date(Math.round(stamp / 1000) * 1000).toISOString(), logger, values[0], values[1]].join(
          ',',
        );
      });
      const text = `time,logger,temperature_degC,humidity_pct\n${late.join('\n')}\n`;
      said = clocksOf(await documentOf<AuditDocument>(['audit', '-', '--zone', 'UTC'], text));
    }, PATIENCE);

    it('is found, and no other', () => {
      expect(said).toMatchObject([
        {
          logger: 'JFK',
          confidence: 'likely',
          message: expect.stringMatching(
            /slower than those of 2 other loggers, by about 1 min 10 s a day, 7 h [12]0 min/,
          ),
        },
      ]);
    });
  });
});

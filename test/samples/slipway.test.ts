import { describe, expect, it } from 'vitest';
import { call, sample } from '../commands/call.js';

const LOG = [sample('slipway.csv'), '--zone', 'Europe/London'];

interface Day {
  readonly period_start: string;
  readonly condensation_hours_certain: number;
  readonly condensation_hours_expected: number;
  readonly condensation_hours_possible: number;
  readonly longest_spell_hours: number;
  readonly margin_min_time: string;
}

async function daysOf(surface: string): Promise<readonly Day[]> {
  const { stdout } = await call(['damp', ...LOG, '--surface', surface, '--format', 'json']);
  return JSON.parse(stdout).surfaces[0].periods;
}

describe('the spring week on the slipway', () => {
  it('is a log without fault', async () => {
    const { stdout } = await call(['audit', ...LOG, '--format', 'json']);
    const [log] = JSON.parse(stdout).logs;
    expect(log).toMatchObject({ findings: [], coverage: { expected: 672, observed: 672 } });
  });

  it('wets a heavy body on the morning of the warm damp front, and on no other', async () => {
    for (const day of await daysOf('winch=PT6H')) {
      const front = day.period_start.startsWith('2026-04-16');
      expect(day.condensation_hours_certain > 6).toBe(front);
      expect(day.condensation_hours_possible > 0).toBe(front);
      if (!front) continue;
      expect(day.margin_min_time.slice(11, 13)).toBe('07');
      expect(day.longest_spell_hours).toBe(day.condensation_hours_expected);
    }
  });

  it('wets nothing that is as warm as the air, whatever the error within the accuracy', async () => {
    const days = await daysOf('air=PT0S');
    expect(days).toHaveLength(7);
    for (const day of days) {
      expect(day).toMatchObject({ condensation_hours_expected: 0, condensation_hours_possible: 0 });
    }
  });
});

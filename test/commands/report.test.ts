import { describe, expect, it } from 'vitest';
import { call, sample } from './call.js';

const SITE = ['--site', sample('skerry-mere.toml')];
const NIGHT = [...SITE, '--day', '2025-10-27'];

/** A busy machine takes its time over a month of readings and heartbeats [ms]. */
const SLOW = 60_000;

describe('report', () => {
  it(
    'says in one sentence whether all is well, then what needs a hand',
    async () => {
      const { code, stdout, stderr } = await call(['report', ...NIGHT]);
      expect(stderr).toBe('');
      expect(code).toBe(0);
      const [title, subtitle, , verdict, , heading] = stdout.split('\n');
      expect(title).toBe('Skerry Mere Rowing Club');
      expect(subtitle).toBe('Mon 27 Oct 2025, clocks of Europe/London (site file)');
      expect(verdict).toMatch(/^Worth a look: .* wet for /);
      expect(heading).toBe('What needs a hand');
    },
    SLOW,
  );
});

import { describe, expect, it, vi } from 'vitest';
import { call, sample } from './call.js';

vi.setConfig({ testTimeout: 30_000 }); // whole months are read, on a busy machine, too

const SITE = ['--site', sample('skerry-mere.toml'), '--logger', 'battery-locker', '--no-color'];
const UTF_8 = { width: 80, env: { LANG: 'C.UTF-8' } };

/** The sample month: 17 and 18, 19 to 20, and 24 October. */
const WITHOUT_POWER = /^[▁-█]{16}\?\?[▁-█]\?[▁-█]{3}\?[▁-█]{7}$/;

describe.each([
  { command: 'daily', names: ['mean °C', 'mean %'] },
  { command: 'damp', names: ['expected h', 'least margin K'] },
])('$command on a terminal', ({ command, names }) => {
  it('draws the course of the month under its table, the dark days unknown', async () => {
    const { stdout } = await call([command, ...SITE], UTF_8);
    for (const name of names) {
      const line = stdout.split('\n').find((each) => each.startsWith(name) && /[▁-█]/.test(each));
      const drawn = /[▁-█?]+/.exec(line ?? '')?.[0] ?? '';
      expect(drawn).toHaveLength(31);
      expect(drawn).toMatch(WITHOUT_POWER);
      expect(line!.length).toBeLessThanOrEqual(80);
    }
  });

  it('draws nothing in a pipe', async () => {
    expect((await call([command, ...SITE])).stdout).not.toMatch(/[▁-█]/);
  });
});

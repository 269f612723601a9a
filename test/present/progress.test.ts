import { Writable } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { type Progress, withProgress } from '../../src/present/progress.js';

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setInterval', 'clearInterval', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

const WIPE = '\r\x1b[K';

async function seen(
  work: (progress: Progress) => Promise<unknown>,
  { isTTY = true, columns = 40, isQuiet = false, env = { LANG: 'C.UTF-8' } as Record<string, string> } = {},
): Promise<string> {
  let text = '';
  const stream = new Writable({
    write(chunk, _, done) {
      text += chunk;
      done();
    },
  });
  await withProgress({ stderr: Object.assign(stream, { isTTY, columns }), env }, isQuiet, work).catch(
    () => {},
  );
  return text;
}

async function slow(progress: Progress): Promise<void> {
  progress('reading october.csv');
  vi.advanceTimersByTime(1_500);
}

describe('withProgress', () => {
  it('says what is being done after a second, in one line, and wipes it', async () => {
    expect(await seen(slow)).toBe(`${WIPE}reading october.csv …${WIPE}`);
  });

  it('rewrites the line from step to step, and a step that blocks is said before it begins', async () => {
    const text = await seen(async (progress) => {
      await slow(progress);
      progress('checking loft');
    });
    expect(text).toBe(`${WIPE}reading october.csv …${WIPE}checking loft …${WIPE}`);
  });

  it('says nothing of what is done within a second', async () => {
    expect(
      await seen(async (progress) => {
        progress('reading october.csv');
        vi.advanceTimersByTime(900);
      }),
    ).toBe('');
  });

  it.each([
    ['into a pipe', { isTTY: false }],
    ['with --quiet', { isQuiet: true }],
    ['on a terminal that cannot go back', { env: { TERM: 'dumb' } }],
  ])('says nothing %s', async (_, surroundings) => {
    expect(await seen(slow, surroundings)).toBe('');
  });

  it('wipes the line when the work fails, and says nothing afterwards', async () => {
    const text = await seen(async (progress) => {
      await slow(progress);
      throw new Error('disk full');
    });
    expect(text.endsWith(WIPE)).toBe(true);
    expect(vi.getTimerCount()).toBe(0);
  });

  it('keeps to one line, with nothing in it that a terminal obeys, and to ASCII where there is no more', async () => {
    const name = 'reading /a/very/long/path/\x1b[31m/of/a/logger/somewhere/loft.csv';
    const text = await seen(
      async (progress) => {
        progress(name);
        vi.advanceTimersByTime(1_500);
      },
      { env: {} },
    );
    const line = text.split(WIPE)[1]!;
    expect(line.length).toBeLessThan(40);
    expect(line).toMatch(/loft\.csv \.\.\.$/);
    expect(line).not.toContain('\x1b');
  });

  it('gives back what the work gives', async () => {
    const stderr = Object.assign(new Writable(), { isTTY: false });
    expect(await withProgress({ stderr, env: {} }, false, async () => 42)).toBe(42);
  });
});

import { describe, expect, it } from 'vitest';
import { call, folderOf, smallLog } from './call.js';

const readings = Array.from({ length: 300 }, (_, i) => [10 + (i % 9) / 10, 50 + (i % 5)] as const);
const cwd = folderOf({ 'boat-hall.csv': smallLog(readings), 'loft.csv': smallLog(readings) });
const clean = (...words: string[]) => call(['clean', 'boat-hall.csv', '--zone', 'UTC', ...words], { cwd });

describe('a cleaned log for others', () => {
  it('has one mean an hour under another name, and comes out the same when it is cleaned again', async () => {
    const { code, stdout } = await clean('--coarsen', 'PT1H', '--rename', 'boat-hall=A');
    expect(code).toBe(0);
    const lines = stdout.trimEnd().split('\n');
    expect(lines).toHaveLength(51);
    expect(lines[1]).toBe('2025-10-01T00:30:00Z,A,10.27,51.8,1,1');
    expect(stdout).not.toContain('boat-hall');
    const folder = folderOf({ 'shared.csv': stdout });
    for (const words of [[], ['--coarsen', 'PT1H']]) {
      const again = await call(['clean', 'shared.csv', '--zone', 'UTC', ...words], { cwd: folder });
      expect(again.stdout).toBe(stdout);
    }
  });

  it('leaves the list of changes, which its keeper keeps, as it is', async () => {
    const { stdout } = await clean('--changes', '-', '-o', `${cwd}/out.csv`, '--rename', 'boat-hall=A');
    expect(stdout).toBe('source,line,field,before,after,reason\n');
  });

  it.each([
    { words: ['--coarsen', 'PT7H'], said: 'a day must be so many whole steps: PT7H' },
    { words: ['--coarsen', 'PT0S'], said: 'a day must be so many whole steps' },
    { words: ['--rename', 'boat-hall'], said: 'a renaming is a name and another' },
    { words: ['--rename', 'boat-hal=A'], said: 'did you mean boat-hall?' },
    { words: ['--rename', 'boat-hall=A', '--rename', 'boat-hall=B'], said: 'a logger is renamed twice' },
    { words: ['loft.csv', '--rename', 'boat-hall=loft'], said: 'two loggers would have one name: loft' },
  ])('$words: exit 2, and nothing is written', async ({ words, said }) => {
    const { code, stdout, stderr } = await clean(...words);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain(said);
  });
});

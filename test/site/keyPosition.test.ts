import fc from 'fast-check';
import { parse, stringify } from 'smol-toml';
import { describe, expect, it } from 'vitest';
import type { KeyPath } from '../../src/site/keyPath.js';
import { keyPositions } from '../../src/site/keyPosition.js';

describe('keyPositions', () => {
  const text = [
    '# a = 1', //                              1
    'a = "# [b] = 2"', //                      2
    "  b = '''", //                            3
    'c = 3', //                                4
    "''''", //                                 5
    'e . "f.g" = """\\"""" # e', //            6
    'h = [ # [', //                            7
    '  1, [2, 3],', //                         8
    '  { i = "}", j.k = 1979-05-27 07:32:00 }, # ]', // 9
    ']', //                                    10
    '[[ l ]]', //                              11
    '[[l.m]]', //                              12
    'n = 1', //                                13
    '[[l.m]]', //                              14
    '[l.m.o]', //                              15
    'p = 1', //                                16
    '[[l]]', //                                17
    'm = []', //                               18
    '["q\\u0041".\'r s\']', //                 19
    't = 07:32:00', //                         20
  ].join('\r\n');

  it('is asked of a text that the parser accepts', () => {
    expect(() => parse(text)).not.toThrow();
  });

  it.each<{ path: KeyPath; line: number; column: number; why: string }>([
    { path: ['a'], line: 2, column: 1, why: 'a key, not the same in a comment' },
    { path: ['b'], line: 3, column: 3, why: 'an indented key' },
    { path: ['c'], line: 1, column: 1, why: 'what only looks like a key inside a text' },
    { path: ['e'], line: 6, column: 1, why: 'a table made by a dotted key' },
    { path: ['e', 'f.g'], line: 6, column: 1, why: 'a dotted key with quotes' },
    { path: ['h', 0], line: 8, column: 3, why: 'an element' },
    { path: ['h', 1, 1], line: 8, column: 10, why: 'an element of an element' },
    { path: ['h', 2], line: 9, column: 3, why: 'an inline table' },
    { path: ['h', 2, 'i'], line: 9, column: 5, why: 'a key in an inline table' },
    { path: ['h', 2, 'j', 'k'], line: 9, column: 14, why: 'a dotted key in an inline table' },
    { path: ['l'], line: 11, column: 1, why: 'a list of tables' },
    { path: ['l', 0, 'm', 0, 'n'], line: 13, column: 1, why: 'a key in a list in a list' },
    { path: ['l', 0, 'm', 1], line: 14, column: 1, why: 'the second table of the inner list' },
    { path: ['l', 0, 'm', 1, 'o', 'p'], line: 16, column: 1, why: 'a key in a table under it' },
    { path: ['l', 0, 'm', 1, 'x'], line: 14, column: 1, why: 'a missing key: its table' },
    { path: ['l', 1, 'm'], line: 18, column: 1, why: 'the second outer table' },
    { path: ['qA', 'r s', 't'], line: 20, column: 1, why: 'a key under a header with quotes and escapes' },
    { path: ['z'], line: 1, column: 1, why: 'a missing key at the top' },
    { path: [], line: 1, column: 1, why: 'the document' },
  ])('finds $why', ({ path, line, column }) => {
    expect(keyPositions(text)(path)).toEqual({ line, column });
  });

  it('finds every value of any document', () => {
    const scalar = fc.oneof(fc.string({ unit: 'binary-ascii' }), fc.integer(), fc.double(), fc.boolean());
    const key = fc.string({ unit: fc.constantFrom('a', 'b', '"', "'", '.', ' ', '#', '[', '=', '\\', 'é') });
    const { table } = fc.letrec<{ table: Record<string, unknown>; value: unknown }>((tie) => ({
      table: fc.dictionary(key, tie('value'), { maxKeys: 4 }),
      value: fc.oneof(
        { maxDepth: 3, withCrossShrink: true },
        scalar,
        tie('table'),
        fc.array(scalar, { maxLength: 3 }),
        fc.array(tie('table'), { maxLength: 3 }),
      ),
    }));
    fc.assert(
      fc.property(table, (document) => {
        const toml = stringify(document);
        const lines = toml.split('\n');
        const positionOf = keyPositions(toml);
        const stands = (path: KeyPath) => {
          const { line, column } = positionOf(path);
          return lines[line - 1]!.slice(column - 1);
        };
        // A value stands right of its key's "=": what the parser makes of the line alone must be that value.
        const visit = (value: unknown, path: KeyPath): void => {
          if (typeof value === 'object' && value !== null) {
            for (const [step, inner] of Object.entries(value)) {
              visit(inner, [...path, Array.isArray(value) ? Number(step) : step]);
            }
          } else if (typeof path.at(-1) === 'string') {
            expect(Object.entries(parse(stands(path)))).toEqual([
              [path.at(-1), parse(stringify({ value })).value],
            ]);
          }
        };
        visit(document, []);
      }),
    );
  });
});

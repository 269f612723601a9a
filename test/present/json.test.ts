import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { jsonText } from '../../src/present/json.js';

describe('jsonText', () => {
  it('is one indented document in the order given, pairs on one line', () => {
    const findings = [{ check: 'gap', lines: [1201, 1202], from: null }];
    expect(
      jsonText({ format: 'dewledger/audit', version: 1, logs: [{ logger: 'sail-loft', findings }] }),
    ).toBe(
      `{
  "format": "dewledger/audit",
  "version": 1,
  "logs": [
    {
      "logger": "sail-loft",
      "findings": [
        {
          "check": "gap",
          "lines": [1201, 1202],
          "from": null
        }
      ]
    }
  ]
}
`,
    );
  });

  it.each([
    { value: NaN, text: 'null' },
    { value: -Infinity, text: 'null' },
    { value: undefined, text: 'null' },
    { value: { absent: undefined, broken: NaN }, text: '{\n  "absent": null,\n  "broken": null\n}' },
    { value: [undefined], text: '[\n  null\n]' },
    { value: -0, text: '0' },
    { value: 12n, text: '12' },
    { value: [], text: '[]' },
    { value: {}, text: '{}' },
    { value: Float64Array.of(1.5, NaN, 3), text: '[\n  1.5,\n  null,\n  3\n]' },
    { value: [1, NaN], text: '[1, null]' },
    { value: [1, 'a'], text: '[\n  1,\n  "a"\n]' },
    { value: new Date(0), text: '"1970-01-01T00:00:00.000Z"' },
    { value: 'a "quoted" \u001b[31m line\n', text: '"a \\"quoted\\" \\u001b[31m line\\n"' },
    { value: () => 1, text: 'null' },
  ])('writes $text', ({ value, text }) => {
    expect(jsonText(value)).toBe(`${text}\n`);
  });

  it('says what JSON.stringify says, but for the layout', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        expect(JSON.parse(jsonText(value))).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });
});

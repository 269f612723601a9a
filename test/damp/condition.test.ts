import { describe, expect, it } from 'vitest';
import { appliesTo, type NamedLogger, parseCondition } from '../../src/damp/condition.js';
import { explain, InputError } from '../../src/errors.js';

const HALL: NamedLogger = { id: 'boat-hall', surfaces: ['cedar hull', 'No. 2 winch'] };
const LOFT: NamedLogger = { id: 'sail-loft', surfaces: ['rafters', 'wall/ceiling'] };
const parse = (text: string) => parseCondition(text, [HALL, LOFT]);

describe('a condition', () => {
  it.each([
    { text: 'relative_humidity<=85', comparison: '<=', offset: 85 },
    { text: '  Relative_Humidity <= 85 ', comparison: '<=', offset: 85 },
    { text: 'relative_humidity<85', comparison: '<', offset: 85 },
    { text: 'relative_humidity > -.5e1', comparison: '>', offset: -5 },
    { text: 'relative_humidity>=+3.', comparison: '>=', offset: 3 },
  ])('"$text" compares with a number', ({ text, comparison, offset }) => {
    expect(parse(text)).toEqual({
      text: text.trim(),
      left: { logger: null, quantity: 'relative_humidity' },
      comparison,
      right: null,
      offset,
    });
  });

  it.each([
    { name: 'absolute_humidity', operand: { logger: null, quantity: 'absolute_humidity' } },
    { name: 'cedar hull.margin', operand: { logger: null, surface: 'cedar hull', part: 'margin' } },
    { name: 'CEDAR HULL.temperature', operand: { logger: null, surface: 'cedar hull', part: 'temperature' } },
    { name: 'no. 2 winch.margin', operand: { logger: null, surface: 'No. 2 winch', part: 'margin' } },
    { name: 'wall/ceiling.margin', operand: { logger: null, surface: 'wall/ceiling', part: 'margin' } },
    { name: 'Boat-Hall/humidex', operand: { logger: 'boat-hall', quantity: 'humidex' } },
    {
      name: 'sail-loft/rafters.margin',
      operand: { logger: 'sail-loft', surface: 'rafters', part: 'margin' },
    },
  ])('takes $name on either side', ({ name, operand }) => {
    expect(parse(`${name} < 3`).left).toEqual(operand);
    expect(parse(`air_temperature>=${name}`)).toMatchObject({ right: operand, offset: 0 });
  });

  it('takes the longer of two ids that begin alike', () => {
    const loggers = [
      { id: 'a', surfaces: [] },
      { id: 'a/b', surfaces: [] },
    ];
    expect(parseCondition('a/b/humidex>3', loggers).left).toMatchObject({ logger: 'a/b' });
  });

  it.each([
    '',
    'relative_humidity',
    'relative_humidity=85',
    'relative_humidity==85',
    'relative_humidity=<85',
    'relative_humidity<>85',
    '<=85',
    'relative_humidity<=',
    '3<=cedar hull.margin',
    '5<=air_temperature<=40',
  ])('is not "%s"', (text) => {
    expect(() => parse(text)).toThrow(/^not a condition$/);
  });

  it.each([
    {
      text: 'relative_humidty<=85',
      says: 'called "relative_humidty"',
      advice: 'did you mean relative_humidity?',
    },
    {
      text: 'ceder hull.margin>=3',
      says: 'called "ceder hull.margin"',
      advice: 'did you mean cedar hull.margin?',
    },
    {
      text: 'air_temperature<1,5',
      says: 'nothing here is called "1,5"',
      advice: 'there are air_temperature, ',
    },
    { text: 'air_temperature<0x10', says: 'called "0x10"', advice: 'there are air_temperature, ' },
    { text: 'air_temperature<Infinity', says: 'called "Infinity"', advice: 'there are air_temperature, ' },
    { text: 'boathall/humidex>3', says: 'no logger "boathall"', advice: 'did you mean boat-hall?' },
    {
      text: 'boat-hall/rafters.margin>3',
      says: 'nothing of boat-hall is called "rafters.margin"',
      advice: 'there are air_temperature, ',
    },
    {
      text: 'air_temperature<air_temperature',
      says: 'compares something with itself',
      advice: 'write NAME<=NUMBER',
    },
  ])('"$text": $says', ({ text, says, advice }) => {
    const fault = (() => {
      try {
        return parse(text);
      } catch (error) {
        return error;
      }
    })();
    expect(fault).toBeInstanceOf(InputError);
    const [what, ...rest] = explain(fault as InputError).split('\n');
    expect(what).toContain(says);
    expect(what).toContain(`: ${text}`);
    expect(rest.join()).toContain(advice);
  });
});

describe('appliesTo', () => {
  it.each([
    { text: 'relative_humidity<=85', at: [true, true] },
    { text: 'cedar hull.margin>=3', at: [true, false] },
    { text: 'air_temperature>rafters.temperature', at: [false, true] },
    { text: 'boat-hall/cedar hull.margin>=3', at: [true, true] },
    { text: 'boat-hall/absolute_humidity<absolute_humidity', at: [false, true] },
    { text: 'boat-hall/absolute_humidity<sail-loft/absolute_humidity', at: [true, true] },
  ])('$text: at the hall, at the loft $at', ({ text, at }) => {
    expect([HALL, LOFT].map((logger) => appliesTo(parse(text), logger))).toEqual(at);
  });
});

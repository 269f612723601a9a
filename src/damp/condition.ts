import { nearest } from '../calendar/nearest.js';
import { InputError } from '../errors.js';
import { quantities } from '../psychrometry/quantities.js';

export type Comparison = '<' | '<=' | '>' | '>=';

/** What a condition speaks of, of the logger that is looked at (null) or of another. */
export type Operand = { readonly logger: string | null } & (
  | { readonly quantity: string }
  | { readonly surface: string; readonly part: SurfacePart }
);

export const SURFACE_PARTS = ['margin', 'temperature'] as const;
export type SurfacePart = (typeof SURFACE_PARTS)[number];

/** `left` compared with `right`, or where that is null with 0, plus `offset`; all in the quantity's unit. */
export interface Condition {
  /** As people read it. */
  readonly text: string;
  readonly left: Operand;
  readonly comparison: Comparison;
  readonly right: Operand | null;
  readonly offset: number;
}

/** A logger as far as conditions can name it. */
export interface NamedLogger {
  readonly id: string;
  readonly surfaces: readonly string[];
}

/** Every quantity of the air that a condition can name: the two that are measured, then those computed from them. */
export const AIR_QUANTITIES: readonly string[] = [
  'air_temperature',
  'relative_humidity',
  ...quantities.map(({ name }) => name),
];

const CONDITION = /^([^<>=]+)(<=|>=|<|>)([^<>=]+)$/;
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;
const EXAMPLES = 'write NAME<=NUMBER or NAME<NAME, with <, <=, > or >=, such as "relative_humidity<=85"';

/**
 * A condition as it is written: a name, a comparison, and a number or another name. Blanks around them and
 * capital letters do not matter.
 *
 * A name is a quantity of the air, or `SURFACE.margin` or `SURFACE.temperature` with the surface as the site
 * file has it; with `LOGGER/` before it, it is that of another logger.
 *
 * @param text `relative_humidity<=85`, `cedar hull.margin>=3`, `boat-hall/absolute_humidity<absolute_humidity`
 * @param loggers all that may be named
 * @throws InputError for anything else
 */
export function parseCondition(text: string, loggers: readonly NamedLogger[]): Condition {
  const [, leftText, comparison, rightText] = CONDITION.exec(text) ?? [];
  if (leftText === undefined || NUMBER.test(leftText.trim())) {
    throw new InputError('not a condition', { text }, EXAMPLES);
  }
  const left = operandFrom(leftText.trim(), text, loggers);
  const wanted = rightText!.trim();
  const isNumber = NUMBER.test(wanted);
  const right = isNumber ? null : operandFrom(wanted, text, loggers);
  if (right !== null && isSame(left, right)) {
    throw new InputError('a condition compares something with itself', { text }, EXAMPLES);
  }
  return {
    text: text.trim(),
    left,
    comparison: comparison as Comparison,
    right,
    offset: isNumber ? Number(wanted) : 0,
  };
}

/**
 * Whether a condition can be put to a logger: it has the surfaces that are named without a logger, and what
 * is compared are two things, which `boat-hall/air_temperature<air_temperature` has not at the boat hall.
 */
export function appliesTo({ left, right }: Condition, { id, surfaces }: NamedLogger): boolean {
  const has = (operand: Operand) =>
    operand.logger !== null || !('surface' in operand) || surfaces.includes(operand.surface);
  if (!has(left)) return false;
  return right === null || (has(right) && !isSame(at(id, left), at(id, right)));
}

function at(logger: string, operand: Operand): Operand {
  return { ...operand, logger: operand.logger ?? logger };
}

function isSame(one: Operand, other: Operand): boolean {
  if (one.logger !== other.logger) return false;
  if ('quantity' in one) return 'quantity' in other && one.quantity === other.quantity;
  return 'surface' in other && one.surface === other.surface && one.part === other.part;
}

function operandFrom(name: string, text: string, loggers: readonly NamedLogger[]): Operand {
  const surfaces = [...new Set(loggers.flatMap((logger) => logger.surfaces))];
  const own = ownOperand(name, null, surfaces);
  if (own !== null) return own;
  // an id is a beginning of another now and then
  const others = loggers.filter(({ id }) => startsWith(name, `${id}/`));
  for (const { id, surfaces } of others) {
    const operand = ownOperand(name.slice(id.length + 1), id, surfaces);
    if (operand !== null) return operand;
  }
  const other = others[0];
  if (other !== undefined) {
    throw unknown(name.slice(other.id.length + 1), `of ${other.id}`, text, other.surfaces);
  }
  const slash = name.indexOf('/');
  if (slash > 0) throw unknownLogger(name.slice(0, slash), text, loggers);
  throw unknown(name, 'here', text, surfaces);
}

function ownOperand(name: string, logger: string | null, surfaces: readonly string[]): Operand | null {
  const quantity = AIR_QUANTITIES.find((each) => isEqual(each, name));
  if (quantity !== undefined) return { logger, quantity };
  for (const part of SURFACE_PARTS) {
    const surface = surfaces.find((each) => isEqual(`${each}.${part}`, name));
    if (surface !== undefined) return { logger, surface, part };
  }
  return null;
}

function isEqual(one: string, other: string): boolean {
  return one.toLowerCase() === other.toLowerCase();
}

function startsWith(text: string, start: string): boolean {
  return isEqual(text.slice(0, start.length), start);
}

function unknown(name: string, where: string, text: string, surfaces: readonly string[]): InputError {
  const names = [
    ...AIR_QUANTITIES,
    ...surfaces.flatMap((surface) => SURFACE_PARTS.map((part) => `${surface}.${part}`)),
  ];
  const near = nearest(name, names);
  return new InputError(
    `nothing ${where} is called "${name}"`,
    { text },
    near.length > 0 ? `did you mean ${near.join(' or ')}?` : `there are ${names.join(', ')}`,
  );
}

function unknownLogger(id: string, text: string, loggers: readonly NamedLogger[]): InputError {
  const ids = loggers.map((logger) => logger.id);
  const near = nearest(id, ids);
  return new InputError(
    `there is no logger "${id}"`,
    { text },
    near.length > 0 ? `did you mean ${near.join(' or ')}?` : `there are ${ids.join(', ')}`,
  );
}

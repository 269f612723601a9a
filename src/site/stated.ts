import * as v from 'valibot';
import { nearest } from '../calendar/nearest.js';
import type { Complain } from './complaint.js';
import type { KeyPath } from './keyPath.js';
import { KNOWN_KEYS, REQUIRED_KEYS, type StatedSite, siteSchema } from './schema.js';

/**
 * A parsed site file with every key known and every value of the right kind.
 *
 * @throws InputError about an unknown key if there is one, since a misspelt key may be the cause of a
 *   missing one; else about the first wrong value in the order of the schema
 */
export function statedIn(document: unknown, complain: Complain): StatedSite {
  const { success, output, issues } = v.safeParse(siteSchema, document);
  if (success) return output;
  const issue = issues.find(isUnknownKey) ?? issues[0];
  const path = pathOf(issue);
  if (isUnknownKey(issue)) throw complain(path, 'is not a known key', undefined, adviceOn(path));
  if (issue.input === undefined) {
    throw complain(path, 'is missing', undefined, `add ${REQUIRED_KEYS.get(tableName(path))}`);
  }
  throw complain(path, issue.message, issue.input);
}

type Issue = v.InferIssue<typeof siteSchema>;

function isUnknownKey(issue: Issue): boolean {
  return issue.type === 'strict_object' && issue.expected === 'never';
}

function pathOf(issue: Issue): KeyPath {
  return (issue.path ?? []).map(({ key }) => key as string | number);
}

/** The keys on a path without the places in arrays, as in table headers. */
function tableName(path: KeyPath): string {
  return path.filter((step) => typeof step === 'string').join('.');
}

function adviceOn(path: KeyPath): string {
  const key = String(path.at(-1));
  // a key after the header of another table is the commonest slip in TOML
  const homes = [...KNOWN_KEYS].filter(([, keys]) => keys.includes(key)).map(([table]) => tableText(table));
  if (homes.length > 0) return `${key} belongs in ${homes.join(' or ')}`;
  const known = KNOWN_KEYS.get(tableName(path.slice(0, -1))) ?? [];
  const unitForgotten = known.filter((name) => name.startsWith(`${key}_`));
  const meant = unitForgotten.length > 0 ? unitForgotten : nearest(key, known);
  return meant.length > 0 ? `did you mean ${meant.join(' or ')}?` : `known here: ${known.join(', ')}`;
}

function tableText(name: string): string {
  if (name === '') return 'the top part, before the first [table]';
  return name.endsWith('logger') || name.endsWith('surface') ? `[[${name}]]` : `[${name}]`;
}
